"""What a publish makes for its pages that a later one may use: drawn charts, and parts of lists and data."""

from __future__ import annotations

from functools import partial
from pathlib import Path

from bowbook.pages.parts import Parts, recalled

Fresh = dict[str, bytes]
"""Parts made since they were last handed over."""


class Pieces:
    """The pieces at hand in this process, and where they are kept between publishes."""

    def __init__(self, state: Path, version: str) -> None:
        self.parts = Parts(partial(recalled, state, version))
        self._state, self._version = state, version
        self._fresh: Fresh = {}

    def hand_over(self) -> Fresh:
        """What this process has made since it was last asked: it has to reach the one that started it."""
        return self.parts.hand_over()

    def take(self, fresh: Fresh) -> None:
        """Take what was made for one file, here or in another process."""
        self._fresh |= fresh

    def keep(self) -> None:
        """Write down what is new. Raises OSError."""
        if self._fresh:
            self.parts.take_in(self._fresh)
            self.parts.keep(self._state, self._version)
