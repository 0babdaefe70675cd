"""What a publish makes for its pages that a later one may use: frames of charts, and parts of lists and data."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import partial
from pathlib import Path

from bowbook.build import drawn_frames
from bowbook.charts import axes
from bowbook.pages.parts import Parts, recalled


@dataclass(slots=True)
class Fresh:
    """Frames and parts made since they were last handed over."""

    frames: dict[str, str] = field(default_factory=dict)
    parts: dict[str, bytes] = field(default_factory=dict)


class Pieces:
    """The pieces at hand in this process, and where they are kept between publishes."""

    def __init__(self, state: Path, version: str) -> None:
        self.parts = Parts(partial(recalled, state, version))
        self._state, self._version = state, version
        self._frames_kept: frozenset[str] | None = None
        self._fresh = Fresh()

    def recall(self) -> None:
        """Take in the frames that earlier publishes kept; parts come when one is asked for."""
        self._frames_kept = drawn_frames.take_in(self._state, self._version)

    def hand_over(self) -> Fresh:
        """What this process has made since it was last asked: it has to reach the one that started it."""
        return Fresh(axes.fresh(), self.parts.hand_over())

    def take(self, fresh: Fresh) -> None:
        """Take what was made for one file, here or in another process."""
        self._fresh.frames |= fresh.frames
        self._fresh.parts |= fresh.parts

    def keep(self) -> None:
        """Write down what is new. Raises OSError."""
        if self._frames_kept is not None:
            axes.keep(self._fresh.frames)
            if axes.kept().keys() - self._frames_kept:
                drawn_frames.write_down(self._state, self._version, axes.kept())
        if self._fresh.parts:
            self.parts.take_in(self._fresh.parts)
            self.parts.keep(self._state, self._version)
