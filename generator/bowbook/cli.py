"""The commands: each parses its options, calls one room and prints what came of it."""

from __future__ import annotations

import os
import sys
from collections.abc import Iterable
from pathlib import Path

import click

from bowbook import __version__
from bowbook.book.faults import Fault

book_option = click.option(
    "--book",
    type=click.Path(path_type=Path, file_okay=False),
    default=Path("."),
    help="The book's folder. Default: the folder you are in.",
)


@click.group(context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 80})
@click.version_option(__version__, prog_name="bowbook")
def main() -> None:
    """Keep a book of hand-made bowed kites, and publish it as a site."""


@main.command()
@book_option
@click.option("--to", type=click.Path(path_type=Path), default=None, help="Where the site goes. Default: output.")
@click.option("--workers", type=click.IntRange(1, 64), default=os.cpu_count() or 1, help="Processes to share the work.")
def publish(book: Path, to: Path | None, workers: int) -> None:
    """Check the book and put its site in place, whole or not at all.

    Example: bowbook publish
    """
    from bowbook.site.progress import Progress
    from bowbook.site.publish import publish as publish_site

    with Progress(sys.stderr) as progress:
        report = publish_site(book, output=to, workers=workers, progress=progress)
    if report.faults:
        print_faults(report.faults)
        sys.exit(1)
    for sentence in report.sentences():
        click.echo(sentence)


@main.command()
@book_option
@click.option("--json", "as_data", is_flag=True, help="Print every figure as JSON, as in the site's data/kites.json.")
def check(book: Path, as_data: bool) -> None:
    """Read the whole book and name everything that is wrong with it.

    Example: bowbook check
    """
    from bowbook.book.reading import read_book

    read = read_book(book)
    faults: Iterable[Fault] = read.faults
    if as_data:
        from bowbook.findings.book import work_out
        from bowbook.site.feeds import as_json, json_text

        findings = work_out(read)
        faults = findings.book.faults
        click.echo(json_text(as_json(findings)), nl=False)
    if faults:
        print_faults(faults)
        sys.exit(1)
    if not as_data:
        kites = len(read.kites)
        click.echo(f"{kites} {'kite' if kites == 1 else 'kites'}, nothing wrong.")


def print_faults(faults: Iterable[Fault]) -> None:
    """Print all faults on standard error, in colour on a terminal."""
    from bowbook.book.faults import render

    colour = sys.stderr.isatty() and not os.environ.get("NO_COLOR")
    click.echo("\n\n".join(render(fault, colour) for fault in faults), err=True, color=colour)
