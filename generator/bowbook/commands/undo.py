"""`bowbook undo`: take back what the last command wrote."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from bowbook.commands.common import KiteName, book_option, need_book
from bowbook.terminal.output import say, tell, visible


@click.command("undo")
@click.argument("kite", type=KiteName(), metavar="[KITE]", required=False)
@click.option("--look", is_flag=True, help="Only show what would be taken back.")
@book_option
def command(kite: str | None, look: bool, book: Path) -> None:
    """Show what the last command wrote and take it back: every file is then as it was before, to the byte.

    With KITE it is the last command that wrote into that kite's file. Give it again to go further back. What you
    have changed by hand since is never lost: such a file is left alone, and you are told.

    \b
    Examples:
      bowbook undo
      bowbook undo dunlin --look
    """
    from bowbook.storage.taking_back import TakingBackError, last_command, take_back
    from bowbook.terminal.prompts import LeftError, ask, one_of

    need_book(book)
    file = f"content/kites/{kite.removesuffix('.md').rpartition('/')[2]}.md" if kite else None
    try:
        last = last_command(book, file)
        tell(
            f"The last command that wrote{f' into {file}' if file else ''}: bowbook {visible(last.command)}", bold=True
        )
        for taken in last.files:
            _say_difference(taken.file, taken.now, taken.before)
        if look:
            return
        if sys.stdin.isatty():
            yes = ask("Take this back? yes or no [yes]", one_of({"": True, "yes": True, "no": False}, "yes or no"))
            if not yes:
                tell("Nothing was taken back.")
                return
        take_back(book, file, last)
    except TakingBackError as wrong:
        tell(str(wrong), err=True)
        sys.exit(1)
    except LeftError:
        tell("Nothing was taken back.")
        sys.exit(1)
    tell("Taken back. Further back: bowbook undo" + (f" {kite}" if kite else ""), fg="green")


def _say_difference(file: str, now: bytes, before: bytes | None) -> None:
    """The lines that go, and those that come back."""
    from difflib import ndiff

    if before is None:
        lines = len(now.splitlines())
        say(f"  {visible(file)}: the whole file goes, {lines} lines.")
        return
    say(f"  {visible(file)}")
    old, new = (data.decode("utf-8", "replace").splitlines() for data in (before, now))
    for line in ndiff(new, old):
        if line[:2] == "- ":
            say(f"    goes        {visible(line[2:])}")
        elif line[:2] == "+ ":
            say(f"    comes back  {visible(line[2:])}")
