"""`bowbook preview`: look at the site while you write."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from bowbook.commands.common import agree_to_theme, book_option, open_book, print_problems
from bowbook.terminal.output import say

if TYPE_CHECKING:
    from bowbook.build.report import PublishReport
    from bowbook.terminal.progress_line import ProgressLine


@click.command("preview")
@click.option("--port", type=click.IntRange(0, 65535), default=0, help="Default: one the system finds free.")
@book_option
@click.option("--trust-theme", is_flag=True, help="Use the look that came with this book; remembered for it as it is.")
def command(port: int, book: Path, trust_theme: bool) -> None:
    """Publish, show the site in a browser on this machine only, and follow every change you save.

    A page reloads by itself when its files change; what is wrong in a file is shown over the page and here. Ctrl-C
    ends it.

    \b
    Example:
      bowbook preview
    """
    from bowbook.preview.watch import preview
    from bowbook.terminal.progress_line import ProgressLine

    open_book(book)
    changed = agree_to_theme(book, trust_theme)
    with ProgressLine(sys.stderr) as progress:
        preview(book, port, progress=progress, report_to=_Told(port, progress), changed=changed)
    say("\nThe preview has ended.")


class _Told:
    """Prints the address once, then what came of each publish."""

    def __init__(self, port: int, progress: ProgressLine) -> None:
        self._port, self._progress, self._said = port, progress, False

    def __call__(self, address: str, report: PublishReport) -> None:
        self._progress.wipe()
        if not self._said:
            if self._port and f":{self._port}/" not in address:
                say(f"Port {self._port} is taken by another program; the next free one is used.")
            say(f"The site is at {address} on this machine only. Ctrl-C ends the preview.", bold=True)
            self._said = True
        if report.problems:
            print_problems(report.problems)
        else:
            from bowbook.terminal.publish_report import sentences

            for sentence in sentences(report):
                say(sentence)
        sys.stdout.flush()
