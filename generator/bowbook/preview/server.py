"""A small web server for the preview: one folder, this machine only, and news of what has changed."""

from __future__ import annotations

import contextlib
import hashlib
import http.server
import json
import mimetypes
import os
import posixpath
import socket
import stat
import threading
import time
from collections.abc import Mapping
from http import HTTPStatus
from pathlib import Path
from typing import Any
from urllib.parse import unquote

from bowbook.book.problems import Problem, render

HOST = "127.0.0.1"
_OWN = "/-preview/"
_MOST_AT_ONCE = 64  # connections: a browser holds a handful
_SILENCE_S = 10.0  # a request that takes longer to arrive is no browser's
_LONGEST_S = 20.0  # that a connection may take in all
_LOOKED_AT_S = 3.0  # after a page has asked: it asks four times a second, or every two seconds behind others
_TYPES = {".webp": "image/webp", ".svg": "image/svg+xml", ".js": "text/javascript", ".md": "text/markdown"}

FOLLOW = """\
// Reloads the page when the site has changed, and shows over it what is wrong with the book.
let known = null;
let mark = "";
async function ask() {
  try {
    const headers = mark ? { "If-None-Match": mark } : {};
    const answer = await fetch("/-preview/news?" + location.pathname, { headers, cache: "no-store" });
    if (answer.status === 200) {
      mark = answer.headers.get("ETag");
      const { site, problems } = await answer.json();
      if (known !== null && site !== known) { location.reload(); return; }
      known = site;
      show(problems);
    }
  } catch { /* the preview has ended, or is about to begin again */ }
  setTimeout(ask, document.hidden ? 2000 : 250);
}
ask();
function show(problems) {
  document.getElementById("preview-problems")?.remove();
  if (!problems) return;
  const box = document.createElement("section");
  box.id = "preview-problems";
  box.setAttribute("role", "alert");
  box.tabIndex = 0;
  const title = document.createElement("h2");
  title.textContent = "Not published: the page below is the last good one";
  const text = document.createElement("pre");
  text.textContent = problems;
  box.append(title, text);
  Object.assign(box.style, { position: "fixed", insetInline: "0", top: "0", zIndex: "9999", maxHeight: "70vh",
    overflow: "auto", padding: "1rem 1.5rem", background: "#fff", color: "#1c1c1c",
    borderBottom: "4px solid #b3261e" });
  Object.assign(title.style, { margin: "0 0 .5rem", fontSize: "1rem", color: "#b3261e" });
  Object.assign(text.style, { margin: "0", whiteSpace: "pre-wrap", font: "14px/1.5 monospace" });
  document.body.append(box);
}
"""

_WAITING = """\
<!DOCTYPE html>
<html lang="en"><head><meta charset="utf-8"><title>No site yet</title>
<meta name="viewport" content="width=device-width"><script src="/-preview/follow.js" defer></script></head>
<body><h1>No site yet</h1><p>It appears here as soon as the book has no problem.</p></body></html>
"""


class News:
    """How many times the site has changed, and what is wrong with the book; each open page polls it.

    No page keeps a connection for it: a browser opens six to one address, and a seventh page would wait for ever.
    Pages in `ahead` are served before the site they belong to stands: for them the site counts as changed already.
    """

    def __init__(self, problems: tuple[Problem, ...] = ()) -> None:
        self.problems = problems
        self.ahead: Mapping[str, bytes] = {}
        self._asked: dict[str, float] = {}
        self._site = 0
        self._lock = threading.Lock()

    def tell(self, problems: tuple[Problem, ...], new_site: bool) -> None:
        """Note what came of a publish."""
        with self._lock:
            self.problems = problems
            self.ahead = {}
            self._site += new_site

    def show(self, pages: Mapping[str, bytes]) -> None:
        """Serve these pages at once; `tell` follows with what came of the publish."""
        with self._lock:
            self.ahead = dict(pages)

    def pages(self) -> frozenset[str]:
        """Addresses of the pages that are open: those that polled a moment ago."""
        since = time.monotonic() - _LOOKED_AT_S
        with self._lock:
            self._asked = {page: at for page, at in self._asked.items() if at > since}
            return frozenset(self._asked)

    def now(self, page: str = "") -> bytes:
        """The news for a page, as JSON."""
        with self._lock:
            self._asked[page] = time.monotonic()
            text = "\n\n".join(render(problem) for problem in self.problems)
            return json.dumps({"site": self._site + (page in self.ahead), "problems": text}).encode()


class Server(http.server.ThreadingHTTPServer):
    """Serves one folder to this machine."""

    daemon_threads = True
    block_on_close = False
    request_queue_size = 32

    def __init__(self, site: Path, news: News, port: int) -> None:
        self.site, self.news = site, news
        self._room = threading.BoundedSemaphore(_MOST_AT_ONCE)
        self._ends: dict[socket.socket, float] = {}  # of every connection, when it has had its time
        super().__init__((HOST, port), _Answer)

    def process_request(self, request: Any, client_address: Any) -> None:
        """Answer in a thread of its own, or hang up where too many are being answered."""
        if self._room.acquire(blocking=False):
            self._ends[request] = time.monotonic() + _LONGEST_S
            super().process_request(request, client_address)
        else:
            self.shutdown_request(request)

    def process_request_thread(self, request: Any, client_address: Any) -> None:
        """Answer one connection."""
        try:
            super().process_request_thread(request, client_address)
        finally:
            self._ends.pop(request, None)
            self._room.release()

    def service_actions(self) -> None:
        """Close connections that have taken too long: a browser on the same machine never needs that much."""
        now = time.monotonic()
        for request, end in list(self._ends.items()):
            if now > end:
                with contextlib.suppress(OSError):
                    request.shutdown(socket.SHUT_RDWR)

    def handle_error(self, request: object, client_address: object) -> None:
        """Nothing: a connection that breaks is not this program's fault."""


class _Answer(http.server.BaseHTTPRequestHandler):
    """Answers one connection."""

    server: Server
    server_version = "preview"
    sys_version = ""
    timeout = _SILENCE_S

    def do_GET(self) -> None:
        """A page, a file, or the preview's own news."""
        if not self._from_here():
            self._send(HTTPStatus.FORBIDDEN, b"This site is served to this machine alone.\n", "text/plain")
        elif not self.path.startswith("/"):
            self._send(HTTPStatus.BAD_REQUEST, b"That is no address.\n", "text/plain")
        else:
            path, _, asked = self.path.partition("#")[0].partition("?")
            if path == f"{_OWN}news":
                self._news(page_at(asked))
            elif path == f"{_OWN}follow.js":
                self._send(HTTPStatus.OK, FOLLOW.encode(), "text/javascript")
            else:
                self._file(path)

    do_HEAD = do_GET

    def log_message(self, format: str, *args: object) -> None:
        """Nothing: the terminal is for what the maker does."""

    def _from_here(self) -> bool:
        """Whether the request names this machine: a page from elsewhere can reach us, but under its own name."""
        hosts = self.headers.get_all("Host") or []
        names = {f"{name}:{self.server.server_port}" for name in (HOST, "localhost")}
        origin = self.headers.get("Origin")
        return len(hosts) == 1 and hosts[0].lower() in names and origin in (None, *(f"http://{n}" for n in names))

    def _file(self, path: str) -> None:
        """A file of the site, or that there is none."""
        site = self.server.site
        ahead = self.server.news.ahead.get(page_at(path))
        if ahead is not None:
            self._send(HTTPStatus.OK, _with_follow(ahead, ".html"), _type_of(".html"))
            return
        if not site.is_dir():
            self._send(HTTPStatus.OK, _WAITING.encode(), "text/html; charset=utf-8")
            return
        found = find(site, path)
        if found is not None and found.is_dir():
            if not path.endswith("/"):
                self._send(HTTPStatus.MOVED_PERMANENTLY, b"", "text/plain", Location=posixpath.basename(path) + "/")
                return
            found = find(site, f"{path}index.html")
        # What a browser keeps for the field would outlive the preview and answer in its stead.
        data = None if found is None or path == "/sw.js" else _read(found)
        if found is None or data is None:
            missing = _read(site / "404.html") or b"There is no such page.\n"
            self._send(HTTPStatus.NOT_FOUND, missing, "text/html; charset=utf-8")
        else:
            self._send(HTTPStatus.OK, _with_follow(data, found.suffix), _type_of(found.suffix))

    def _send(self, status: HTTPStatus, body: bytes, media_type: str, **headers: str) -> None:
        self.send_response(status)
        self.send_header("Content-Type", media_type)
        self.send_header("Content-Length", str(len(body)))
        self.send_header("Cache-Control", "no-store")
        self.send_header("X-Content-Type-Options", "nosniff")
        self.send_header("Cross-Origin-Resource-Policy", "same-origin")
        for name, value in headers.items():
            self.send_header(name, value)
        self.end_headers()
        if self.command != "HEAD":
            self.wfile.write(body)

    def _news(self, page: str) -> None:
        """The news for one page; where it is what the page has, that it is."""
        body = self.server.news.now(page)
        mark = f'"{hashlib.sha256(body).hexdigest()[:16]}"'
        if self.headers.get("If-None-Match") == mark:
            self._send(HTTPStatus.NOT_MODIFIED, b"", "application/json", ETag=mark)
        else:
            self._send(HTTPStatus.OK, body, "application/json", ETag=mark)


def page_at(path: str) -> str:
    """The address of the page that a request's path means; of another file, or nothing at all, if it means no page.

    >>> page_at("/"), page_at("/kites/knot/"), page_at("/kites/%C3%A5/index.html")
    ('index.html', 'kites/knot/index.html', 'kites/å/index.html')
    """
    address = unquote(path).removeprefix("/")
    return f"{address}index.html" if not address or address.endswith("/") else address


def find(site: Path, path: str) -> Path | None:
    """The file or folder of the site at a request's path; None where there is none. Nothing leads outside."""
    try:
        parts = [unquote(part, errors="strict") for part in path.split("/") if part]
    except UnicodeDecodeError:
        return None
    here = site
    for part in parts:
        if part.startswith(".") or any(mark in part for mark in "/\\\0:"):  # what is hidden is no page
            return None
        here = here / part
        try:
            mode = os.lstat(here).st_mode
        except (OSError, ValueError):
            return None
        if not (stat.S_ISDIR(mode) or stat.S_ISREG(mode)):
            return None
    return here


def _read(path: Path) -> bytes | None:
    """A plain file's bytes; a link put in its place meanwhile is not followed."""
    try:
        handle = os.open(path, os.O_RDONLY | getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_BINARY", 0))
        with os.fdopen(handle, "rb") as file:
            return file.read()
    except OSError:
        return None


def _with_follow(data: bytes, suffix: str) -> bytes:
    """A page with the script that follows changes; what is no page, or allows no script, as it is."""
    head, end, rest = data.partition(b"</head>")
    if suffix != ".html" or not end or b"script-src 'self'" not in head:
        return data
    return head + b'<script src="/-preview/follow.js" defer></script>' + end + rest


def _type_of(suffix: str) -> str:
    kind = _TYPES.get(suffix) or mimetypes.types_map.get(suffix, "application/octet-stream")
    text = kind.startswith("text/") or kind in ("application/json", "application/xml")
    return f"{kind}; charset=utf-8" if text else kind
