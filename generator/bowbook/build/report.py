"""What came of a publish, as data; `terminal/publish_report.py` has the words."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from pathlib import Path
from typing import Protocol

from msgspec import Struct

from bowbook.book.problems import Problem


class Progress(Protocol):
    """Called with what is being done, how much of it is done, and how much there is (0: not known)."""

    def __call__(self, what: str, done: int = 0, total: int = 0) -> None: ...


def silent(what: str, done: int = 0, total: int = 0) -> None:
    """Says nothing."""


class PreviewClient(Protocol):
    """Somebody who looks at pages of the site while it is being made."""

    def pages(self) -> Collection[str]:
        """Addresses of the pages being looked at."""

    def show(self, pages: Mapping[str, bytes]) -> None:
        """Take these pages as they will be, before the site stands."""


class PublishReport(Struct, frozen=True):
    """What came of a publish. Addresses are relative to the output; with problems nothing was written.

    `made`: files that were made, new or the same again; `changed`: those of them whose bytes are new; `removed`:
    bowbook's own files that are no longer needed; `kept`: how many stayed as they were; `foreign`: what was found in
    the output that bowbook did not write, and left there; `set_aside`: copies of such things whose place a page
    needed, relative to the book; `doubts`: readings from which no figure could be worked out, of a site that stands.
    """

    output: Path
    pages: int = 0
    made: tuple[str, ...] = ()
    changed: tuple[str, ...] = ()
    removed: tuple[str, ...] = ()
    kept: int = 0
    foreign: tuple[str, ...] = ()
    set_aside: tuple[str, ...] = ()
    problems: tuple[Problem, ...] = ()
    doubts: tuple[Problem, ...] = ()
    wrote: bool = False

    def as_json(self) -> dict[str, object]:
        """The report as data, for scripts that send the site on."""
        told = "pages", "made", "changed", "removed", "kept", "foreign", "set_aside"
        return {"output": str(self.output), **{name: getattr(self, name) for name in told}}
