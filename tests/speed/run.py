"""Prints the table of speed: what the program takes, as ratios to floors measured in the same run.

    python tests/speed/run.py                      # 10 and 100 kites, a few minutes
    python tests/speed/run.py --kites 1000         # the size the goals are set for
    python tests/speed/run.py --kites 1000 10000 --only growth

Ratios, not milliseconds, are what a goal is about: floor and program are run in turns, and medians compared. The
load of the machine is printed first; on a busy one run it again.
"""

from __future__ import annotations

import argparse
import compileall
import json
import math
import os
import platform
import re
import shutil
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path

HERE = Path(__file__).resolve().parent
sys.path.insert(0, str(HERE.parent / "making"))

from inside import charts, mechanics  # noqa: E402 (the path has to be set first)
from large_book import write_book  # noqa: E402
from stopwatch import BOWBOOK, FLOOR, HEADER, Row, Target, interleaved  # noqa: E402

PARTS = ("start", "check", "cold", "warm", "one", "photos", "growth", "inside")


def count_sheets(site: Path) -> None:
    """Counts words and lines on the pages of the site's first sheets, for the floor that draws as many."""
    from pypdf import PdfReader

    counted = []
    for file in sorted(site.glob("kites/*/sheet.pdf"))[:12]:
        pages = []
        for page in PdfReader(file).pages:
            strokes = page.get_contents().get_data().split()  # type: ignore[union-attr]
            pages.append(
                (page.extract_text().splitlines(), sum(strokes.count(sign) for sign in (b"S", b"B", b"s", b"f")))
            )
        counted.append(pages)
    files = sorted(site.glob("kites/*/sheet.pdf"))
    plan = [(counted[i % len(counted)], f.relative_to(site).as_posix()) for i, f in enumerate(files)] if counted else []
    (site.parent / "sheets.json").write_text(json.dumps(plan))


_published: dict[Path, Path] = {}


def forget(book: Path) -> None:
    """Takes away the site and what the program remembers of it."""
    _published.pop(book, None)
    shutil.rmtree(book / ".bowbook", ignore_errors=True)
    shutil.rmtree(book / "output", ignore_errors=True)


def published(book: Path) -> Path:
    """The book's site, published once and kept aside for the floors to copy from."""
    if book in _published:
        return _published[book]
    forget(book)
    interleaved({"first": Target([*BOWBOOK, "publish", "--workers", str(os.cpu_count() or 1)], book)}, 1)
    kept = book / "kept" / "site"
    shutil.rmtree(kept.parent, ignore_errors=True)
    shutil.copytree(book / "output", kept)
    count_sheets(kept)
    _published[book] = kept
    return kept


def start(book: Path, rounds: int) -> Iterator[Row]:
    """How soon help is there."""
    t = interleaved(
        {
            "help": Target([*BOWBOOK, "--help"], book),
            "click": Target([sys.executable, "-c", "import click"], book),
            "bare": Target([sys.executable, "-c", "pass"], book),
        },
        rounds * 3,
    )
    yield Row("bowbook --help / import click", t["help"], t["click"], 2.5)


def check(book: Path, rounds: int) -> Iterator[Row]:
    """Checking, without and with every figure."""
    t = interleaved(
        {
            "check": Target([*BOWBOOK, "check"], book),
            "parse": Target([*FLOOR, "check", str(book)], book),
            "json": Target([*BOWBOOK, "check", "--json"], book),
            "figures": Target([*FLOOR, "figures", str(book)], book),
        },
        rounds,
    )
    yield Row("check / imports, parsing", t["check"], t["parse"], 1.3)
    yield Row("check --json / the same and linear algebra", t["json"], t["figures"], 1.3)


def cold(book: Path, rounds: int) -> Iterator[Row]:
    """A first publish, on one worker and on two."""
    site, out = published(book), book / "floor-output"
    t = interleaved(
        {
            "one": Target([*BOWBOOK, "publish", "--workers", "1"], book, lambda: forget(book)),
            "two": Target([*BOWBOOK, "publish", "--workers", "2"], book, lambda: forget(book)),
            "floor": Target(
                [*FLOOR, "cold", str(book), str(site), str(out)], book, lambda: shutil.rmtree(out, ignore_errors=True)
            ),
        },
        max(rounds // 2, 1),
    )
    yield Row("cold publish, one worker / libraries alone", t["one"], t["floor"], 1.3)
    yield Row("cold publish, two workers / one worker", t["two"], t["one"], 1 / 1.5, "on the wall", on_the_wall=True)


def warm(book: Path, rounds: int) -> Iterator[Row]:
    """Nothing changed since."""
    site = published(book)
    t = interleaved(
        {
            "warm": Target([*BOWBOOK, "publish"], book),
            "floor": Target([*FLOOR, "nothing", str(book), str(site)], book),
        },
        rounds,
    )
    yield Row("publish, nothing changed / imports, stat all", t["warm"], t["floor"], 1.5)


def one(book: Path, rounds: int) -> Iterator[Row]:
    """One kite of the book changed: a word in its story, which reaches its page; its mass, which reaches every list."""
    site, out = published(book), book / "floor-output"
    file = sorted((book / "content" / "kites").glob("*.md"))[7]
    text, turn = file.read_text(encoding="utf-8"), iter(range(10**6))

    def story() -> None:
        file.write_text(f"{text}\nOnce more, {next(turn)}.\n", encoding="utf-8")

    def mass() -> None:
        other = re.sub(r"^mass: .*$", f"mass: {10 + next(turn) / 100:.2f} g", text, count=1, flags=re.M)
        file.write_text(other, encoding="utf-8")

    key = file.stem
    for name, change, lists in (("story", story, False), ("mass", mass, True)):
        floor = [*FLOOR, "lists" if lists else "one", str(book), str(site), str(out), key]
        t = interleaved({name: Target([*BOWBOOK, "publish"], book, change), "floor": Target(floor, book)}, rounds)
        yield Row(f"publish, one kite's {name} changed / just that", t[name], t["floor"], 1.5)
    file.write_text(text, encoding="utf-8")


def big_photo(file: Path) -> None:
    """A drawn picture of 12 megapixels, as large as a phone's."""
    import numpy as np
    from PIL import Image, ImageFilter

    grain = np.random.default_rng(1).integers(0, 255, (300, 400, 3), dtype=np.uint8)
    Image.fromarray(grain).resize((4000, 3000)).filter(ImageFilter.GaussianBlur(3)).save(file, quality=88)


def photos(folder: Path, rounds: int) -> Iterator[Row]:
    """One photo of 12 megapixels added to a small book."""
    book = write_book(folder / "photo-book", 1, seed=2, photos=1)
    picture = next((book / "content" / "kites").glob("*/drawn.jpg"))
    big_photo(picture)
    small, out = folder / "plain-book", folder / "photo-floor"
    shutil.copytree(book, small)
    out.mkdir()
    from PIL import Image

    Image.new("RGB", (8, 6)).save(next((small / "content" / "kites").glob("*/drawn.jpg")))
    t = interleaved(
        {
            "photo": Target([*BOWBOOK, "publish", "--workers", "1"], book, lambda: forget(book)),
            "tiny": Target([*BOWBOOK, "publish", "--workers", "1"], small, lambda: forget(small)),
            "floor": Target([*FLOOR, "photo", str(picture), str(out)], book),
            "import": Target([sys.executable, "-c", "from PIL import Image, ImageOps"], book),
        },
        max(rounds // 2, 2),
    )
    alone = type(t["photo"])(
        [], [a - b for a, b in zip(t["photo"].cpu, t["tiny"].cpu, strict=True)], t["photo"].peak_MB
    )
    floor = type(t["photo"])(
        [], [a - b for a, b in zip(t["floor"].cpu, t["import"].cpu, strict=True)], t["floor"].peak_MB
    )
    yield Row("a 12-megapixel photo more / Pillow alone", alone, floor, 1.1)


def growth(books: dict[int, Path]) -> list[str]:
    """How time and memory grow from the smallest to the largest book asked for: checking, and a first publish."""
    said = []
    small, large = min(books), max(books)
    for name, words in (("check", ["check"]), ("publish", ["publish", "--workers", "2"])):
        taken = {}
        for kites in (small, large):
            book = books[kites]
            taken[kites] = interleaved({name: Target([*BOWBOOK, *words], book, lambda b=book: forget(b))}, 1)[name]  # type: ignore[misc]
        exponent = math.log(taken[large].median() / taken[small].median()) / math.log(large / small)
        said.append(
            f"{name}: "
            + ", ".join(f"{n} kites {t.median():.1f} s and {max(t.peak_MB):.0f} MB" for n, t in taken.items())
            + f"; exponent {exponent:.2f}"
        )
    return said


def main() -> None:
    """Writes the books, times what was asked for, prints the table."""
    words = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    words.add_argument("--kites", type=int, nargs="+", default=[10, 100])
    words.add_argument("--rounds", type=int, default=5)
    words.add_argument("--only", nargs="+", choices=PARTS, default=[p for p in PARTS if p != "growth"])
    asked = words.parse_args()
    compileall.compile_dir(HERE.parents[1] / "generator", quiet=2)  # as it is where it was installed
    load = os.getloadavg()[0]
    print(f"Python {platform.python_version()}, {os.cpu_count()} cores, load {load:.1f}" + (" (BUSY)" * (load > 0.7)))
    with tempfile.TemporaryDirectory(prefix="bowbook-speed-") as made:
        folder = Path(made)
        books = {kites: write_book(folder / f"book-{kites}", kites) for kites in sorted(asked.kites)}
        for kites, book in books.items():
            print(f"\n{kites} kites\n{HEADER}")
            for part in (start, check, cold, warm, one):
                if part.__name__ in asked.only:
                    for row in part(book, asked.rounds):
                        print(row.line(), flush=True)
        if "photos" in asked.only:
            print(f"\n{HEADER}")
            for row in photos(folder, asked.rounds):
                print(row.line(), flush=True)
        if "growth" in asked.only and len(books) > 1:
            print("", *growth(books), sep="\n")
        if "inside" in asked.only:
            print("", *mechanics(asked.rounds * 8), *charts(books[min(books)], asked.rounds), sep="\n")
    print(f"\nload at the end {os.getloadavg()[0]:.1f}")


if __name__ == "__main__":
    main()
