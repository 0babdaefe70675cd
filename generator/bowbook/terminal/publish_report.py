"""What came of a publish, in words."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from bowbook.build.report import PublishReport

_NAMED = 8


def sentences(report: PublishReport) -> list[str]:
    """The report in words, one sentence a line."""
    said = [f"{_counted(report.pages, 'page')} in {_shown(report.output)}: {_changes(report)}."]
    named = [address for address in report.foreign if address not in (".gitkeep", ".git")]
    if named:
        said.append(f"Left alone, because bowbook did not write it: {_some(named)}.")
    if report.set_aside:
        said.append(f"A page needed the place of something else, which is now at {_some(report.set_aside)}.")
    return said


def _changes(report: PublishReport) -> str:
    if not report.wrote:
        return "nothing has changed"
    changes = f"{_counted(len(report.changed), 'file')} changed, {report.kept} as before"
    return f"{changes}, {len(report.removed)} removed" if report.removed else changes


def _counted(number: int, noun: str) -> str:
    return f"{number} {noun}" if number == 1 else f"{number} {noun}s"


def _some(names: tuple[str, ...] | list[str]) -> str:
    """Names in a row, the first few of many."""
    shown = ", ".join(names[:_NAMED])
    return shown if len(names) <= _NAMED else f"{shown} and {len(names) - _NAMED} more"


def _shown(path: Path) -> str:
    """A folder as seen from where one is, if it lies below."""
    here = Path.cwd()
    return str(path.relative_to(here)) if path.is_relative_to(here) else str(path)
