"""`bowbook check`: name everything that is wrong in the book, or print its figures."""

from __future__ import annotations

import sys
from pathlib import Path

import click
from msgspec.structs import replace

from bowbook.commands.common import book_option, open_book, print_problems
from bowbook.pages.links import link_problems
from bowbook.terminal.output import say


@click.command("check")
@book_option
@click.option("--json", "as_data", is_flag=True, help="Print every figure as JSON, as in the site's data/kites.json.")
def command(book: Path, as_data: bool) -> None:
    """Read the whole book and name everything that is wrong in it.

    Each problem comes with its file, its line and what to write instead. Nothing is written. What passes is
    published. A reading that no bow gives (a droop too deep for its weight, say) stops nothing: --json, publishing
    and the kite's page say so.

    \b
    Example:
      bowbook check
      bowbook check --json > figures.json
    """
    read = open_book(book)
    read = replace(read, problems=(*read.problems, *link_problems(read)))
    problems = read.problems
    if as_data:
        from bowbook.findings.compute import compute_findings
        from bowbook.pages.data_files import as_json, json_text

        findings = compute_findings(read)
        problems = findings.problems
        click.echo(json_text(as_json(findings)), nl=False)
    if problems:
        print_problems(problems)
        sys.exit(1)
    if not as_data:
        kites = len(read.kites)
        say(f"{kites} {'kite' if kites == 1 else 'kites'}, nothing wrong.")
