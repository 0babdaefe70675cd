"""Whatever a file holds, reading it ends in records or problems: no exception, no hang.

The quick runs are part of every test run; the long ones have the marker `fuzz`.
"""

from __future__ import annotations

import pickle
import tempfile
from pathlib import Path

import pytest
from holding import reads_book, reads_kite, reads_quantity
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from bowbook.book.quantities import parse_quantity
from bowbook.book.records import Units
from bowbook.book.unit_tables import FACTORS
from bowbook.book.units import parts

QUICK = settings(max_examples=60, deadline=None, suppress_health_check=list(HealthCheck), derandomize=True)
LONG = settings(max_examples=20_000, deadline=None, suppress_health_check=list(HealthCheck))

KEYS = (
    *(
        "name",
        "made",
        "stage",
        "hidden",
        "summary",
        "sail",
        "skin",
        "outline",
        "colours",
        "mass",
        "spine",
        "rod",
        "length",
    ),
    *(
        "bow",
        "span",
        "crosses",
        "sections",
        "left",
        "right",
        "at",
        "round",
        "wide",
        "thick",
        "tube",
        "bench",
        "on",
        "whole",
    ),
    *("shave", "side", "zone", "strokes", "taken", "note", "press", "hold", "rise", "sag", "load", "drop", "droop"),
    *(
        "covered",
        "bridle",
        "upper",
        "lower",
        "upper_at",
        "lower_at",
        "flights",
        "flyer",
        "wind",
        "best",
        "height",
        "control",
    ),
    *("speed", "private", "photos", "file", "alt", "caption", "after", "kite", "maker", "address", "<<"),
)
NUMBERS = (
    "214",
    "-5",
    "0",
    "1e400",
    ".nan",
    "0x1F",
    "1_000",
    "12:30",
    "no",
    "~",
    "2026-05-03",
    "19½",
    "1/2",
    "5-7",
    "Bft 3",
)
UNIT_WORDS = (
    "g",
    "mm",
    "in",
    "mph",
    "km/h",
    "GPa",
    "oz",
    "N",
    "%",
    "left",
    "middle third",
    "pinned",
    "100-200",
    "#2a4b8d",
)
SIGNS = (*tuple(",;-–[]{}&*a!|>'\"#:?@`\\\t"), "&a", "*a", "!!str")
WORDS = st.sampled_from(NUMBERS + UNIT_WORDS + SIGNS)
LINE = st.tuples(
    st.sampled_from(["", "  ", "    ", "- ", "  - ", "    - ", "\t"]),
    st.sampled_from(KEYS),
    st.sampled_from([": ", ":", " ", ": [", ": {", ": |\n      "]),
    st.lists(WORDS, max_size=5).map(" ".join),
    st.sampled_from(["", "]", "}", " # c", "\r"]),
).map("".join)
FILE = st.lists(LINE | st.text(max_size=30), max_size=25).map(
    lambda lines: "---\n" + "\n".join(lines) + "\n---\nstory\n"
)
QUANTITY = st.lists(WORDS | st.text(max_size=6), max_size=8).flatmap(
    lambda words: st.sampled_from([" ", "", ", ", "-"]).map(lambda blank: blank.join(words))
)


def reads(data: bytes) -> None:
    """Reading gives a record or problems that can be shown, and both can be kept."""
    found = reads_kite(data)
    assert pickle.loads(pickle.dumps(found)) == found


def a_shown_figure_reads_back(value: float, share: float, kind: str, unit: str) -> None:
    """What a page shows is within half a unit of its last figure of the value, and reads back as that."""
    factor = FACTORS[kind][unit]
    said = parts(value * factor, kind, unit, share * value * factor)
    read = parse_quantity(f"{said.value} {said.unit}", kind, Units())
    u = parse_quantity(f"{said.plus} {said.unit}", kind, Units()) if said.plus else 0.0

    assert abs(read - value * factor) <= 0.5 * max(u, 0.01 * value * factor) * (1 + 1e-9)
    if said.plus:
        # three figures at most: a smaller ± is said as one of the last figure shown
        assert u == pytest.approx(share * value * factor, rel=0.5, abs=0.01 * value * factor)
        assert len(said.plus.replace(".", "").strip("0")) <= 2


KINDS = st.sampled_from(sorted(FACTORS))
UNITS = st.sampled_from([(kind, unit) for kind, factors in FACTORS.items() for unit in factors])


@QUICK
@given(FILE)
def test_any_front_matter_is_read(text: str) -> None:
    """Lines made of the format's own words, in any order and with any slip."""
    reads(text.encode("utf-8", "surrogatepass"))


@QUICK
@given(st.binary(max_size=400))
def test_any_bytes_are_read(data: bytes) -> None:
    """Bytes that are no text at all, alone and as front matter."""
    reads(data)
    reads(b"---\nname: x\nnote: " + data + b"\n---\n")


@QUICK
@given(QUANTITY, KINDS)
def test_any_quantity_is_read(text: str, kind: str) -> None:
    """Any text where a quantity belongs."""
    reads_quantity(text, kind)


@QUICK
@given(st.floats(1e-3, 1e6), st.floats(1e-4, 2.0), UNITS)
def test_any_figure_shown_reads_back(value: float, share: float, unit: tuple[str, str]) -> None:
    """Rounding loses no more than the uncertainty allows."""
    a_shown_figure_reads_back(value, share, *unit)


@settings(QUICK, max_examples=15)
@given(st.lists(FILE, min_size=4, max_size=4))
def test_any_book_is_read(texts: list[str]) -> None:
    """The same in every file of a book at once."""
    with tempfile.TemporaryDirectory() as folder:
        root = Path(folder)
        (root / "content" / "stock").mkdir(parents=True)
        (root / "content" / "kites").mkdir()
        names = ("book.yaml", "stock/rods.yaml", "stock/skins.yaml", "kites/x.md")
        for name, text in zip(names, texts, strict=True):
            body = text if name.endswith(".md") else text.removeprefix("---\n").removesuffix("---\nstory\n")
            (root / "content" / name).write_bytes(body.encode("utf-8", "surrogatepass"))

        reads_book(root, [f"content/{name}" for name in names])


@pytest.mark.fuzz
@LONG
@given(FILE)
def test_any_front_matter_is_read_at_length(text: str) -> None:
    """The same, many times over."""
    reads(text.encode("utf-8", "surrogatepass"))


@pytest.mark.fuzz
@LONG
@given(st.binary(max_size=2000))
def test_any_bytes_are_read_at_length(data: bytes) -> None:
    """The same, many times over."""
    reads(data)
    reads(b"---\nname: x\nnote: " + data + b"\n---\n")


@pytest.mark.fuzz
@LONG
@given(QUANTITY, KINDS)
def test_any_quantity_is_read_at_length(text: str, kind: str) -> None:
    """The same, many times over."""
    reads_quantity(text, kind)


@pytest.mark.fuzz
@LONG
@given(st.floats(1e-3, 1e6), st.floats(1e-4, 2.0), UNITS)
def test_any_figure_shown_reads_back_at_length(value: float, share: float, unit: tuple[str, str]) -> None:
    """The same, many times over."""
    a_shown_figure_reads_back(value, share, *unit)
