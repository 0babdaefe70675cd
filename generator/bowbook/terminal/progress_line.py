"""A line that says what is being made and how much is left, on a terminal, once it takes over two seconds."""

from __future__ import annotations

import time
from types import TracebackType
from typing import TextIO

PATIENCE_S = 2.0
BETWEEN_S = 0.1


class ProgressLine:
    """Called with (what, done, total) as work goes on; draws over one line and wipes it at the end.

    A total of 0 means that how much is left is not known.
    """

    def __init__(self, stream: TextIO) -> None:
        self._stream = stream
        self._live = stream.isatty()
        self._start = self._last = time.monotonic()
        self._drawn = False

    def __enter__(self) -> ProgressLine:
        return self

    def __exit__(self, kind: type[BaseException] | None, error: BaseException | None, tb: TracebackType | None) -> None:
        self.wipe()

    def wipe(self) -> None:
        """Take the line away, so that something else can be said; the next work is given its time again."""
        if self._drawn:
            self._stream.write("\r\x1b[K")
            self._stream.flush()
        self._drawn, self._start = False, time.monotonic()

    def __call__(self, what: str, done: int = 0, total: int = 0) -> None:
        """Say what is being done, if this runs on a terminal and has taken long enough to be worth a line."""
        now = time.monotonic()
        if not self._live or now - self._start < PATIENCE_S or now - self._last < BETWEEN_S:
            return
        self._last = now
        share = f" {done} of {total}" if total else ""
        import shutil  # only here: most publishes show no line

        line = f"{what}{share}"[: max(shutil.get_terminal_size().columns - 1, 10)]
        self._stream.write(f"\r\x1b[K{line}")
        self._stream.flush()
        self._drawn = True
