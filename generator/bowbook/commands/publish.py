"""`bowbook publish`: check the book and put its site in place."""

from __future__ import annotations

import os
import sys
from pathlib import Path

import click

from bowbook.commands.common import agree_to_theme, book_option, path_from_here, print_problems
from bowbook.terminal.output import say, say_json, tell


@click.command("publish")
@book_option
@click.option("--to", type=click.Path(path_type=Path), default=None, help="Where the site goes. Default: output.")
@click.option("--workers", type=click.IntRange(1, 64), default=os.cpu_count() or 1, help="Processes to share the work.")
@click.option("--json", "as_data", is_flag=True, help="Print as JSON which files were made, changed and removed.")
@click.option("--trust-theme", is_flag=True, help="Use the look that came with this book; remembered for it as it is.")
def command(book: Path, to: Path | None, workers: int, as_data: bool, trust_theme: bool) -> None:
    """Check the book and put its site in place, whole or not at all.

    Where anything is wrong, it is named, and the site stays as it was.

    \b
    Example:
      bowbook publish
      bowbook publish --json > published.json
    """
    from bowbook.build.publish import publish
    from bowbook.storage.signals import ended_by_ctrl_c
    from bowbook.terminal.progress_line import ProgressLine
    from bowbook.terminal.publish_report import sentences

    agree_to_theme(book, trust_theme)
    with ended_by_ctrl_c(), ProgressLine(sys.stderr) as progress:
        report = publish(book, output=to, workers=workers, progress=progress)
    if report.problems:
        print_problems(report.problems)
        sys.exit(1)
    if as_data:
        say_json(report.as_json())
        return
    for sentence in sentences(report):
        say(sentence)
    if report.doubts:
        tell("The site stands, without figures from these lines:", err=True)
        print_problems(report.doubts)
    say(f"Open {path_from_here(report.output / 'index.html')} in a browser.")
