"""`bowbook sheet`: a kite's printable sheet and full-size pattern."""

from __future__ import annotations

from pathlib import Path

import click

from bowbook.commands.common import book_option, kite_argument, kite_of, open_book
from bowbook.terminal.output import tell


@click.command("sheet")
@kite_argument
@click.option("--paper", type=click.Choice(["a4", "letter"]), help="Default: the book's paper.")
@click.option("--to", type=click.Path(path_type=Path, dir_okay=False), help="The PDF to write. Default: KITE.pdf here.")
@book_option
def command(kite: str, paper: str | None, to: Path | None, book: Path) -> None:
    """Print KITE's sheet and its full-size sail pattern into one PDF: enough for a friend to build it.

    \b
    Example:
      bowbook sheet dunlin --paper letter --to dunlin.pdf
    """
    read = open_book(book)
    key = kite_of(read, kite).key
    target = to or Path(f"{key}.pdf")

    from bowbook.findings.compute import compute_findings
    from bowbook.sheets.sheet import sheet_pdf

    data = sheet_pdf(compute_findings(read), key, paper or read.settings.paper)
    target.write_bytes(data)
    tell(f"The sheet of {read.kites[key].name} is in {target}.")
