"""What guided fuzzing reads: for each kind of input where to begin, how to change it and what must hold."""

from __future__ import annotations

import random
from collections.abc import Callable
from functools import cache
from pathlib import Path

import holding
import mutating

from bowbook.book.unit_tables import FACTORS

TESTS = Path(__file__).resolve().parents[1]
CONTENT = TESTS.parent / "content"
KINDS = sorted(FACTORS)
_QUANTITIES = [*mutating.EXAMPLES, "19 1/2 in", "214, 213, 215 g", "4-7 mph", "Bft 3-4", "½ in", "1e3 mm", "3,5 mm"]


@cache
def seeds(what: str) -> list[bytes]:
    """The inputs to begin with: the demonstration book, and files that are wrong on purpose."""
    if what == "quantity":
        return [bytes([i % len(KINDS)]) + text.encode() for i, text in enumerate(_QUANTITIES)]
    folders = {
        "kite": [(CONTENT / "kites", "*.md"), (TESTS / "format" / "wrong", "*.md")],
        "page": [(CONTENT / "pages", "*.md"), (CONTENT / "kites", "*.md")],
        "book": [(CONTENT, "book.yaml"), (TESTS.parent / "generator" / "bowbook" / "starter", "book.yaml")],
        "stock": [(CONTENT / "stock", "*.yaml")],
    }
    found = [sorted(folder.glob(pattern)) for folder, pattern in folders[what]]
    assert all(found), folders[what]  # a folder that moved does not pass in silence
    return [path.read_bytes() for paths in found for path in paths]


def by_value(what: str, data: bytes, most: int, seed: int) -> bytes:
    """The input changed as a person would, whatever its bytes."""
    dice = random.Random(seed)
    if what == "quantity":
        first = dice.randrange(256) if dice.random() < 0.3 or not data else data[0]
        return bytes([first]) + mutating.quantity(data[1:].decode("utf-8", "replace"), dice).encode()[: most - 1]
    other = dice.choice(seeds(what))
    start = other if dice.random() < 0.25 else data  # short inputs win in the long run; a whole file reaches deeper
    text = mutating.file(start.decode("utf-8", "surrogateescape"), other.decode("utf-8", "surrogateescape"), dice)
    return text.encode("utf-8", "surrogateescape")[:most]


def reader(what: str, root: Path) -> Callable[[bytes], object]:
    """What reads an input, and checks what must hold; `root` is an empty folder for it."""
    if what == "kite":
        return holding.reads_kite
    if what == "page":
        return holding.reads_page
    if what == "quantity":
        return lambda data: holding.reads_quantity(
            data[1:].decode("utf-8", "surrogateescape"), KINDS[(data[0] if data else 0) % len(KINDS)]
        )
    names = {"book": ("content/book.yaml",), "stock": ("content/stock/rods.yaml", "content/stock/skins.yaml")}[what]
    for name in names:
        (root / name).parent.mkdir(parents=True, exist_ok=True)

    def book(data: bytes) -> None:
        for name in names:
            (root / name).write_bytes(data)
        holding.reads_book(root, names)

    return book
