"""Themes: finding a theme's folder, filling its templates, and handing over its style sheets and scripts.

A theme is a folder: `templates/*.html`, style sheets and scripts beside them, and `theme.toml` with
`title = "…"` and, where it builds on another theme, `extends = "notebook"`. What a theme lacks is taken from the
one it extends, and `{% extends "notebook/page.html" %}` reaches past a template of the same name.
`sheets = ["notebook.css", "charts.css"]` names the style sheets that every page needs: they and the book's accent are
served as one file, `assets/look.css`, since a page on a phone waits for each file it must ask for.

A book's own themes/ are looked at only where book.yaml names a theme, and used only once they were agreed to on this
machine: a theme decides what every page holds, and its scripts run wherever the site is read.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from functools import lru_cache, partial
from pathlib import Path
from typing import TYPE_CHECKING

from msgspec import Struct

import bowbook
from bowbook.book.problems import Location, Problem
from bowbook.charts.favicon import favicon_svg
from bowbook.charts.style import FILE, Style, default_style, read_style
from bowbook.pages.accent import accent_css
from bowbook.pages.chrome import link
from bowbook.pages.service_worker import service_worker
from bowbook.pages.targets import PageSpec
from bowbook.pages.theme_files import SERVED, SETTINGS, TEMPLATES, ThemeFolder, read_folder, theme_digest
from bowbook.pages.theme_problems import ThemeProblem, blame, from_themes
from bowbook.storage.noted import is_noted
from bowbook.wording.numbers import stopped
from bowbook.wording.terms import with_terms_explained

if TYPE_CHECKING:
    from jinja2 import Environment
    from markupsafe import Markup

DEFAULT = "notebook"
LOOK = "assets/look.css"
"""All style sheets that every page needs, as one."""


class Theme(Struct, frozen=True):
    """One theme, ready to render. `folders`: its own, then those it builds on; `sheets`: those every page needs."""

    name: str
    folders: tuple[ThemeFolder, ...]
    environment: Environment
    style: Style
    sheets: tuple[str, ...] = ()

    def render(self, spec: PageSpec, page: object) -> bytes:
        """A page's model as the bytes to write. Raises ThemeProblem where its template cannot be filled."""
        frame = spec.chrome()
        try:
            text = self.environment.get_template(spec.template).render(
                book=frame,
                page=page,
                here=spec.address,
                canonical=frame.absolute(spec.address),
                to=partial(link, spec.address),
                explain=partial(explain, used=set()),
            )
        except Exception as error:
            problem = blame(error, self.name, tuple(folder.path for folder in self.folders))
            if problem is None:
                raise
            raise ThemeProblem(problem) from error
        return (text.strip() + "\n").encode()

    def assets(self, accent: str | None = None) -> tuple[tuple[str, bytes], ...]:
        """Style sheets and scripts as (address, bytes), a theme's own before those it builds on."""
        found: dict[str, bytes] = {}
        for folder in self.folders:
            for name, data in folder.files.items():
                if "/" not in name and name.endswith(SERVED):
                    found.setdefault(name, data)
        joined = {name for folder in self.folders for name in folder.settings().get("sheets", ())}
        served = {f"assets/{name}": data for name, data in found.items() if name not in joined}
        look = b"".join(found[name].rstrip() + b"\n" for name in self.sheets)
        served[LOOK] = look + accent_css(accent).encode()
        served["favicon.svg"] = favicon_svg(accent).encode()
        return tuple(sorted(served.items()))

    def service_worker(self, files: Iterable[tuple[str, str]]) -> bytes:
        """The site's sw.js, versioned by every file's address and digest."""
        return service_worker(files)


class UntrustedThemeError(ThemeProblem):
    """A theme that came with the book and was not agreed to on this machine; `digest` is what to agree to."""

    def __init__(self, folder: ThemeFolder, digest: str) -> None:
        what = f"the theme {folder.name!r} comes with this book and has not been used on this machine"
        instead = f"Look at what is in {from_themes(folder.path)}, then publish with --trust-theme."
        super().__init__(Problem(Location("content/book.yaml"), what, instead))
        self.name, self.digest = folder.name, digest


def load_theme(name: str | None, root: Path | str, version: str = "") -> Theme:
    """The theme called `name`: from the book at `root` first, else one that comes with the program.

    None is the program's own look, whatever the book brings. `version` stands for the program as it is: where it is
    given, the compiled templates of the program's own themes are kept for the next time. Raises ThemeProblem where
    there is no such theme, one of its files cannot be used or it names a style sheet that is not there;
    UntrustedThemeError, which is one, where the book's own was not agreed to.
    """
    places = theme_places(Path(root))
    folders = _lineage(name or DEFAULT, places if name else places[1:])
    own = tuple(folder for folder in folders if folder.own)
    if own and not is_noted("trusted-themes", theme_digest(own)):
        raise UntrustedThemeError(own[0], theme_digest(own))
    environment = _environment(folders, version)
    return Theme(name or DEFAULT, folders, environment, _chart_style(folders), _sheets(folders))


@lru_cache(maxsize=1)
def theme_again(name: str | None, root: Path, version: str, files: str) -> Theme:  # noqa: ARG001 it tells a changed theme
    """The same, with the templates compiled by then, while `files`, which stands for all themes' files, is the same."""
    return load_theme(name, root, version)


def theme_places(root: Path) -> tuple[Path | None, ...]:
    """Where themes are looked for: the book's own folder, None where it has none, and the program's."""
    program = Path(bowbook.__file__).parent
    installed, source = program / "themes", program.parent.parent / "themes"
    shipped = installed if installed.is_dir() else source
    own = root / "themes"
    return (own if own.is_dir() and own.resolve() != shipped.resolve() else None, shipped)


def _lineage(name: str, places: tuple[Path | None, ...]) -> tuple[ThemeFolder, ...]:
    """The theme's folder, then the folders of the themes it builds on."""
    folders: list[ThemeFolder] = []
    wanted: object = name
    while wanted:
        # A book's own "notebook" may extend the program's "notebook": a folder already taken is not taken twice.
        taken = {folder.path for folder in folders}
        found = next(((path, own) for path, own in _called(str(wanted), places) if path not in taken), None)
        if found is None:
            raise _no_theme(str(wanted), places, folders)
        folders.append(read_folder(*found))
        wanted = folders[-1].settings().get("extends")
    return tuple(folders)


def _called(name: str, places: tuple[Path | None, ...]) -> Iterator[tuple[Path, bool]]:
    """The folders of this name, and whether each is the book's own; one that is a link out of themes/ is none."""
    if not re.fullmatch(r"[\w-]+", name):
        return
    for number, place in enumerate(places):
        if place is not None and (place / name).is_dir():
            own = number < len(places) - 1  # the last place is the program's
            if not own or (place / name).resolve().parent == place.resolve():
                yield (place / name).resolve(), own


def _no_theme(wanted: str, places: tuple[Path | None, ...], folders: list[ThemeFolder]) -> ThemeProblem:
    known = sorted({f.name for place in places if place and place.is_dir() for f in place.iterdir() if f.is_dir()})
    instead = f"Write one of these: {', '.join(known)}." if known else "Put a folder of templates under themes/."
    what = f"there is no theme called {wanted!r}"
    if folders:
        return folders[-1].problem(SETTINGS, what, instead)
    return ThemeProblem(Problem(Location("content/book.yaml"), what, instead))


def _sheets(folders: tuple[ThemeFolder, ...]) -> tuple[str, ...]:
    """The names of the style sheets for every page, as the nearest theme that names any has them."""
    for folder in folders:
        if names := folder.settings().get("sheets", ()):
            if not isinstance(names, list) or not all(isinstance(name, str) for name in names):
                raise folder.problem(SETTINGS, "sheets is not a list of names", 'Write sheets = ["mine.css"].')
            for name in names:
                if not any(name in place.files for place in folders):
                    raise folder.problem(SETTINGS, f"sheets names {name!r}, which is not there", "Put it beside it.")
            return tuple(names)
    return ()


def _chart_style(folders: tuple[ThemeFolder, ...]) -> Style:
    """The chart style of the nearest theme that has one."""
    folder = next((folder for folder in folders if FILE in folder.files), None)
    if folder is None:
        return default_style()
    try:
        return read_style(folder.path / FILE)
    except ValueError as error:
        instead = "Write the keys that the notebook's chart-style.toml has."
        raise folder.problem(FILE, f"this chart style cannot be used: {error}", instead) from error


def _environment(folders: tuple[ThemeFolder, ...], version: str) -> Environment:
    """A sandbox over the folders' templates; the code of the program's own is kept, where its `version` is known."""
    import jinja2

    from bowbook.pages.template_code import KeptCodeLoader
    from bowbook.pages.theme_sandbox import sandbox

    def loader(folder: ThemeFolder) -> jinja2.FunctionLoader:
        find = partial(_template, folder)
        return KeptCodeLoader(find, version) if version and not folder.own else jinja2.FunctionLoader(find)

    loaders = [loader(folder) for folder in folders]
    older = {folder.name: loader for folder, loader in zip(folders[1:], loaders[1:], strict=True)}
    environment = sandbox(jinja2.ChoiceLoader([*loaders, jinja2.PrefixLoader(older)]))
    environment.filters["quiet"] = quiet
    environment.filters["stop"] = lambda words: stopped(words)[len(words) :]
    return environment


def _template(folder: ThemeFolder, name: str) -> tuple[str, str, None] | None:
    """A template's text and where it stands, as Jinja2 wants them; None where the folder has not got it."""
    inside = f"{TEMPLATES}/{name}"
    return (folder.text(inside), str(folder.path / inside), None) if inside in folder.files else None


_GIVE_OR_TAKE = re.compile(r"(±[\s\u00a0\u202f]?[\d.,\u202f]+(?:[\s\u00a0\u202f]?%)?)")
_SPAN = re.compile(r"([\d.,]+–[\d.,]+\u00a0[^\s<,;.)]+)")


def explain(text: object, used: set[str]) -> Markup:
    """A sentence as HTML with the words of the trade explained that this page has not `used` before."""
    from markupsafe import Markup

    return Markup(with_terms_explained(quiet(text), used))


def quiet(text: object) -> Markup:
    """A sentence as HTML: each "± 2" in a quieter weight, each "4–7 mph" kept on one line."""
    from markupsafe import Markup, escape

    spans = _SPAN.sub(r'<span class="nb">\1</span>', str(escape(text)))
    return Markup(_GIVE_OR_TAKE.sub(r'<span class="pm">\1</span>', spans))
