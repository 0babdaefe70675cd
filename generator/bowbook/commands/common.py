"""What several commands share: the book's folder, finding a kite in it, printing problems."""

from __future__ import annotations

import contextlib
import os
import sys
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import click

from bowbook.book.problems import Problem
from bowbook.book.suggest import nearest
from bowbook.terminal.output import say, tell, visible

if TYPE_CHECKING:
    from click.shell_completion import CompletionItem

    from bowbook.book.records import Book, Kite, Units
    from bowbook.format.edit import FileEdit, TextChange

book_option = click.option(
    "--book",
    type=click.Path(path_type=Path, file_okay=False),
    default=Path(),
    help="The book's folder. Default: the folder you are in.",
)


def open_book(root: Path, named: str = "", hidden: bool = False) -> Book:
    """The book in this folder; a usage error without one. The kite that is `named` is in it even if it is hidden.

    With `hidden` all hidden kites are.
    """
    from bowbook.format.read_book import read_book

    need_book(root)
    return read_book(root, also=lambda kite: hidden or (bool(named) and _is_called(kite, named)))


def need_book(root: Path) -> None:
    """Raises a usage error where there is no book in this folder."""
    if not (root / "content").is_dir():
        raise click.UsageError(
            f"There is no book in {visible(str(root.resolve()))}: it has no content folder. "
            "Go to the book's folder, name it with --book, or begin one: bowbook begin my-kites"
        )


def _key_of(named: str) -> str:
    return named.removesuffix(".md").rpartition("/")[2]


def _is_called(kite: Kite, named: str) -> bool:
    """Whether a kite has this key, file or name."""
    return kite.key == _key_of(named) or named.casefold() in (kite.key.casefold(), kite.name.casefold())


def kite_of(book: Book, named: str) -> Kite:
    """The kite with this key or name; its problems are printed where it has any, a usage error where it is none."""
    key = _key_of(named)
    if key in book.kites:
        return book.kites[key]
    same = [kite for kite in book.kites.values() if _is_called(kite, named)]
    if len(same) == 1:
        return same[0]
    file = f"content/kites/{key}.md"
    own = [problem for problem in book.problems if problem.location.file == file]
    if own:
        print_problems(own)
        sys.exit(1)
    near = nearest(key, book.kites, 3, 0.5)
    hint = f" Did you mean {' or '.join(near)}?" if near else f" Add it first: bowbook add {key}"
    raise click.UsageError(f"There is no kite {visible(named)} in this book.{visible(hint)}")


def print_problems(problems: Iterable[Problem]) -> None:
    """Print all problems on standard error, in colour on a terminal."""
    from bowbook.book.problems import render

    shown = [*problems]
    colour = sys.stderr.isatty() and not os.environ.get("NO_COLOR")
    if shown:
        click.echo("\n\n".join(render(problem, colour) for problem in shown), err=True, color=colour)


def print_questions(odd: Iterable[Problem]) -> None:
    """Print what only looks like a slip on standard error, wrapped like prose, in yellow on a terminal.

    Its line has a mark under the spot, as that of a problem has.
    """
    from bowbook.book.problems import line_and_mark

    for problem in odd:
        place = f"{problem.location.file}:{problem.location.line}"
        tell(f"{place}: {problem.message}", fg="yellow", err=True)
        for line, ink in zip(line_and_mark(problem), (None, "yellow"), strict=False):
            say(f"  {line}", fg=ink, err=True)
        tell(problem.hint, "  ", err=True)
        say(err=True)


class KiteName(click.ParamType[str]):
    """A kite's key, completed from the names of the files in content/kites."""

    name = "kite"

    def shell_complete(
        self,
        ctx: click.Context,
        param: click.Parameter,  # noqa: ARG002 click asks with a parameter
        incomplete: str,
    ) -> list[CompletionItem]:
        """Keys of the kites that begin so."""
        from click.shell_completion import CompletionItem

        folder = Path(ctx.params.get("book") or ".") / "content" / "kites"
        keys = sorted(file.stem for file in folder.glob("*.md")) if folder.is_dir() else []
        return [CompletionItem(key) for key in keys if key.startswith(incomplete)]


kite_argument = click.argument("kite", type=KiteName(), metavar="KITE")


def agree_to_theme(root: Path, agreed: bool) -> Callable[[], object]:
    """Ask, once on this machine, whether a theme that came with the book may be used; not where it is `agreed` already.

    Gives a function that agrees anew once the maker has changed that theme; it agrees to no other.
    """
    if not (root / "themes").is_dir():
        return lambda: None
    from bowbook.format.read_book import read_settings
    from bowbook.pages.theme import UntrustedThemeError, load_theme
    from bowbook.pages.theme_problems import ThemeProblem
    from bowbook.storage.noted import note
    from bowbook.terminal.prompts import at_terminal

    name = read_settings(root).theme

    def settle(agrees: Callable[[UntrustedThemeError], bool]) -> bool:
        try:
            load_theme(name, root)
        except UntrustedThemeError as new:
            if not agrees(new):
                return False
            note("trusted-themes", new.digest)
        except ThemeProblem:
            return False  # publishing says what is wrong with it
        return True

    if settle(lambda new: agreed or (at_terminal() and _agrees(new.name))):
        return lambda: settle(lambda new: new.name == name)
    return lambda: None


def _agrees(name: str) -> bool:
    """The answer given at the terminal."""
    from bowbook.terminal.prompts import LeftError, ask, one_of

    tell(
        f"This book brings a look of its own, themes/{name}. It decides what every page holds, and its scripts run "
        "in the browser of whoever reads the site. Use it if you made it, or trust who did."
    )
    try:
        return ask("Use it on this machine? yes or no [no]", one_of({"": False, "no": False, "yes": True}, "yes or no"))
    except LeftError:
        return False


def write_into(edit: Callable[[Path], Path], path: Path) -> Path:
    """Edit a maker's file and give the place of the copy of what it was; a refusal is said and ends the command."""
    with _refusals_said():
        return path_from_here(edit(path))


def write_all(edits: Sequence[FileEdit], units: Units) -> list[Path]:
    """Edit several files of a maker's, all or none, and give the places of the copies; else as `write_into`."""
    from bowbook.format.edit import edit_files

    with _refusals_said():
        return [path_from_here(kept) for kept in edit_files(edits, units)]


@contextlib.contextmanager
def _refusals_said() -> Iterator[None]:
    from bowbook.format.edit_positions import EditError

    try:
        yield
    except EditError as refused:
        from bowbook.wording.numbers import capital

        tell(f"{capital(refused.message)}. {refused.hint}", err=True, fg="red")
        sys.exit(1)


def write_flights(
    root: Path, flown: Mapping[str, Sequence[TextChange]], book: Book, seen: Mapping[str, bytes] | None = None
) -> None:
    """Change the flights of several kites, by key, all or none; kites that have flown now move on in their stage."""
    from bowbook.format.edit import FileEdit, value
    from bowbook.terminal.stage import stage_after_flight

    edits, moved = [], []
    for key, changes in flown.items():
        kite = book.kites[key]
        if (stage := stage_after_flight(kite)) is not None:
            changes = [*changes, value("stage", stage)]
            moved.append(f"{kite.name} is not {kite.stage} any more: its stage is now {stage}.")
        edits.append(FileEdit(root / kite.file, tuple(changes), (seen or {}).get(key)))
    write_all(edits, book.settings.units)
    for sentence in moved:
        tell(sentence)


def path_from_here(path: Path) -> Path:
    """A path as seen from where one is, if it lies below."""
    with contextlib.suppress(ValueError):
        return path.resolve().relative_to(Path.cwd().resolve())
    return path
