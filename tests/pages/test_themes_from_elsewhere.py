"""A look that came with somebody else's book is used only when it was agreed to, and reaches nothing of the machine."""

from __future__ import annotations

import os
import re
import socket
import sys
from collections.abc import Callable
from pathlib import Path

import pytest
from click.testing import CliRunner

from bowbook.build.publish import publish
from bowbook.cli import main
from bowbook.pages.targets import PageSpec
from bowbook.pages.theme import Theme, UntrustedThemeError, load_theme
from bowbook.pages.theme_problems import ThemeProblem
from bowbook.storage.noted import note
from helpers import small_book
from planned import planned

KITE = {"knot": "---\nname: Knot\nmass: 20 g\n---\nA story.\n"}

# Ways that templates of this engine have been led out of their page, and their neighbours.
ESCAPES = [
    "{{ ''.__class__.__mro__ }}",
    "{{ ''['__class__'] }}",
    "{{ ''|attr('__class__') }}",
    "{{ page|attr('__class__') }}",
    "{{ to.func }}",
    "{{ to.func.__globals__ }}",
    "{{ to.__self__ }}",
    "{{ to['func'] }}",
    "{{ book.absolute.__func__ }}",
    "{{ book.absolute.__globals__['os'].popen('id').read() }}",
    "{{ lipsum.__globals__ }}",
    "{{ lipsum() }}",
    "{{ cycler.__init__.__globals__.os.popen('id').read() }}",
    "{{ joiner.__init__.__globals__ }}",
    "{{ namespace.__init__ }}",
    "{{ range.__class__ }}",
    "{{ dict.fromkeys }}",
    "{{ dict.mro() }}",
    "{{ self.__init__ }}",
    "{{ self._TemplateReference__context }}",
    "{{ self.environment }}",
    "{% import 'notebook/bits.html' as s %}{{ s.__loader__ }}",
    "{% import 'notebook/bits.html' as s %}{{ s._body_stream }}",
    "{{ '{0.__class__}'.format(page) }}",
    "{{ '%1000000000d' % 1 }}",
    "{{ 'a' * 10**9 }}",
    "{{ [0] * 999999999 }}",
    "{{ 999999999 * 'ab' }}",
    "{{ 9 ** 9 ** 9 }}",
    "{{ range(10**9)|list }}",
    "{{ 'x'|center(10**9) }}",
    "{{ 'x'.ljust(10**9) }}",
    "{{ 'x'.zfill(10**9) }}",
    "{{ 'x'|indent(10**9) }}",
    "{{ [page]|map('attr', '__class__')|list }}",
    "{{ [page]|map(attribute='__class__')|list|first.__mro__ }}",
    "{{ [page]|groupby('__class__')|first|first|attr('mro') }}",
    "{{ page.__struct_fields__ }}",
    "{{ book.units.__class__ }}",
    "{% include '../../../../etc/passwd' %}",
    "{% include '/etc/passwd' %}",
    "{% extends '../notebook/templates/stock.html' %}",
    "{% set x = book.nav %}{{ x.append(1) }}",
    "{% for a in page %}{{ loop._iterator }}{% endfor %}",
    "{% macro m() %}{% endmacro %}{{ m._func }}",
    "{% macro m() %}{% endmacro %}{{ m.__call__.__globals__ }}",
    "{{ ''.encode('utf-16') }}",
    "{{ (1).__class__ }}",
    "{{ none.__class__ }}",
    "{{ page.anything_that_is_not_there }}",
    "{{ " + "(" * 3000 + "1" + ")" * 3000 + " }}",
    "{% if 1 %}" * 3000 + "{% endif %}" * 3000,
    "{% for a in [1] %}" * 40 + "{% endfor %}" * 40,
    "{{ " + "[" * 300 + "1" + "]" * 300 + " }}",
    "{{ " + "not " * 5000 + "1 }}",
    "{{ 1" + " + 1" * 20_000 + " }}",
    "{% set n = namespace(x=3) %}{% for a in range(60) %}{% set n.x = n.x * n.x %}{% endfor %}",
]


def own_theme(root: Path, name: str = "mine", template: str = '{% extends "notebook/stock.html" %}\n') -> Path:
    """A book's own theme with one template; gives its folder."""
    folder = root / "themes" / name
    (folder / "templates").mkdir(parents=True)
    (folder / "theme.toml").write_text('extends = "notebook"\n', encoding="utf-8")
    (folder / "templates" / "stock.html").write_text(template, encoding="utf-8")
    return folder


def agreed(root: Path, name: str = "mine") -> Theme:
    """The theme, agreed to as it stands."""
    try:
        return load_theme(name, root)
    except UntrustedThemeError as new:
        note("trusted-themes", new.digest)
    return load_theme(name, root)


@pytest.fixture(scope="module")
def stock_page(tmp_path_factory: pytest.TempPathFactory) -> PageSpec:
    """The stock page of a small book."""
    root = small_book(tmp_path_factory.mktemp("stock") / "book", KITE)
    return next(spec for spec in planned(root) if spec.address == "stock.html")


@pytest.mark.parametrize("escape", ESCAPES)
def test_a_template_reaches_nothing_but_its_page(escape: str, tmp_path: Path, stock_page: PageSpec) -> None:
    """Each way out is a problem at the template's line; nothing is run, read or filled with memory."""
    own_theme(tmp_path, template=escape)
    theme = agreed(tmp_path)
    with pytest.raises(ThemeProblem) as refused:
        theme.render(stock_page, stock_page.model())
    assert refused.value.problems[0].location.file.startswith("themes/mine")


def test_what_a_theme_needs_works(tmp_path: Path, stock_page: PageSpec) -> None:
    """Loops, records, texts, macros, filters and small sums: a look can be written with what is allowed."""
    own_theme(
        tmp_path,
        template="{% macro m(a) %}<b>{{ a }}</b>{% endmacro %}{% set n = namespace(x=0) %}"
        "{% for item in book.nav %}{% set n.x = loop.index * 2 %}{{ m(item.title|upper) }}{{ loop.cycle('a', 'b') }}"
        "{% endfor %}{{ n.x }} {{ 'ab'.replace('a', 'c') ~ '-' * 3 }} {{ to('index.html') }} {{ {'a': 1}.items() }}",
    )
    text = agreed(tmp_path).render(stock_page, stock_page.model()).decode()
    assert re.search(r"<b>[A-Z ]+</b>a<b>[A-Z ]+</b>b", text)
    assert "cb--- index.html" in text


def test_a_theme_nobody_named_is_not_used(tmp_path: Path) -> None:
    """A folder themes/notebook in a book does not take the place of the program's notebook."""
    root = small_book(tmp_path / "book", KITE)
    own_theme(root, "notebook", "<!doctype html>TAKEN OVER")
    assert publish(root).wrote
    assert b"TAKEN OVER" not in (root / "output" / "stock.html").read_bytes()


def test_a_theme_that_is_named_is_asked_for_once(tmp_path: Path) -> None:
    """Named in book.yaml it is refused until agreed to; then it stays agreed, and any change of it asks anew."""
    root = small_book(tmp_path / "book", KITE, book="theme: mine\n")
    folder = own_theme(root, template="<!doctype html>MINE</html>")
    runner = CliRunner()
    refused = runner.invoke(main, ["publish", "--book", str(root)])
    assert refused.exit_code == 1
    assert "--trust-theme" in refused.output
    assert not (root / "output").exists()
    assert runner.invoke(main, ["publish", "--book", str(root), "--trust-theme"]).exit_code == 0
    assert b"MINE" in (root / "output" / "stock.html").read_bytes()
    assert runner.invoke(main, ["publish", "--book", str(root)]).exit_code == 0
    for change in (
        lambda: (folder / "templates" / "stock.html").write_text("<!doctype html>OTHER</html>", encoding="utf-8"),
        lambda: (folder / "more.js").write_text("//", encoding="utf-8"),
        lambda: (folder / "theme.toml").write_text('extends = "slate"\n', encoding="utf-8"),
        lambda: (folder / "templates" / "page.html").write_text("", encoding="utf-8"),
    ):
        change()
        assert runner.invoke(main, ["publish", "--book", str(root)]).exit_code == 1
        assert runner.invoke(main, ["publish", "--book", str(root), "--trust-theme"]).exit_code in (0, 1)
    named = [path for path in root.rglob("*") if path.is_file() and "output" not in path.parts]
    assert not any("trusted" in path.name for path in named)


def test_the_terminal_is_asked(tmp_path: Path) -> None:
    """On a terminal the look is asked about; only a yes uses it."""
    pexpect = pytest.importorskip("pexpect", reason="needs a terminal of the Unix kind")
    root = small_book(tmp_path / "book", KITE, book="theme: mine\n")
    own_theme(root)
    env = {"PATH": "/usr/bin:/bin", "TERM": "xterm", "PYTHONUTF8": "1", "BOWBOOK_STATE": str(tmp_path / "state")}
    for answer, status in (("", 1), ("no", 1), ("yes", 0)):
        words = ["-c", "from bowbook.cli import main; main()", "publish"]
        child = pexpect.spawn(sys.executable, words, cwd=str(root), env=env, encoding="utf-8", timeout=120)
        child.expect_exact("Use it on this machine?")
        child.sendline(answer)
        child.expect(pexpect.EOF)
        child.wait()
        assert child.exitstatus == status, (answer, child.before)
    assert (tmp_path / "state").is_dir()


def _fifo(path: Path) -> None:
    os.mkfifo(path)


def _socket(path: Path) -> None:
    here = Path.cwd()
    os.chdir(path.parent)  # the whole path may be too long for a socket's name
    try:
        with socket.socket(socket.AF_UNIX) as made:
            made.bind(path.name)
    finally:
        os.chdir(here)


def _large(path: Path) -> None:
    with path.open("wb") as file:
        file.truncate(3_000_000)


@pytest.mark.parametrize(
    "make",
    [
        _fifo,
        _socket,
        _large,
        lambda path: path.symlink_to("/etc/hostname"),
        lambda path: path.symlink_to("/dev/zero"),
        lambda path: path.symlink_to("../../../content/book.yaml"),
        lambda path: path.symlink_to(path.name),
        lambda path: path.write_bytes(b"\xff\xfe\x00"),
    ],
    ids=["pipe", "socket", "too large", "link to a file", "link to a device", "link into the book", "ring", "no text"],
)
@pytest.mark.parametrize("name", ["theme.toml", "chart-style.toml", "mine.css", "templates/stock.html"])
def test_a_theme_is_made_of_plain_files(name: str, make: Callable[[Path], object], tmp_path: Path) -> None:
    """Whatever else stands in a file's place is a problem of that file at once, never waited for and never followed."""
    folder = own_theme(tmp_path)
    (folder / name).unlink(missing_ok=True)
    make(folder / name)
    if name == "mine.css" and (folder / name).is_file() and (folder / name).stat().st_size == 3:
        return  # a style sheet is served as it is
    with pytest.raises(ThemeProblem) as refused:
        agreed(tmp_path)
    assert refused.value.problems[0].location.file == f"themes/mine/{name}"


def test_a_theme_folder_that_is_a_link_is_none(tmp_path: Path) -> None:
    """themes/mine that leads elsewhere is not a theme of this book."""
    elsewhere = own_theme(tmp_path / "other")
    (tmp_path / "book" / "themes").mkdir(parents=True)
    (tmp_path / "book" / "themes" / "mine").symlink_to(elsewhere)
    with pytest.raises(ThemeProblem, match="no theme called"):
        load_theme("mine", tmp_path / "book")
