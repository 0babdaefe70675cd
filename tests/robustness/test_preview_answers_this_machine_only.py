"""The preview serves one site to this machine, and nothing else to anybody, whatever is asked of it."""

from __future__ import annotations

import contextlib
import http.client
import json
import random
import re
import signal
import socket
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from bowbook.book.problems import Location, Problem
from bowbook.preview.server import News
from bowbook.preview.watch import serving
from helpers import BOWBOOK, small_book

PAGE = (
    '<!DOCTYPE html><html><head><meta http-equiv="Content-Security-Policy" content="script-src \'self\'">'
    "<title>x</title></head><body>home</body></html>"
)


@pytest.fixture
def site(tmp_path: Path) -> Path:
    """A site with a page, a folder, and, outside it, something that is nobody's business."""
    output = tmp_path / "output"
    (output / "kites" / "knot").mkdir(parents=True)
    (output / "index.html").write_text(PAGE)
    (output / "kites" / "knot" / "index.html").write_text(PAGE)
    (output / "data.json").write_text("{}")
    (output / "sw.js").write_text("x")
    (tmp_path / "secret.txt").write_text("SECRET")
    (output / "link.txt").symlink_to(tmp_path / "secret.txt")
    (output / "linked").symlink_to(tmp_path)
    (output / ".kept").mkdir()
    (output / ".kept" / "secret.txt").write_text("SECRET")
    return output


@pytest.fixture
def news() -> News:
    """News of a book without problems."""
    return News()


@pytest.fixture
def port(site: Path, news: News) -> Iterator[int]:
    """The port the site is served at."""
    with serving(site, news) as address:
        yield int(address.rstrip("/").rpartition(":")[2])


def ask(port: int, path: str, method: str = "GET", **headers: str) -> tuple[int, bytes, dict[str, str]]:
    """Status, body and headers of the answer to a request."""
    connection = http.client.HTTPConnection("127.0.0.1", port, timeout=5)
    with contextlib.closing(connection):
        connection.putrequest(method, path, skip_host="Host" in headers)
        for name, value in headers.items():
            connection.putheader(name, value)
        connection.endheaders()
        answer = connection.getresponse()
        return answer.status, answer.read(), dict(answer.getheaders())


def test_it_listens_on_this_machine_alone(site: Path, news: News) -> None:
    """The address is 127.0.0.1; on any other address of this machine nobody answers."""
    with serving(site, news) as address:
        assert address.startswith("http://127.0.0.1:")
        port = int(address.rstrip("/").rpartition(":")[2])
        with socket.socket() as other, pytest.raises(OSError, match="refused"):
            other.connect(("127.0.0.2", port))


@pytest.mark.parametrize("host", ["example.org", "127.0.0.1.example.org", "127.0.0.1", "", "localhost:1", "[::1]:80"])
def test_a_request_under_another_name_is_refused(port: int, host: str) -> None:
    """A page from elsewhere whose name leads here (DNS rebinding) gets nothing to read."""
    status, body, _ = ask(port, "/", Host=host)
    assert status == 403
    assert b"home" not in body


def test_a_request_from_another_page_is_refused(port: int) -> None:
    """A request that says it comes from elsewhere is refused, the news included."""
    for path in ("/", "/-preview/news"):
        assert ask(port, path, Origin="https://example.org")[0] == 403


def test_localhost_is_a_name_of_this_machine(port: int) -> None:
    """The site is reached by either of this machine's names."""
    assert ask(port, "/index.html", Host=f"localhost:{port}")[0] == 200


@pytest.mark.parametrize(
    "path",
    [
        "/../secret.txt",
        "/kites/../../secret.txt",
        "/%2e%2e/secret.txt",
        "/..%2fsecret.txt",
        "/%2e%2e%2fsecret.txt",
        "/..\\secret.txt",
        "/..%5csecret.txt",
        "/link.txt",
        "/linked/secret.txt",
        "/linked/",
        "/.kept/secret.txt",
        "/%2ekept/secret.txt",
        "//etc/passwd",
        "/etc/passwd",
        "/%00",
        "/index.html%00.txt",
        "/%ff%fe",
        "/C:/x",
        "/" + "a/" * 3000,
        "/" + "a" * 5000,
    ],
)
def test_nothing_outside_the_site_is_served(port: int, path: str) -> None:
    """Neither climbing, nor links, nor odd writing leads out of the site's folder."""
    status, body, _ = ask(port, path)
    assert status == 404
    assert b"SECRET" not in body


def test_pages_are_served_with_what_follows_changes(port: int) -> None:
    """A page gets the script that reloads it, other files are served as they are, and nothing is kept by browsers."""
    status, body, headers = ask(port, "/")
    assert status == 200
    assert b'<script src="/-preview/follow.js" defer></script></head>' in body
    assert headers["Cache-Control"] == "no-store"
    assert headers["X-Content-Type-Options"] == "nosniff"
    assert ask(port, "/data.json")[1] == b"{}"
    assert ask(port, "/-preview/follow.js")[2]["Content-Type"].startswith("text/javascript")
    assert ask(port, "/kites/knot")[2]["Location"] == "knot/"
    assert ask(port, "/kites/knot/")[0] == 200


def test_nothing_is_installed_in_the_browser(port: int) -> None:
    """The script that keeps the site for the field is not served: it would answer in the preview's stead later."""
    assert ask(port, "/sw.js")[0] == 404


def test_only_reading_is_possible(port: int) -> None:
    """Nothing can be sent, changed or removed."""
    for method in ("POST", "PUT", "DELETE", "PATCH", "OPTIONS", "TRACE", "CONNECT", "X"):
        assert ask(port, "/", method)[0] == 501
    assert ask(port, "/", "HEAD")[1] == b""


def heard(port: int, page: str = "/", **headers: str) -> tuple[dict[str, object], str]:
    """What a page is answered that asks for news, and the mark of that answer."""
    status, body, given = ask(port, f"/-preview/news?{page}", **headers)
    return (json.loads(body) if status == 200 else {}), given["ETag"]


def test_a_page_hears_of_a_new_site_and_of_problems(port: int, news: News) -> None:
    """A page that asks is told the state, problems with their text; where it knows that already, only so (RFC 9110)."""
    first, mark = heard(port)
    assert first == {"site": 0, "problems": ""}
    assert ask(port, "/-preview/news?/", **{"If-None-Match": mark})[:2] == (304, b"")
    news.tell((Problem(Location("content/kites/x.md", 3), "the name is missing"),), new_site=False)
    second, mark = heard(port, **{"If-None-Match": mark})
    assert second["site"] == 0
    assert "content/kites/x.md:3" in str(second["problems"])
    news.tell((), new_site=True)
    assert heard(port, **{"If-None-Match": mark})[0] == {"site": 1, "problems": ""}


def test_a_page_shown_ahead_is_heard_of_once_and_by_its_own_listeners(port: int, news: News) -> None:
    """Who looks at it hears of a new site at once and of nothing new when that site stands; others hear only then."""

    def sites() -> tuple[object, object]:
        return heard(port, "/kites/knot/")[0]["site"], heard(port, "/")[0]["site"]

    assert sites() == (0, 0)
    assert news.pages() == {"kites/knot/index.html", "index.html"}
    news.show({"kites/knot/index.html": PAGE.replace("home", "ahead").encode()})
    assert sites() == (1, 0)
    assert b"ahead" in ask(port, "/kites/knot/")[1]
    assert b"/-preview/follow.js" in ask(port, "/kites/knot/index.html")[1]
    assert b"ahead" not in ask(port, "/")[1]
    news.tell((), new_site=True)
    assert sites() == (1, 1)
    assert b"ahead" not in ask(port, "/kites/knot/")[1]


def test_a_page_shown_ahead_of_a_site_that_never_came_is_taken_back(port: int, news: News) -> None:
    """With a problem found after it, the last good site is what is served, and who asks is sent back to it."""
    news.show({"index.html": b"ahead"})
    assert heard(port)[0]["site"] == 1
    news.tell((Problem(Location("themes/mine/templates/home.html", 3), "this cannot be filled"),), new_site=False)
    assert heard(port)[0]["site"] == 0
    assert b"home" in ask(port, "/")[1]


def test_connections_that_drip_are_closed(site: Path, news: News, monkeypatch: pytest.MonkeyPatch) -> None:
    """A request that comes letter by letter is hung up on, however steadily it drips; the next one is answered."""
    monkeypatch.setattr("bowbook.preview.server._LONGEST_S", 0.6)
    with serving(site, news) as address:
        port = int(address.rstrip("/").rpartition(":")[2])
        with socket.create_connection(("127.0.0.1", port), timeout=5) as dripping:
            start = time.monotonic()
            with contextlib.suppress(OSError):
                while time.monotonic() < start + 10 and not _hung_up(dripping):
                    dripping.sendall(b"G")
                    time.sleep(0.05)
            assert time.monotonic() < start + 5
        assert ask(port, "/")[0] == 200


def _hung_up(other: socket.socket) -> bool:
    other.setblocking(False)
    try:
        return other.recv(1) == b""
    except BlockingIOError:
        return False
    finally:
        other.setblocking(True)


def test_a_port_that_is_taken_gives_the_next_free_one(site: Path, news: News) -> None:
    """Two previews asked for one port stand side by side; where all are taken, the ports are named."""
    with serving(site, news) as first:
        port = int(first.rstrip("/").rpartition(":")[2])
        with serving(site, news, port) as second:
            assert port < int(second.rstrip("/").rpartition(":")[2]) < port + 20
            assert ask(port, "/")[0] == 200


def test_a_fault_of_the_program_is_shown_and_the_next_save_tried(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Whatever publishing raises, the preview says what and where, and goes on."""
    from bowbook.preview import watch

    root = small_book(tmp_path / "book", {"knot": "---\nname: Knot\n---\n"})
    told: list[tuple[bool, str]] = []

    def hear(_: str, report: watch.PublishReport) -> None:
        told.append((report.wrote, "".join(f"{problem.message} {problem.hint}" for problem in report.problems)))

    def changes(_: Path) -> Iterator[object]:
        with monkeypatch.context() as broken:
            broken.setattr("json.dumps", lambda *_, **__: 1 / 0)  # a library that fails in the middle of a publish
            (root / "content" / "kites" / "knot.md").write_text("---\nname: Knot\nmass: 20 g\n---\n")
            yield None
        yield None

    monkeypatch.setattr(watch, "_changes", changes)
    watch.preview(root, report_to=hear)
    assert [wrote for wrote, _ in told] == [True, False, True]
    assert "ZeroDivisionError" in told[1][1]
    assert "Last calls" in told[1][1]


@pytest.mark.skipif(sys.platform == "win32", reason="there are no such signals on Windows")
@pytest.mark.parametrize("sign", [signal.SIGINT, signal.SIGTERM])
@pytest.mark.parametrize("passed_over", [True, False], ids=["passed over", "taken for a fault"])
def test_being_asked_to_end_is_never_lost_in_a_library(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, sign: signal.Signals, passed_over: bool
) -> None:
    """Where a library takes the interrupt for an error of its own, or goes on, the preview ends all the same."""
    from bowbook.preview import watch

    root = small_book(tmp_path / "book", {"knot": "---\nname: Knot\n---\n"})
    real, told = watch.publish, []

    def publish(*given: Any, **named: Any) -> watch.PublishReport:
        try:
            signal.raise_signal(sign)
        except KeyboardInterrupt:
            if not passed_over:
                raise ValueError("no transformation") from None
        return real(*given, **named)

    def changes(_: Path) -> Iterator[object]:
        monkeypatch.setattr(watch, "publish", publish)
        yield None
        pytest.fail("the preview goes on")

    monkeypatch.setattr(watch, "_changes", changes)
    watch.preview(root, report_to=lambda _, report: told.append(report.problems))
    assert told == [()]  # of the first publish


def test_junk_does_not_stop_it(port: int) -> None:
    """After noise, half requests and hang-ups the site is still served."""
    noise = random.Random(5)
    for number in range(60):
        with socket.create_connection(("127.0.0.1", port), timeout=5) as other, contextlib.suppress(OSError):
            junk = noise.randbytes(noise.randrange(1, 20_000))
            start = [b"", b"GET ", b"GET / HTTP/1.1\r\n", b"GET / HTTP/9.9\r\nHost: ", b"\x16\x03\x01"][number % 5]
            other.sendall(start + junk)
            if number % 2:
                other.shutdown(socket.SHUT_WR)
                other.recv(100)
    assert ask(port, "/")[0] == 200


def test_connections_that_say_nothing_do_not_shut_others_out(port: int) -> None:
    """As many silent connections as a browser never opens leave room for the maker."""
    silent = [socket.create_connection(("127.0.0.1", port)) for _ in range(40)]
    try:
        assert ask(port, "/")[0] == 200
    finally:
        for other in silent:
            other.close()


def test_before_there_is_a_site_a_page_waits_for_it(tmp_path: Path) -> None:
    """With a problem in the book before any site, the page says so and listens."""
    with serving(tmp_path / "output", News()) as address:
        status, body, _ = ask(int(address.rstrip("/").rpartition(":")[2]), "/any/thing.html")
    assert status == 200
    assert b"No site yet" in body
    assert b"/-preview/follow.js" in body


@pytest.mark.skipif(sys.platform == "win32", reason="there are no such signals on Windows")
@pytest.mark.parametrize("asked", [signal.SIGINT, signal.SIGTERM])
def test_the_command_ends_cleanly_when_asked_to(tmp_path: Path, asked: signal.Signals) -> None:
    """Ctrl-C and a polite kill end it with a word, no traceback, and nothing left listening."""
    root = small_book(tmp_path, {"knot": "---\nname: Knot\n---\n"})
    with subprocess.Popen([*BOWBOOK, "preview"], cwd=root, stdout=-1, stderr=-1, text=True) as process:
        assert process.stdout is not None
        said = process.stdout.readline()
        found = re.search(r"http://127\.0\.0\.1:([0-9]+)/", said)
        assert found, said
        time.sleep(0.3)  # until it has begun to follow changes
        process.send_signal(asked)
        try:
            out, error = process.communicate(timeout=60)
        except subprocess.TimeoutExpired:  # also where whoever started the tests has Ctrl-C ignored
            process.kill()
            raise
    assert process.returncode == 0
    assert out.endswith("The preview has ended.\n")
    assert "Traceback" not in error
    with socket.socket() as probe:
        assert probe.connect_ex(("127.0.0.1", int(found[1]))) != 0
