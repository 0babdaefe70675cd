"""Times whole processes, interleaved: every round runs each of them once, so that a busy machine slows all alike.

What is compared is time of the processor, which other work on the machine moves less than time on the wall; only
work that several processes share is compared on the wall.
"""

from __future__ import annotations

import os
import statistics
import subprocess
import sys
import time
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path

HERE = Path(__file__).resolve().parent
BOWBOOK = (sys.executable, "-c", "from bowbook.cli import main; main()")
FLOOR = (sys.executable, str(HERE / "floors.py"))
PLAIN = {**os.environ, "PYTHONUTF8": "1", "PYTHONHASHSEED": "0"}


@dataclass
class Timed:
    """Runs of one process: seconds on the wall, seconds of processor, and peak memory in MB, its children's apart."""

    wall: list[float] = field(default_factory=list)
    cpu: list[float] = field(default_factory=list)
    peak_MB: list[float] = field(default_factory=list)

    def taken(self, on_the_wall: bool) -> list[float]:
        """Seconds of processor; on the wall where several processes share the work."""
        return self.wall if on_the_wall else self.cpu

    def median(self, on_the_wall: bool = False) -> float:
        """Median seconds."""
        return statistics.median(self.taken(on_the_wall))

    def spread(self, on_the_wall: bool = False) -> float:
        """Half the range of the middle half, relative to the median."""
        taken = self.taken(on_the_wall)
        if len(taken) < 4:
            return (max(taken) - min(taken)) / 2 / self.median(on_the_wall)
        low, _, high = statistics.quantiles(taken, n=4)
        return (high - low) / 2 / self.median(on_the_wall)


@dataclass(frozen=True)
class Target:
    """A process to time: its words, where it runs, and what puts everything back before each run."""

    words: Sequence[str]
    cwd: Path
    before: Callable[[], None] | None = None
    ends_with: tuple[int, ...] = (0,)


def run_once(job: Target, into: Timed) -> None:
    """Runs a job once and notes what it took."""
    if job.before:
        job.before()
    start = time.perf_counter()
    child = subprocess.Popen(
        job.words, cwd=job.cwd, env=PLAIN, stdin=subprocess.DEVNULL, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE
    )
    said = child.stderr.read() if child.stderr else b""
    _, status, used = os.wait4(child.pid, 0)
    into.wall.append(time.perf_counter() - start)
    child.returncode = os.waitstatus_to_exitcode(status)
    if child.stderr:
        child.stderr.close()
    into.cpu.append(used.ru_utime + used.ru_stime)
    into.peak_MB.append(used.ru_maxrss / 1024)
    if child.returncode not in job.ends_with:
        sys.exit(f"{' '.join(job.words)} ended with {child.returncode}:\n{said.decode(errors='replace')[-2000:]}")


def interleaved(jobs: Mapping[str, Target], rounds: int) -> dict[str, Timed]:
    """Each job run once a round, after one round that only warms the machine's file cache up."""
    taken = {name: Timed() for name in jobs}
    warming = 1 if rounds > 2 else 0
    for number in range(rounds + warming):
        for name, job in jobs.items():
            run_once(job, Timed() if number < warming else taken[name])
    return taken


@dataclass(frozen=True)
class Row:
    """One line of the table: what was timed, its median, its floor's, their ratio, the goal and how it spread."""

    what: str
    ours: Timed
    floor: Timed
    goal: float | None
    note: str = ""
    on_the_wall: bool = False

    def ratio(self) -> float:
        """How many times the floor."""
        return self.ours.median(self.on_the_wall) / self.floor.median(self.on_the_wall)

    def line(self) -> str:
        """The row as one line of text."""
        goal = f"{self.goal:.2f}" if self.goal else "-"
        held = "" if self.goal is None else ("held" if self.ratio() <= self.goal else "MISSED")
        ours, floor = self.ours.median(self.on_the_wall), self.floor.median(self.on_the_wall)
        spread = self.ours.spread(self.on_the_wall) + self.floor.spread(self.on_the_wall)
        return (
            f"{self.message:<44} {1000 * ours:>9.0f} {1000 * floor:>9.0f} {self.ratio():>7.2f}"
            f" {goal:>6} {held:<7} ±{50 * spread:>3.0f} % "
            f"{max(self.ours.peak_MB):>6.0f} MB  {self.note}"
        )


HEADER = f"{'what':<44} {'ours ms':>9} {'floor ms':>9} {'ratio':>7} {'goal':>6} {'':7} spread   peak"
