"""Prints what publishing takes after each everyday edit, as ratios to floors measured in the same run.

    python tests/speed/run.py                          # 60 and 1,000 kites
    python tests/speed/run.py --kites 60 --rounds 5 --only edits --edits "a photo" "a word of a story"
    python tests/speed/run.py --program ../old/generator   # another checkout's program, by the same script
    python tests/speed/run.py --kites 1000 10000 --only cold growth
    python tests/speed/run.py --kites 20 --only inside     # a bent bow, a column load and a chart, within one process

Ratios, not milliseconds, are what a goal is about: the program and its floor (floors.py) are run in turns, and their
medians of processor time are compared. The load of the machine is printed first; on a busy one run it again.
"""

from __future__ import annotations

import argparse
import compileall
import json
import math
import os
import platform
import shutil
import statistics
import sys
import tempfile
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field
from functools import partial
from pathlib import Path

HERE = Path(__file__).resolve().parent
sys.path[:0] = [str(HERE.parent), str(HERE.parent / "tools")]

from large_book import write_book  # noqa: E402
from site_changes import different, digests, keep, write_plan  # noqa: E402
from stopwatch import Timed, run_once  # noqa: E402

from everyday_edits import EDITS  # noqa: E402 (the path has to be set first)

PARTS = ("start", "cold", "edits", "growth", "inside")
HEADER = (
    f"{'what':<34} {'CPU s':>8} {'wall s':>8} {'floor CPU s':>12} {'ratio':>7} {'goal':>5} {'':6}"
    f" {'made':>6} {'changed':>8} {'peak MB':>8}"
)


@dataclass
class Program:
    """A checkout's program, and how to run it on a book."""

    folder: Path
    reports: bool = False  # whether `publish --json` says how many files were made

    def env(self, book: Path) -> dict[str, str]:
        """The environment of its processes: its code, kept compiled, and a cache that is the book's."""
        own = {"XDG_CACHE_HOME": str(book.with_name(f"{book.name}-cache")), "PYTHONPATH": str(self.folder)}
        return {**os.environ, **own, "PYTHONUTF8": "1", "PYTHONHASHSEED": "0", "PYTHONDONTWRITEBYTECODE": ""}

    def run(self, words: Iterable[str], book: Path, into: Timed) -> str:
        """What `bowbook WORDS` prints; what it took goes into `into`."""
        return run_once(
            (sys.executable, "-c", "from bowbook.cli import main; main()", *words), book, self.env(book), into
        )

    def publish(self, book: Path, into: Timed, workers: int = 1) -> int | None:
        """Publishes a book; gives how many files were made, where the program can tell."""
        words = ["publish", "--workers", str(workers), *(["--json"] if self.reports else [])]
        printed = self.run(words, book, into)
        return len(json.loads(printed)["made"]) if self.reports else None


@dataclass
class Row:
    """One line of the table, a round after another: what the program took, what its floor took, and the files."""

    what: str
    goal: float | None = None
    ours: Timed = field(default_factory=Timed)
    floor: Timed = field(default_factory=Timed)
    made: list[int] = field(default_factory=list)
    changed: list[int] = field(default_factory=list)

    def line(self) -> str:
        """The row as one line of text."""
        ratio = self.ours.cpu_s() / self.floor.cpu_s()
        goal, held = (f"{self.goal:.2f}", "held" if ratio <= self.goal else "MISSED") if self.goal else ("-", "")
        made, changed = (f"{statistics.median(n):.0f}" if n else "-" for n in (self.made, self.changed))
        return (
            f"{self.what:<34} {self.ours.cpu_s():>8.2f} {self.ours.wall_s():>8.2f} {self.floor.cpu_s():>12.2f}"
            f" {ratio:>7.2f} {goal:>5} {held:6} {made:>6} {changed:>8} {max(self.ours.peak_MB):>8.0f}"
        )


@dataclass
class Measured:
    """A book being measured, its site as it was last seen, and what the book's files were then."""

    program: Program
    book: Path
    sources: dict[str, str] = field(default_factory=dict)
    site: dict[str, str] = field(default_factory=dict)

    @property
    def kept(self) -> Path:
        """Where its site is kept as it was."""
        return self.book.with_name(f"{self.book.name}-site") / "kept"

    def forget(self) -> None:
        """Takes away the site and all that is remembered of it."""
        for folder in (self.book / ".bowbook", self.book / "output", self.kept.parent):
            shutil.rmtree(folder, ignore_errors=True)
        shutil.rmtree(self.program.env(self.book)["XDG_CACHE_HOME"], ignore_errors=True)
        self.kept.mkdir(parents=True)
        self.sources, self.site = {}, {}

    def round(self, row: Row, workers: int = 1) -> None:
        """Publishes and has the floor make the same files, and notes what both took."""
        made = self.program.publish(self.book, row.ours, workers)
        sources, site = digests(self.book / "content"), digests(self.book / "output")
        changed = different(self.site, site)
        row.changed.append(len(changed))
        row.made += [made] if made is not None else []
        plan = self.kept.with_name("plan.json")
        edited = [f"content/{path}" for path in different(self.sources, sources)]
        write_plan(plan, self.book, self.kept, edited, changed)
        run_once((sys.executable, str(HERE / "floors.py"), str(plan)), self.book, os.environ, row.floor)
        keep(self.kept, self.book / "output", changed)
        self.sources, self.site = sources, site


def start(measured: Measured, rounds: int) -> Iterable[Row]:
    """How soon help is there, and how soon a book is checked."""
    program, book = measured.program, measured.book
    help_, check = Row("--help, to importing click", 2.5), Row("check one kite, to its imports", 1.35)
    small = write_book(book.with_name("one"), 1) if not book.with_name("one").exists() else book.with_name("one")
    for _ in range(3 * rounds):
        program.run(["--help"], small, help_.ours)
        run_once((sys.executable, "-c", "import click"), small, os.environ, help_.floor)
        program.run(["check"], small, check.ours)
        run_once((sys.executable, "-c", "import click, msgspec, yaml"), small, os.environ, check.floor)
    yield from (help_, check)


def cold(measured: Measured, rounds: int) -> Iterable[Row]:
    """A first publish, by one worker and by two."""
    one, two = Row("cold, one worker", 1.3), Row("cold, two workers")
    for _ in range(max(rounds // 2, 1)):
        for row, workers in ((two, 2), (one, 1)):
            measured.forget()
            measured.round(row, workers)
    yield from (one, two)


def edits(measured: Measured, rounds: int, named: Sequence[str]) -> Iterable[Row]:
    """Nothing changed, then every everyday edit that is named, each in turns."""
    if not measured.site:
        measured.forget()
        measured.round(Row("first"))
    nothing = Row("nothing", 1.2)
    for _ in range(3 * rounds):
        measured.round(nothing)
    yield nothing
    for edit in (edit for edit in EDITS if edit.name in named):
        row = Row(edit.name, 1.5)
        for turn in range(1, rounds + 1):
            edit.apply(measured.book, turn)
            measured.round(row)
        yield row


def growth(small: Measured, large: Measured) -> Iterable[str]:
    """How time and memory grow from one book to a larger one: checking, and a first publish by two workers."""
    kites = [len(list((book.book / "content" / "kites").glob("*.md"))) for book in (small, large)]
    for name, words in (("check", ["check"]), ("publish", ["publish", "--workers", "2"])):
        taken = (Timed(), Timed())
        for measured, timed in zip((small, large), taken, strict=True):
            measured.forget()
            measured.program.run(words, measured.book, timed)
        exponent = math.log(taken[1].cpu_s() / taken[0].cpu_s()) / math.log(kites[1] / kites[0])
        said = (f"{n} kites {t.cpu_s():.1f} s and {t.peak_MB[0]:.0f} MB" for n, t in zip(kites, taken, strict=True))
        yield f"{name}: {', '.join(said)}; exponent {exponent:.2f}"


def main() -> None:
    """Writes the books, times what was asked for, prints the table."""
    words = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    words.add_argument("--program", type=Path, default=HERE.parents[1] / "generator", help="the folder bowbook lies in")
    words.add_argument("--kites", type=int, nargs="+", default=[60, 1000])
    words.add_argument("--rounds", type=int, default=3)
    words.add_argument(
        "--only", nargs="+", choices=PARTS, default=[part for part in PARTS if part not in ("growth", "inside")]
    )
    names = [edit.name for edit in EDITS]
    words.add_argument("--edits", nargs="+", choices=names, default=names, metavar="NAME", help=", ".join(names))
    asked = words.parse_args()
    compileall.compile_dir(asked.program, quiet=2)  # as it is where it was installed
    load = os.getloadavg()[0]
    print(f"Python {platform.python_version()}, {os.cpu_count()} cores, load {load:.1f}" + " (BUSY)" * (load > 0.7))
    with tempfile.TemporaryDirectory(prefix="bowbook-speed-") as made:
        program = Program(asked.program.resolve())
        books = [Measured(program, write_book(Path(made) / f"book-{n}", n)) for n in sorted(asked.kites)]
        program.reports = "--json" in program.run(["publish", "--help"], books[0].book, Timed())
        parts: dict[str, Callable[[Measured, int], Iterable[Row]]] = {
            "start": start,
            "cold": cold,
            "edits": partial(edits, named=asked.edits),
        }
        for measured, kites in zip(books, sorted(asked.kites), strict=True):
            print(f"\n{kites} kites\n{HEADER}")
            for name, part in parts.items():
                if name in asked.only:
                    for row in part(measured, asked.rounds):
                        print(row.line(), flush=True)
        if "growth" in asked.only and len(books) > 1:
            print("", *growth(books[0], books[-1]), sep="\n")
        if "inside" in asked.only:
            from inside import charts, mechanics

            print("", *mechanics(40), *charts(books[0].book, asked.rounds), sep="\n")
    print(f"\nload at the end {os.getloadavg()[0]:.1f}")


if __name__ == "__main__":
    main()
