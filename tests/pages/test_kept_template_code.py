"""The compiled templates of the program's own themes are kept, and nothing that lies in their place does harm."""

from __future__ import annotations

import marshal
import os
import sys
from collections.abc import Callable
from importlib.util import cache_from_source
from pathlib import Path
from types import CodeType
from typing import Any

import jinja2
import pytest

from bowbook.build import inputs
from bowbook.build.publish import publish
from bowbook.pages.targets import PageSpec
from bowbook.pages.template_code import KeptCodeLoader
from bowbook.pages.theme import Theme, UntrustedThemeError, load_theme
from bowbook.pages.theme_problems import ThemeProblem
from bowbook.pages.theme_sandbox import Sandbox, sandbox
from bowbook.storage.noted import note
from helpers import ROOT, small_book
from planned import planned

SHIPPED = ROOT / "themes" / "notebook" / "templates"
TEXT = "<p>{{ name }}</p>"


@pytest.fixture(autouse=True)
def kept(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The folder below which Python, and so the program, keeps compiled code; empty at first."""
    folder = tmp_path / "kept"
    monkeypatch.setattr(sys, "pycache_prefix", str(folder))
    monkeypatch.setattr(sys, "dont_write_bytecode", False)
    return folder


@pytest.fixture
def compiled(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """The names of the templates compiled since the test began."""
    names: list[str] = []
    compile_it: Callable[..., CodeType] = Sandbox.compile

    def noted(self: Sandbox, source: str, name: str, *rest: Any, **more: Any) -> CodeType:
        names.append(name)
        return compile_it(self, source, name, *rest, **more)

    monkeypatch.setattr(Sandbox, "compile", noted)
    return names


def stock_page(root: Path) -> PageSpec:
    """The stock page of an empty book."""
    return next(spec for spec in planned(small_book(root / "a-book", {})) if spec.address == "stock.html")


def render(theme: Theme, spec: PageSpec) -> bytes:
    """The page in the theme's templates."""
    return theme.render(spec, spec.model())


def filled(path: Path, text: str = TEXT, version: str = "1") -> str:
    """A template of this text, loaded as one that stands at `path` and filled."""
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(text, encoding="utf-8")
    environment = sandbox(KeptCodeLoader(lambda _: (text, str(path), None), version))
    return environment.get_template("a.html").render(name="Swift")


def forge(path: Path, text: str, version: str, instead: str) -> None:
    """Keep, in the place of a template's code and sealed as it, the code of another template."""

    class Forging(jinja2.Environment):
        def compile(self, *_: Any, **__: Any) -> Any:
            return jinja2.Environment().compile(instead, path.name, str(path))

    KeptCodeLoader(lambda _: (text, str(path), None), version).load(Forging(), path.name)


def test_a_second_process_compiles_nothing(tmp_path: Path, compiled: list[str]) -> None:
    """A theme loaded again finds the code of all templates that were used, and fills them to the same bytes."""
    spec = stock_page(tmp_path)
    first = render(load_theme(None, tmp_path, "1"), spec)
    assert "stock.html" in compiled
    compiled.clear()
    assert render(load_theme(None, tmp_path, "1"), spec) == first
    assert compiled == []
    assert render(load_theme(None, tmp_path), spec) == first, "as without keeping any"
    assert "stock.html" in compiled


def test_publishing_keeps_the_code_beside_the_programs_own(tmp_path: Path, kept: Path) -> None:
    """It lies where Python keeps that of modules; what is published has none of it."""
    report = publish(small_book(tmp_path / "book", {}))
    assert report.problems == ()
    assert Path(cache_from_source(str(SHIPPED / "stock.html"))).is_file()
    assert {path.parent for path in kept.rglob("*") if "themes" in path.parts and path.is_file()} == {
        Path(cache_from_source(str(SHIPPED / "stock.html"))).parent
    }
    assert [path for path in report.output.rglob("*") if "pyc" in path.name] == []


@pytest.mark.parametrize(("text", "version"), [("<b>{{ name }}</b>", "1"), (TEXT, "2")])
def test_code_of_another_text_or_another_program_is_not_used(
    text: str, version: str, tmp_path: Path, compiled: list[str]
) -> None:
    """A template that was changed, or a program that was, compiles anew, and once."""
    path = tmp_path / "theme" / "a.html"
    filled(path)
    compiled.clear()
    assert filled(path, text, version) == text.replace("{{ name }}", "Swift")
    assert compiled == ["a.html"]
    filled(path, text, version)
    assert compiled == ["a.html"]


HARMS: dict[str, Callable[[Path, bytes], object]] = {
    "nothing": lambda file, _: file.write_bytes(b""),
    "a few bytes": lambda file, _: file.write_bytes(b"few"),
    "cut": lambda file, data: file.write_bytes(data[:-9]),
    "longer": lambda file, data: file.write_bytes(data + b"9"),
    "a bit turned in the code": lambda file, data: file.write_bytes(data[:-9] + bytes([data[-9] ^ 1]) + data[-8:]),
    "a bit turned in the seal": lambda file, data: file.write_bytes(bytes([data[0] ^ 1]) + data[1:]),
    "code without a seal": lambda file, _: file.write_bytes(marshal.dumps(compile("1 / 0", "a.html", "exec"))),
    "a folder": lambda file, _: file.mkdir(),
    "a link to nothing": lambda file, _: file.symlink_to("nothing"),
    "a pipe": lambda file, _: os.mkfifo(file),
}


@pytest.mark.parametrize("harm", HARMS)
def test_what_is_damaged_is_compiled_again(harm: str, tmp_path: Path, compiled: list[str]) -> None:
    """It costs time, and is put right but for a folder in its place."""
    path = tmp_path / "theme" / "a.html"
    assert filled(path) == "<p>Swift</p>"
    file = Path(cache_from_source(str(path)))
    data = file.read_bytes()
    file.unlink()
    HARMS[harm](file, data)
    compiled.clear()
    assert filled(path) == "<p>Swift</p>"
    assert compiled == ["a.html"]
    filled(path)
    assert compiled == (["a.html", "a.html"] if harm == "a folder" else ["a.html"])


def test_where_nothing_can_be_written_templates_are_compiled_each_time(
    tmp_path: Path, kept: Path, compiled: list[str]
) -> None:
    """A folder that cannot be made is no problem of anybody's."""
    kept.write_text("a file in the folder's place", encoding="utf-8")
    path = tmp_path / "theme" / "a.html"
    assert filled(path) == filled(path) == "<p>Swift</p>"
    assert compiled == ["a.html", "a.html"]


def test_a_python_told_to_keep_no_code_keeps_none(tmp_path: Path, kept: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """PYTHONDONTWRITEBYTECODE holds for templates too."""
    monkeypatch.setattr(sys, "dont_write_bytecode", True)
    assert filled(tmp_path / "theme" / "a.html") == "<p>Swift</p>"
    assert not kept.exists()


def test_no_code_of_a_books_own_theme_is_kept_or_used(tmp_path: Path) -> None:
    """What lies where it would be kept is not run, though it is sealed as the template's."""
    folder = tmp_path / "themes" / "mine"
    (folder / "templates").mkdir(parents=True)
    (folder / "theme.toml").write_text('extends = "notebook"\n', encoding="utf-8")
    own = folder / "templates" / "stock.html"
    own.write_text('{% extends "notebook/stock.html" %}\n', encoding="utf-8")
    with pytest.raises(UntrustedThemeError) as new:
        load_theme("mine", tmp_path)
    note("trusted-themes", new.value.digest)
    spec = stock_page(tmp_path)
    right = render(load_theme("mine", tmp_path, "1"), spec)
    assert not Path(cache_from_source(str(own))).exists()
    beneath = SHIPPED / "stock.html"
    assert Path(cache_from_source(str(beneath))).is_file(), "what it builds on is the program's"
    forge(own, own.read_text(encoding="utf-8"), "1", "forged")
    assert render(load_theme("mine", tmp_path, "1"), spec) == right
    Path(cache_from_source(str(beneath))).unlink()
    forge(beneath, beneath.read_text(encoding="utf-8"), "1", "forged")
    assert render(load_theme(None, tmp_path, "1"), spec) == b"forged\n", "so it would have been run"


def test_a_mistake_is_told_with_its_line_from_kept_code_too(tmp_path: Path) -> None:
    """The file, the line and the text of the line are those of the template."""
    spec = stock_page(tmp_path)

    def problems() -> object:
        with pytest.raises(ThemeProblem) as caught:
            load_theme(None, tmp_path, "1").render(spec, None)
        return caught.value.problems

    assert problems() == problems()


def test_compiled_code_is_no_file_of_a_theme(tmp_path: Path) -> None:
    """It changes neither what a site is made from nor the program's version; in content/ a name is a name."""
    root = small_book(tmp_path / "book", {})
    (root / "themes" / "mine").mkdir(parents=True)
    before = inputs.scan(root, {})
    (root / "themes" / "mine" / "__pycache__").mkdir()
    assert inputs.scan(root, {}).keys() <= before.keys(), "a folder that a full disk left empty is none either"
    for folder in (root / "themes" / "mine", root / "content" / "kites"):
        (folder / "__pycache__").mkdir(exist_ok=True)
        (folder / "__pycache__" / "stock.cpython-311.pyc").write_bytes(b"code")
    assert inputs.scan(root, {}).keys() - before.keys() == {"content/kites/__pycache__/stock.cpython-311.pyc"}
