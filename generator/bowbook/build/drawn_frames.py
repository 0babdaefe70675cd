"""The frames of charts that were drawn before, kept in the book's `.bowbook/`.

A frame is the same for every chart with the same limits and ticks, so most publishes after the first ask for none
that is new, and never start matplotlib for a page. What is kept here is set into pages as it stands: it counts only in
the folder it was written in, beside the program that wrote it.
"""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from bowbook.charts import axes
from bowbook.storage.notes import UNREADABLE, read_note, write_note

FILE = "frames.json"
FORMAT = 1


def take_in(state: Path, version: str) -> frozenset[str]:
    """Let the charts have the frames of earlier publishes; gives their keys."""
    try:
        kept = read_note(state / FILE, format=FORMAT, version=version)
        drawn = {str(key): str(svg) for key, svg in kept["frames"].items()}
    except UNREADABLE:
        return frozenset()
    axes.keep(drawn)
    return frozenset(drawn)


def write_down(state: Path, version: str, drawn: Mapping[str, str]) -> None:
    """Keep the frames drawn so far for the next publish. Raises OSError."""
    write_note(state / FILE, format=FORMAT, version=version, frames=dict(sorted(drawn.items())))
