"""Which way the bow bends: in words and as a small drawing, for a friend who never saw the kite."""

from __future__ import annotations

from bowbook.book.records import Units
from bowbook.findings.results import Findings
from bowbook.sheets.outline import Flat
from bowbook.sheets.page import Item, PaperPage
from bowbook.wording import numbers

BEND_MM = (70.0, 20.0)  # the drawing's box
_WORDS_PT = 6.5
_PLAIN = "The bow bends in the plane of the sail: an arc from tip to tip that crosses the spine"


def bend_words(findings: Findings, flat: Flat | None, units: Units) -> str:
    """Where the bow runs, as a sentence."""
    crosses = findings.kite.bow.crosses_m
    if flat is None or crosses is None:
        return f"{_PLAIN}."
    higher_m = flat.tip[1] / 1000.0 - crosses
    if abs(higher_m) < 5e-4:
        return f"{_PLAIN} level with the tips."
    return (
        f"{_PLAIN} {numbers.ruled(abs(higher_m), units)} nearer the {'nose' if higher_m > 0 else 'tail'} than the tips."
    )


def draw_bend(flat: Flat | None) -> tuple[Item, ...]:
    """The bow over the line between its tips and over the spine, nose up, in its own proportions."""
    if flat is None or len(flat.bow) < 3:
        return ()
    page = PaperPage(*BEND_MM)
    wide, high = flat.bow[-1][0] - flat.bow[0][0], max(y for _, y in flat.bow) - min(y for _, y in flat.bow)
    k = min(44.0 / wide, 9.0 / max(high, 1e-9))
    x0, top = BEND_MM[0] / 2, min(y for _, y in flat.bow)
    y0 = 5.5 + (9.0 - high * k) / 2
    drawn = [(x0 + x * k, y0 + (y - top) * k) for x, y in flat.bow]
    tips = (drawn[0], drawn[-1])
    page.line(tips, 0.12, (1.2, 0.8))
    page.line([(x0, 3.5), (x0, BEND_MM[1] - 3.5)], 0.2)
    page.line(drawn, 0.5)
    page.words(x0, 2.6, "nose", _WORDS_PT, anchor="centre")
    page.words(x0, BEND_MM[1] - 1.0, "tail", _WORDS_PT, anchor="centre")
    page.words(tips[0][0] - 1.5, tips[0][1] + 0.8, "tip", _WORDS_PT, anchor="right")
    page.words(tips[1][0] + 1.5, tips[1][1] + 0.8, "tip", _WORDS_PT)
    return tuple(page.items)
