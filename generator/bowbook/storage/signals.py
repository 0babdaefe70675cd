"""Being asked to end, by Ctrl-C or by the system, which no library may take for an error of its own."""

from __future__ import annotations

import contextlib
import signal
import threading
from collections.abc import Iterator


class EndAsked:
    """Whether somebody has asked the program to end; true once that is so."""

    def __init__(self) -> None:
        self._is_so = False

    def __bool__(self) -> bool:
        return self._is_so

    def end(self, *_: object) -> None:
        """Note it. Raises KeyboardInterrupt, which a library at work may catch and take for something else."""
        self._is_so = True
        raise KeyboardInterrupt


@contextlib.contextmanager
def asked_to_end(*also: signal.Signals) -> Iterator[EndAsked]:
    """Note Ctrl-C while the block runs, and treat these other signals like it."""
    asked = EndAsked()
    if threading.current_thread() is not threading.main_thread():
        yield asked  # only the main thread may handle signals
        return
    handled = [*also]
    if signal.getsignal(signal.SIGINT) not in (signal.SIG_IGN, None):  # else whoever started it set it aside
        handled.append(signal.SIGINT)
    before = {number: signal.signal(number, asked.end) for number in handled}
    try:
        yield asked
    finally:
        for number, handler in before.items():
            signal.signal(number, handler)


@contextlib.contextmanager
def ended_by_ctrl_c() -> Iterator[None]:
    """Have Ctrl-C end the block, whatever error a library makes of it. Raises KeyboardInterrupt."""
    with asked_to_end() as asked:
        try:
            yield
        except Exception:
            if asked:
                raise KeyboardInterrupt from None
            raise
