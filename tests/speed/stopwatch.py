"""Times whole processes, their children with them.

What is compared is time of the processor, which other work on the machine moves less than time on the wall; only
work that several processes share is compared on the wall.
"""

from __future__ import annotations

import os
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path


@dataclass
class Timed:
    """Runs of one process: seconds on the wall, seconds of processor, and the most memory it took at once, in MB."""

    wall: list[float] = field(default_factory=list)
    cpu: list[float] = field(default_factory=list)
    peak_MB: list[float] = field(default_factory=list)

    def cpu_s(self) -> float:
        """Median seconds of processor."""
        return statistics.median(self.cpu)

    def wall_s(self) -> float:
        """Median seconds on the wall."""
        return statistics.median(self.wall)


def run_once(words: Sequence[str], cwd: Path, env: Mapping[str, str], into: Timed) -> str:
    """Runs a process once, notes what it took, and gives what it printed; ends the measuring where it failed."""
    start = time.perf_counter()
    with tempfile.TemporaryFile() as out, tempfile.TemporaryFile() as err:
        child = subprocess.Popen(words, cwd=cwd, env=env, stdin=subprocess.DEVNULL, stdout=out, stderr=err)
        _, status, used = os.wait4(child.pid, 0)
        into.wall.append(time.perf_counter() - start)
        child.returncode = os.waitstatus_to_exitcode(status)
        printed, said = (file.seek(0) or file.read().decode(errors="replace") for file in (out, err))
    into.cpu.append(used.ru_utime + used.ru_stime)
    into.peak_MB.append(used.ru_maxrss / 1024)
    if child.returncode:
        sys.exit(f"{' '.join(words)} ended with {child.returncode}:\n{printed[-1000:]}\n{said[-1000:]}")
    return printed
