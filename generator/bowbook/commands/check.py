"""`bowbook check`: name everything that is wrong in the book, or print its figures."""

from __future__ import annotations

import sys
from pathlib import Path

import click
from msgspec.structs import replace

from bowbook.commands.common import book_option, open_book, print_problems, print_questions
from bowbook.findings.odd_values import odd_in_book
from bowbook.format.read_book import with_source
from bowbook.pages.links import link_problems
from bowbook.terminal.output import say


@click.command("check")
@book_option
@click.option("--json", "as_data", is_flag=True, help="Print every figure as JSON, as in the site's data/kites.json.")
def command(book: Path, as_data: bool) -> None:
    """Read the whole book and name everything that is wrong in it.

    Each problem comes with its file, its line and what to write instead. Nothing is written. What passes is
    published. What only looks like a slip (a reading ten times its neighbours, an EI that no such rod has) is asked
    about, and stops nothing; so is a reading that no bow gives (a droop too deep for its weight, say), which --json,
    publishing and the kite's page say.

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
    questions = [] if as_data else [with_source(problem, book) for problem in odd_in_book(read)]
    print_problems(problems)
    print_questions(questions)
    if problems:
        sys.exit(1)
    if not as_data:
        kites, asked = len(read.kites), len(questions)
        odd = f"; {asked} {'value looks' if asked == 1 else 'values look'} like a slip" if asked else ""
        say(f"{kites} {'kite' if kites == 1 else 'kites'}, nothing wrong{odd}.")
