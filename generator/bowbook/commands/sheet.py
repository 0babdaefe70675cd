"""`bowbook sheet`: a kite's printable sheet and full-size pattern."""

from __future__ import annotations

import contextlib
import os
import sys
from pathlib import Path

import click

from bowbook.commands.common import book_option, kite_argument, kite_of, open_book
from bowbook.storage.backups import write_whole
from bowbook.terminal.output import tell


@click.command("sheet")
@kite_argument
@click.option("--paper", type=click.Choice(["a4", "letter"]), help="Default: the book's paper.")
@click.option("--to", type=click.Path(path_type=Path, dir_okay=False), help="The PDF to write. Default: KITE.pdf here.")
@click.option("--force", is_flag=True, help="Overwrite a file that this command did not write.")
@book_option
def command(kite: str, paper: str | None, to: Path | None, force: bool, book: Path) -> None:
    """Print KITE's sheet and its full-size sail pattern into one PDF: enough for a friend to build it.

    What it wrote before it overwrites, and nothing else.

    \b
    Example:
      bowbook sheet dunlin --paper letter --to dunlin.pdf
    """
    read = open_book(book, kite)
    key = kite_of(read, kite).key
    target = to or Path(f"{key}.pdf")

    from bowbook.findings.compute import compute_findings
    from bowbook.sheets.sheet import sheet_pdf
    from bowbook.storage.noted import is_written, note_written
    from bowbook.storage.signals import ended_by_ctrl_c

    if os.path.lexists(target) and not (is_written(target) or (force and target.is_file())):
        instead = (
            "name another with --to, or overwrite it with --force." if target.is_file() else "name another with --to."
        )
        tell(f"{target} is there already, and this command did not write it: {instead}", err=True, fg="red")
        sys.exit(1)

    with ended_by_ctrl_c():
        data = sheet_pdf(compute_findings(read), key, paper)
    with contextlib.suppress(OSError):  # without the note this sheet is not overwritten unless --force says so
        note_written(data)
    write_whole(target, data)
    tell(f"The sheet of {read.kites[key].name} is in {target}.")
