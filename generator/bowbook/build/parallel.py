"""Sharing independent work among processes; the results are the same, in the same order, for any number of them."""

from __future__ import annotations

import gc
import signal
import sys
from collections.abc import Callable, Sequence
from typing import TypeVar

T = TypeVar("T")

# Starting a process and bringing results back costs about as much as a few pages.
WORTH_SHARING = 24
_DIES_WITH_PARENT = 1  # PR_SET_PDEATHSIG, linux/prctl.h

_tasks: Sequence[Callable[[], object]] = ()


def share(
    tasks: Sequence[Callable[[], T]],
    workers: int,
    tell: Callable[[int, int], None],
    first: Sequence[int] = (),
) -> list[T]:
    """What each task gives, in the tasks' order. `tell` is called with how many are done, of how many.

    The tasks numbered in `first` are done before any process is started: what they import and prepare is then there
    for all. Processes are forked, so tasks need not be picklable, only what they give.
    """
    done: dict[int, T] = {}
    for index in first:
        done[index] = tasks[index]()
        tell(len(done), len(tasks))
    left = [index for index in range(len(tasks)) if index not in done]
    if workers > 1 and len(left) >= WORTH_SHARING and sys.platform == "linux":
        _forked(tasks, left, workers, done, tell)
    else:
        for index in left:
            done[index] = tasks[index]()
            tell(len(done), len(tasks))
    return [done[index] for index in range(len(tasks))]


def _forked(
    tasks: Sequence[Callable[[], T]],
    left: Sequence[int],
    workers: int,
    done: dict[int, T],
    tell: Callable[[int, int], None],
) -> None:
    """Do the tasks left in forked processes."""
    import multiprocessing  # only here: a few tasks are done before it is loaded

    global _tasks
    _tasks = tasks
    gc.collect()
    gc.freeze()  # what is there already is not gone through again in every child
    try:
        with multiprocessing.get_context("fork").Pool(workers, _end_with_parent) as pool:
            for index, result in pool.imap_unordered(_one, left, chunksize=4):
                done[index] = result  # type: ignore[assignment]
                tell(len(done), len(tasks))
    finally:
        gc.unfreeze()
        _tasks = ()


def _end_with_parent() -> None:
    """Have this process end when the one that started it does, however that ends, and leave Ctrl-C to that one.

    A child holds the lock on the output as its parent does: a publish that is killed lets go of it with its last child.
    """
    import ctypes

    signal.signal(signal.SIGINT, signal.SIG_IGN)
    ctypes.CDLL(None).prctl(_DIES_WITH_PARENT, signal.SIGKILL)


def _one(index: int) -> tuple[int, object]:
    return index, _tasks[index]()
