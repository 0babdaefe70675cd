"""`bowbook begin`: a new book in a folder, with a worked kite and stock to start from."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from bowbook.commands.common import print_problems
from bowbook.terminal.output import say, tell, visible

LENGTHS, FORCES, WINDS = ("mm", "cm", "in"), ("g", "oz", "N"), ("mph", "km/h", "m/s", "kn")


class UnitName(click.ParamType[str]):
    """One of a few units, by its short name or spelled out: in, inches, Inch."""

    name = "unit"

    def __init__(self, kind: str, choices: tuple[str, ...]) -> None:
        self.kind, self.choices = kind, choices

    def get_metavar(self, param: click.Parameter, ctx: click.Context) -> str:  # noqa: ARG002 click asks with both
        """The choices, as help shows them."""
        return f"[{'|'.join(self.choices)}]"

    def convert(self, value: str, param: click.Parameter | None, ctx: click.Context | None) -> str:
        """The unit's short name; a usage error for what is none of them."""
        try:
            return named_unit(value, self.kind, self.choices)
        except ValueError as wrong:
            self.fail(f"{visible(value)} is none of these. {wrong}", param, ctx)


def named_unit(answer: str, kind: str, choices: tuple[str, ...]) -> str:
    """The one of these units that is meant. Raises ValueError, with a sentence."""
    from bowbook.book.unit_tables import find_unit

    words = " ".join(answer.casefold().split())
    unit = find_unit(answer.strip(), kind) or find_unit(_IN_WORDS.get(words, words), kind)
    if unit not in choices:
        raise ValueError(f"Write {', '.join(choices[:-1])} or {choices[-1]}.")
    return unit


_IN_WORDS = {
    "miles an hour": "mph",
    "miles per hour": "mph",
    "miles": "mph",
    "metres a second": "m/s",
    "metres per second": "m/s",
    "meters per second": "m/s",
    "kilometres an hour": "km/h",
    "kilometres per hour": "km/h",
    "kilometers per hour": "km/h",
}


@click.command("begin")
@click.argument("folder", type=click.Path(path_type=Path, file_okay=False), metavar="DIR")
@click.option("--maker", help="Your name, as the pages show it.")
@click.option("--title", help="The book's title.")
@click.option("--length", type=UnitName("length", LENGTHS), help="Unit of lengths.")
@click.option("--force", type=UnitName("force", FORCES), help="What your scale shows.")
@click.option("--wind", type=UnitName("wind", WINDS), help="Unit of winds.")
def command(
    folder: Path, maker: str | None, title: str | None, length: str | None, force: str | None, wind: str | None
) -> None:
    """Begin a book in DIR: settings, stock with handbook ranges, and one worked kite, all with notes that teach.

    On a terminal it asks for your name and units; what you give as options it does not ask. It never overwrites.

    \b
    Examples:
      bowbook begin my-kites
      bowbook begin my-kites --maker "M. K." --length mm --force g --wind mph
    """
    from bowbook.book.records import Units
    from bowbook.storage.os_errors import StorageError
    from bowbook.terminal.starter import AlreadyThereError, NotSoundError, begin_book

    try:
        if (folder / "content").exists():
            raise AlreadyThereError(str(folder / "content"))
        maker = maker if maker is not None else _asked_name()
        length = length or _asked("Lengths in mm, cm or in? [mm]", "length", LENGTHS)
        force = force or _asked("Your scale shows g, oz or N? [g]", "force", FORCES)
        wind = wind or _asked("Winds in mph, km/h, m/s or kn? [mph]", "wind", WINDS)
        units = Units(length=length, force=force, mass="oz" if force == "oz" else "g", wind=wind)
        written = begin_book(folder, units, maker, title or (f"The kites of {maker}" if maker else "A book of kites"))
    except AlreadyThereError as there:
        tell(f"{there} is there already, so nothing was written. Begin in another folder.", err=True)
        sys.exit(1)
    except NotSoundError as wrong:
        print_problems(wrong.problems)
        tell("Nothing was written.", err=True)
        sys.exit(1)
    except (OSError, StorageError):
        tell("There is no book yet. Begin again when this is mended:", err=True)
        raise
    _say_begun(folder, written)


def _asked_name() -> str:
    """The maker's name from a terminal; "" where nobody can be asked."""
    from bowbook.terminal.prompts import ask, at_terminal

    if not at_terminal():
        return ""

    tell("A new book. Enter alone takes what is in [ ]; Ctrl-C leaves without writing anything.")
    return ask("Your name, as the pages show it? [me]", _name)


def _name(answer: str) -> str:
    """A name that fits the pages; raises ValueError for one that does not."""
    if len(answer) > 200 or not answer.isprintable():
        raise ValueError("Write a name of at most 200 letters on one line.")
    return answer


def _asked(question: str, kind: str, choices: tuple[str, ...]) -> str:
    """One of these from a terminal, the first for Enter alone and where nobody can be asked."""
    from bowbook.terminal.prompts import ask, at_terminal

    if not at_terminal():
        return choices[0]

    return ask(question, lambda answer: named_unit(answer, kind, choices) if answer else choices[0])


def _say_begun(folder: Path, written: list[str]) -> None:
    """Say what was written and what to do next."""
    tell(f"A new book is in {folder}:")
    for file in written:
        say(f"  {file}")
    go = "" if folder.resolve() == Path.cwd().resolve() else f"cd {visible(str(folder))} && "
    say()
    say("Next:")
    say(f"  {go}bowbook publish    makes the site; open output/index.html")
    say("  bowbook add Turnstone    adds your first kite")
    say("  bowbook bench turnstone    reads its bow on the scale")
