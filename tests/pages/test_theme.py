"""Themes: a mistake in one is said with its template and line, and two quite different ones dress the same book."""

from __future__ import annotations

from pathlib import Path

import pytest
from PIL import Image

from bowbook.build.publish import publish
from bowbook.charts.contrast import contrast
from bowbook.pages.accent import READABLE, accent_css, readable
from bowbook.pages.targets import PageSpec
from bowbook.pages.theme import Theme, UntrustedThemeError, load_theme
from bowbook.pages.theme import quiet as quietly
from bowbook.pages.theme_problems import ThemeProblem
from bowbook.storage.noted import note
from helpers import small_book
from planned import planned

QUIET_PAGE = '{% extends "notebook/stock.html" %}\n'


def own_theme(root: Path, settings: str = 'extends = "notebook"\n', **templates: str) -> Path:
    """A book's own theme called `mine`, with these templates; gives its folder."""
    folder = root / "themes" / "mine"
    (folder / "templates").mkdir(parents=True)
    (folder / "theme.toml").write_text(settings, encoding="utf-8")
    for name, text in templates.items():
        (folder / "templates" / f"{name}.html").write_text(text, encoding="utf-8")
    return folder


def trusted(name: str, root: Path) -> Theme:
    """The book's own theme, agreed to as it stands."""
    with pytest.raises(UntrustedThemeError) as new:
        load_theme(name, root)
    note("trusted-themes", new.value.digest)
    return load_theme(name, root)


def page(root: Path, address: str = "stock.html") -> PageSpec:
    """One page of an empty book."""
    return next(spec for spec in planned(small_book(root / "a-book", {})) if spec.address == address)


def render(theme: Theme, spec: PageSpec) -> bytes:
    """The page in the theme's templates."""
    return theme.render(spec, spec.model())


def refused(root: Path, theme: Theme) -> ThemeProblem:
    """The problem that rendering the stock page with the theme gives."""
    with pytest.raises(ThemeProblem) as caught:
        render(theme, page(root))
    return caught.value


def test_an_undefined_name_is_a_problem_at_its_line(tmp_path: Path) -> None:
    """A name the page is not given stops the page, at the template's file and line, with the line's text."""
    own_theme(tmp_path, stock="{# first line #}\n<p>{{ page.tittle }}</p>\n")
    problem = refused(tmp_path, trusted("mine", tmp_path)).problems[0]
    assert problem.location.file == "themes/mine/templates/stock.html"
    assert problem.location.line == 2
    assert problem.source == "<p>{{ page.tittle }}</p>"
    assert "tittle" in problem.message


def test_a_template_that_cannot_be_read_is_a_problem_at_its_line(tmp_path: Path) -> None:
    """A block that is never closed is named with its file and line."""
    own_theme(tmp_path, stock="<p>\n{% for a in b %}\n")
    problem = refused(tmp_path, trusted("mine", tmp_path)).problems[0]
    assert problem.location.file == "themes/mine/templates/stock.html"
    assert problem.location.line >= 2


def test_a_missing_template_is_a_problem(tmp_path: Path) -> None:
    """A theme of its own that lacks a page's template says which."""
    own_theme(tmp_path, settings="")
    assert "stock.html" in refused(tmp_path, trusted("mine", tmp_path)).problems[0].message


def test_a_failing_line_is_a_problem_too(tmp_path: Path) -> None:
    """A template that does what cannot be done is named with its line, not with a traceback."""
    own_theme(tmp_path, stock="\n\n{{ 'a' + 1 }}\n")
    assert refused(tmp_path, trusted("mine", tmp_path)).problems[0].location.line == 3


def test_an_unknown_theme_names_those_there_are(tmp_path: Path) -> None:
    """A theme that is not there is answered with the ones that are."""
    with pytest.raises(ThemeProblem) as caught:
        load_theme("notebok", tmp_path)
    problem = caught.value.problems[0]
    assert "notebok" in problem.message
    assert "notebook" in problem.hint
    assert "slate" in problem.hint


def test_a_theme_is_never_looked_for_outside_the_themes(tmp_path: Path) -> None:
    """A name with a path in it finds nothing."""
    with pytest.raises(ThemeProblem):
        load_theme("../../etc", tmp_path)


def test_wrong_settings_are_a_problem(tmp_path: Path) -> None:
    """theme.toml and chart-style.toml that cannot be read are named."""
    folder = own_theme(tmp_path, settings="title = \n")
    with pytest.raises(ThemeProblem, match="TOML"):
        load_theme("mine", tmp_path)
    (folder / "theme.toml").write_text('extends = "notebook"\n', encoding="utf-8")
    (folder / "chart-style.toml").write_text("[lines]\nheavy = 'very'\n", encoding="utf-8")
    with pytest.raises(ThemeProblem, match="chart style"):
        trusted("mine", tmp_path)


def test_a_books_own_theme_may_build_on_the_one_of_the_same_name(tmp_path: Path) -> None:
    """themes/notebook in a book can extend the program's notebook, and its files come first."""
    folder = tmp_path / "themes" / "notebook"
    (folder / "templates").mkdir(parents=True)
    (folder / "theme.toml").write_text('extends = "notebook"\n', encoding="utf-8")
    (folder / "notebook.css").write_text("p { color: red }\n", encoding="utf-8")
    (folder / "templates" / "stock.html").write_text(QUIET_PAGE, encoding="utf-8")
    theme = trusted("notebook", tmp_path)
    assert dict(theme.assets())["assets/look.css"].startswith(b"p { color: red }\n")
    assert b"<h1>Stock</h1>" in render(theme, page(tmp_path))


def test_every_page_needs_one_style_sheet(tmp_path: Path) -> None:
    """A theme's sheets and the book's accent are one file, the accent last; a sheet that is missing is a problem."""
    look = dict(load_theme("slate", tmp_path).assets("#2f6f8f"))["assets/look.css"].decode()
    assert look.index("Slate") < look.index("Charts") < look.rindex("--accent")
    folder = own_theme(tmp_path, 'extends = "notebook"\nsheets = ["mine.css"]\n')
    with pytest.raises(ThemeProblem, match=r"mine\.css"):
        trusted("mine", tmp_path)
    (folder / "mine.css").write_text("b { color: red }\n", encoding="utf-8")
    served = dict(trusted("mine", tmp_path).assets())
    assert served["assets/look.css"] == b"b { color: red }\n"
    assert "assets/mine.css" not in served


@pytest.mark.parametrize("name", ["notebook", "slate"])
def test_either_theme_dresses_every_page_of_a_book_of_any_fullness(name: str, tmp_path: Path) -> None:
    """An empty book, and one with a kite that is only a name, give whole pages in both themes."""
    theme = load_theme(name, tmp_path)
    books = {
        "empty": small_book(tmp_path / "empty", {}),
        "named": small_book(tmp_path / "named", {"kittiwake": "---\nname: <b>Kitti & wake</b>\n---\n"}),
    }
    for root in books.values():
        for spec in planned(root):
            text = render(theme, spec).decode()
            assert text.startswith("<!doctype html>"), spec.address
            assert text.endswith("</html>\n"), spec.address
            assert "<b>Kitti" not in text, spec.address
            assert " style=" not in text, spec.address
            assert " onclick" not in text, spec.address


def test_an_empty_book_tells_what_to_do(tmp_path: Path) -> None:
    """The shelf of an empty book says how to begin; a kite that is only a name has its page and its sheet."""
    theme = load_theme("notebook", tmp_path)
    empty = {spec.address: spec for spec in planned(small_book(tmp_path / "e", {}))}
    assert b"bowbook add" in render(theme, empty["index.html"])
    named = small_book(tmp_path / "n", {"kittiwake": "---\nname: Kittiwake\n---\n"})
    pages = {spec.address: spec for spec in planned(named)}
    assert {"kites/kittiwake/index.html", "kites/kittiwake/sheet.html"} <= set(pages)
    assert b"One kite, still on the ground." in render(theme, pages["index.html"])
    assert b"Each would give the next number" in render(theme, pages["kites/kittiwake/index.html"])


def test_rendering_twice_gives_the_same_bytes(tmp_path: Path) -> None:
    """A page is a function of its facts and its theme."""
    theme, spec = load_theme("notebook", tmp_path), page(tmp_path, "index.html")
    assert render(theme, spec) == render(theme, spec)


def test_the_offline_script_changes_with_what_it_holds(tmp_path: Path) -> None:
    """Another digest of any file gives another version, and then only."""
    theme = load_theme("notebook", tmp_path)
    one = theme.service_worker([("index.html", "aa"), ("how.html", "bb")])
    assert one == theme.service_worker([("how.html", "bb"), ("index.html", "aa")])
    assert one != theme.service_worker([("index.html", "aa"), ("how.html", "cc")])


def test_the_preview_picture_wears_the_books_theme(tmp_path: Path) -> None:
    """A kite's card has the sky that the theme's chart style names, not the notebook's."""
    root = small_book(tmp_path, {"kittiwake": "---\nname: Kittiwake\n---\n"}, book="theme: slate\n")
    assert publish(root).wrote
    with Image.open(root / "output" / "kites" / "kittiwake" / "card.png") as picture:
        painted = picture.convert("RGB").getpixel((3, 3))
    sky = load_theme("slate", root).style.card["sky"]
    assert painted == pytest.approx(tuple(bytes.fromhex(sky[1:])), abs=6)  # the picture has a small palette


@pytest.mark.parametrize("accent", ["#ffee00", "#b3123b", "#000000", "#ffffff", "#2f6f8f", "#88ff88"])
def test_an_accent_of_any_colour_stays_readable(accent: str) -> None:
    """The accent is moved in lightness until it reads as text on light and on dark paper (WCAG 2.2, 1.4.3)."""
    for paper in ("#e3eef3", "#16263a"):
        assert contrast(readable(accent, paper), paper) >= 4.5
    assert READABLE > 4.5
    assert accent_css(None) == ""


def test_uncertainties_are_set_quieter_and_ranges_stay_together() -> None:
    """ "± 2" gets its own class and "4–7 mph" never breaks; the maker's own signs are escaped."""
    assert str(quietly("7\u00a0% stiffer, ±\u00a02\u00a0%")) == (
        '7\u00a0% stiffer, <span class="pm">±\u00a02\u00a0%</span>'
    )
    assert str(quietly("in 4–7\u00a0mph <i>")) == 'in <span class="nb">4–7\u00a0mph</span> &lt;i&gt;'
