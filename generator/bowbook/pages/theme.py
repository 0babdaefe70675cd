"""Themes: finding a theme's folder, filling its templates, and handing over its style sheets and scripts.

A theme is a folder: `templates/*.html`, style sheets and scripts beside them, and `theme.toml` with
`title = "…"` and, where it builds on another theme, `extends = "notebook"`. What a theme lacks is taken from the
one it extends, and `{% extends "notebook/page.html" %}` reaches past a template of the same name.
`sheets = ["notebook.css", "charts.css"]` names the style sheets that every page needs: they and the book's accent are
served as one file, `assets/look.css`, since a page on a phone waits for each file it must ask for.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterable, Iterator
from functools import lru_cache, partial
from pathlib import Path
from typing import TYPE_CHECKING, Any

from msgspec import Struct

import bowbook
from bowbook.book.problems import Location, Problem
from bowbook.charts.favicon import favicon_svg
from bowbook.charts.style import FILE, Style, default_style, read_style
from bowbook.pages.accent import accent_css
from bowbook.pages.chrome import Chrome, link
from bowbook.pages.plan import PageSpec, given
from bowbook.pages.service_worker import service_worker
from bowbook.pages.theme_problems import ThemeProblem, blame, from_themes

if TYPE_CHECKING:
    from jinja2 import Environment
    from markupsafe import Markup

__all__ = ["Theme", "ThemeProblem", "load_theme", "theme_again"]

SERVED = (".css", ".js", ".svg", ".woff2")
"""What of a theme's folder goes into the site's assets/."""

LOOK = "assets/look.css"
"""All style sheets that every page needs, as one."""


class Theme(Struct, frozen=True):
    """One theme, ready to render. `folders`: its own, then those it builds on; `sheets`: those every page needs."""

    name: str
    folders: tuple[Path, ...]
    environment: Environment
    style: Style
    sheets: tuple[str, ...] = ()

    def render(self, spec: PageSpec) -> bytes:
        """One page of the site, as the bytes to write. Raises ThemeProblem where a template cannot be filled."""
        frame = next(fact for _, fact in spec.shared if isinstance(fact, Chrome))
        page = given(spec, self.style)
        try:
            text = self.environment.get_template(spec.template).render(
                book=frame,
                page=page,
                here=spec.address,
                canonical=frame.absolute(spec.address),
                to=partial(link, spec.address),
            )
        except Exception as error:
            problem = blame(error, self.name, self.folders)
            if problem is None:
                raise
            raise ThemeProblem(problem) from error
        return (text.strip() + "\n").encode()

    def assets(self, accent: str | None = None) -> tuple[tuple[str, bytes], ...]:
        """Style sheets and scripts as (address, bytes), a theme's own before those it builds on."""
        found: dict[str, bytes] = {}
        for folder in self.folders:
            for path in sorted(folder.iterdir()):
                if path.suffix in SERVED:
                    found.setdefault(path.name, path.read_bytes())
        joined = {name for folder in self.folders for name in _settings(folder).get("sheets", ())}
        served = {f"assets/{name}": data for name, data in found.items() if name not in joined}
        look = b"".join(found[name].rstrip() + b"\n" for name in self.sheets)
        served[LOOK] = look + accent_css(accent).encode()
        served["favicon.svg"] = favicon_svg(accent).encode()
        return tuple(sorted(served.items()))

    def service_worker(self, files: Iterable[tuple[str, str]]) -> bytes:
        """The site's sw.js, versioned by every file's address and digest."""
        return service_worker(files)

    def files(self) -> tuple[Path, ...]:
        """Every file the theme is made of, in a fixed order, for noticing that the theme has changed."""
        return tuple(path for folder in self.folders for path in sorted(folder.rglob("*")) if path.is_file())


def load_theme(name: str, root: Path | str) -> Theme:
    """The theme called `name`: from the book at `root` first, else one that comes with the program.

    Raises ThemeProblem where there is no such theme, its theme.toml cannot be read or it names a style sheet that is
    not there.
    """
    folders = _lineage(name, Path(root))
    return Theme(name, folders, _environment(folders), _chart_style(folders), _sheets(folders))


@lru_cache(maxsize=1)
def theme_again(name: str, root: Path, files: str) -> Theme:  # noqa: ARG001 it tells a changed theme from the same
    """The same, with the templates compiled by then, while `files`, which stands for all themes' files, is the same."""
    return load_theme(name, root)


def theme_places(root: Path) -> tuple[Path, ...]:
    """Where themes are looked for: the book's own folder, beside the source, inside the installed program."""
    program = Path(bowbook.__file__).parent
    return (root / "themes", program.parent.parent / "themes", program / "themes")


def _lineage(name: str, root: Path) -> tuple[Path, ...]:
    """The theme's folder, then the folders of the themes it builds on."""
    folders: list[Path] = []
    wanted: str | None = name
    while wanted:
        # A book's own "notebook" may extend the program's "notebook": a folder already taken is not taken twice.
        folder = next((f for f in _called(wanted, root) if f not in folders), None)
        if folder is None:
            raise _no_theme(wanted, root, folders)
        folders.append(folder)
        wanted = _settings(folder).get("extends")
    return tuple(folders)


def _called(name: str, root: Path) -> Iterator[Path]:
    plain = re.fullmatch(r"[\w-]+", name)
    for place in theme_places(root):
        if plain and (place / name).is_dir():
            yield (place / name).resolve()


def _no_theme(wanted: str, root: Path, folders: list[Path]) -> ThemeProblem:
    known = sorted({f.name for place in theme_places(root) if place.is_dir() for f in place.iterdir() if f.is_dir()})
    instead = f"Write one of these: {', '.join(known)}." if known else "Put a folder of templates under themes/."
    place = Location(from_themes(folders[-1] / "theme.toml"), 1) if folders else Location("content/book.yaml")
    return ThemeProblem(Problem(place, f"there is no theme called {wanted!r}", instead))


def _settings(folder: Path) -> dict[str, Any]:
    path = folder / "theme.toml"
    if not path.is_file():
        return {}
    try:
        return tomllib.loads(path.read_text(encoding="utf-8"))
    except (tomllib.TOMLDecodeError, UnicodeDecodeError) as error:
        line = re.search(r"line (\d+)", str(error))
        place = Location(from_themes(path), int(line[1]) if line else 1)
        raise ThemeProblem(
            Problem(place, f"not valid TOML: {error}", 'Write lines like title = "Notebook".')
        ) from error


def _sheets(folders: tuple[Path, ...]) -> tuple[str, ...]:
    """The names of the style sheets for every page, as the nearest theme that names any has them."""
    for folder in folders:
        if names := tuple(_settings(folder).get("sheets", ())):
            for name in names:
                if not any((place / name).is_file() for place in folders):
                    what = f"sheets names {name!r}, which is not there"
                    raise ThemeProblem(
                        Problem(Location(from_themes(folder / "theme.toml"), 1), what, "Put it beside the file.")
                    )
            return names
    return ()


def _chart_style(folders: tuple[Path, ...]) -> Style:
    """The chart style of the nearest theme that has one."""
    file = next((folder / FILE for folder in folders if (folder / FILE).is_file()), None)
    if file is None:
        return default_style()
    try:
        return read_style(file)
    except ValueError as error:
        instead = "Write the keys that the notebook's chart-style.toml has."
        raise ThemeProblem(
            Problem(Location(from_themes(file), 1), f"this chart style cannot be used: {error}", instead)
        ) from error


def _environment(folders: tuple[Path, ...]) -> Environment:
    """A strict environment over the folders' templates: an undefined name stops, every text is escaped."""
    import jinja2

    loaders = [jinja2.FileSystemLoader(folder / "templates") for folder in folders]
    older = {folder.name: loader for folder, loader in zip(folders[1:], loaders[1:], strict=True)}
    environment = jinja2.Environment(
        loader=jinja2.ChoiceLoader([*loaders, jinja2.PrefixLoader(older)]),
        autoescape=True,
        undefined=jinja2.StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    environment.filters["quiet"] = quiet
    return environment


_GIVE_OR_TAKE = re.compile(r"(±[\s\u00a0\u202f]?[\d.,\u202f]+(?:[\s\u00a0\u202f]?%)?)")
_SPAN = re.compile(r"([\d.,]+–[\d.,]+\u00a0[^\s<,;.)]+)")


def quiet(text: object) -> Markup:
    """A sentence as HTML: each "± 2" in a quieter weight, each "4–7 mph" kept on one line."""
    from markupsafe import Markup, escape

    spans = _SPAN.sub(r'<span class="nb">\1</span>', str(escape(text)))
    return Markup(_GIVE_OR_TAKE.sub(r'<span class="pm">\1</span>', spans))
