"""What is on the bench, and how to read it: what to press first, how to hold it, how often."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from msgspec import Struct

from bowbook.book.records import Book, Kite, Units
from bowbook.book.units import show
from bowbook.findings.compute import at_the_bench
from bowbook.findings.results import Findings
from bowbook.terminal.stage import bare_rounds
from bowbook.terminal.unfinished_round import BenchReadings, Part

FIRST_BOWS = 3  # as many kites teach a book how well its maker repeats a reading
FIRST_READINGS, READINGS = 5, 3

HELP = (
    "Type what the scale says and press Enter, once for each press: 214, or 7.5 oz. Enter alone goes on. "
    "Let go and hold anew between presses. - takes the last reading back. Ctrl-C leaves the bench; what was read so "
    "far is kept."
)
MARK = (
    "Mark the middle from both ends: lay off half the length from either tip and take the middle of the two marks. "
    "A mark that is 1 mm off makes halves of 320 mm read 1.25 % apart."
)
_WHAT = {
    "whole": "The whole bow first, stood on the scale and pressed from tip to tip until it bows: that is its tension, "
    "with no length and no hold in it",
    "left": "Left half on the scale, centre mark held, pressed until it bows",
    "right": "Turn it over: right half on the scale",
}
_TIPS = (
    "The finished kite, face up, its spine along the edge of the scale: let the wings rest, zero the scale, press both "
    "tips down together by {back} from where they rested, read."
)


class Bench(Struct, frozen=True):
    """What the questions are about: where the book lies, the book, and the kite as its file says."""

    root: Path
    book: Book
    kite: Kite
    seen: bytes  # of the kite's file, when it was read
    strip: str | None = None  # the name of the loose strip that it is, in place of a kite's bow
    sizes: Mapping[str, str] = {}  # what is to be written of it beside its rounds

    @property
    def units(self) -> Units:
        """The book's units."""
        return self.book.settings.units

    def findings_of(self, kite: Kite) -> Findings:
        """Balance and shaving of the kite on the bench, with a round that is not in its file yet."""
        return at_the_bench(self.book, kite)


def how_to_read(bench: Bench, session: BenchReadings, part: Part) -> str:
    """What to put on the scale, and how often to press it."""
    if part == "tips":
        return _TIPS.format(back=show(session.back[0].si, "length", bench.units))
    often = ""
    if part == "left" and enough(bench, part) == FIRST_READINGS and session.redo is None:
        often = " Five times a side on a first bow; calm fingers are worth more than many presses."
    return f"{_WHAT[part]}{', skin on' if session.covered else ''}.{often}"


def enough(bench: Bench, part: Part) -> int:
    """How many presses to ask for: five of each half on the book's first bows, else three."""
    if part not in ("left", "right"):
        return READINGS
    others = [kite for kite in bench.book.kites.values() if not kite.example and kite.key != bench.kite.key]
    return READINGS if sum(bare_rounds(kite) > 0 for kite in others) >= FIRST_BOWS else FIRST_READINGS


def tips_back_m(kite: Kite) -> float | None:
    """How far to press the tips back: a tenth of the half span, m, to whole millimetres; None where it is not known."""
    span = kite.bow.span_m or (2 * max(out for out, _ in kite.sail.outline) if kite.sail.outline else None)
    return round(span / 20, 3) if span else None
