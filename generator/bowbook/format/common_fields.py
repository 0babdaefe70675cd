"""Fields that several of a maker's files share: sizes, sections, readings, rounds, the bow."""

from __future__ import annotations

from typing import Final

from bowbook.format.fields import (
    Choice,
    Date,
    HeldEnd,
    Key,
    ListOf,
    Name,
    Quantities,
    Quantity,
    Record,
    Stretch,
    Text,
    Whole,
)

ZONES: Final = {
    "whole half": (0.0, 1.0),
    "inner third": (0.0, 1 / 3),
    "middle third": (1 / 3, 2 / 3),
    "outer third": (2 / 3, 1.0),
}

# Limits are wide on purpose: they catch a unit forgotten or a figure too many, not an unusual kite.
LENGTH = Quantity("length", 0.01, 15.0)
BELOW = Quantity("length", 0.0, 15.0, zero=True)
THICK = Quantity("thin", 5e-5, 0.1)
MASS = Quantity("mass", 1e-6, 25.0)
LOAD = Quantity("force", 1e-3, 1000.0)
PRESSES = Quantities("force", 1e-3, 2000.0)
DROPS = Quantities("length", 1e-4, 5.0)
BACK = Quantities("length", 1e-3, 1.0, most=2)
NOTE = Text(5000)
COLOUR = Text(7, r"#[0-9a-fA-F]{6}", "a colour as # and six hexadecimal figures, such as #2a4b8d")
COLOURS = ListOf(COLOUR, 1, 2, single=True)

_PAIR = Quantities("length", 0.0, 10.0, exactly=2, zero=True)
POINT = Record(
    {
        "at": Key(
            _PAIR, "Out from the centreline, down from the nose.", ["300 mm", "190 mm"], "Say where the point is."
        ),
        "curve": Key(
            Quantity("length", -3.0, 3.0, zero=True),
            "How far the edge to the next point stands out from a ruler laid between them, at its middle; "
            "negative where it is hollow.",
            "14 mm",
        ),
    },
    short=_PAIR,
    stands_for="at",
    called="a point, such as [300 mm, 190 mm] or {at: [300 mm, 190 mm], curve: 14 mm}",
)
PANELS = Record(
    {
        "lay": Key(
            Choice(("across", "down", "quarters", "border")),
            "How the pieces lie: across the spine, down along it, quarters, or a border.",
            "quarters",
            "Say how the pieces lie.",
        ),
        "colours": Key(
            ListOf(COLOUR, 2, 6),
            "The pieces' colours, in turn; of a border, the edge first.",
            ["#1b2b4b", "#e3b93a"],
            "Panels need two colours at least.",
        ),
        "count": Key(Whole(2, 60), "How many pieces, across or down.", 7),
    },
    called="panels, such as {lay: quarters, colours: ['#1b2b4b', '#e3b93a']}",
)
_HOST = r"https?://[^\s<>\x22\x27`\\/?#@]+"
_PATH = r"(/[^\s<>\x22\x27`\\?#]*)?"
ADDRESS = Text(500, _HOST + _PATH, "a web address such as https://example.org/kites/, without @, ? or # in it")
LINK = Text(500, _HOST + r"([/?#][^\s<>\x22\x27`\\]*)?", "a web address that begins with https://, with no user in it")

SECTION = {
    "round": Key(THICK, "Diameter of a round rod.", "1.5 mm"),
    "wide": Key(THICK, "Width of a flat rod, across the direction in which it bends.", "4 mm"),
    "thick": Key(THICK, "Thickness of a flat rod, in the direction in which it bends.", "2.1 mm"),
    "tube": Key(Quantities("thin", 5e-5, 0.1, exactly=2), "Outer and inner diameter of a tube.", ["3 mm", "2 mm"]),
}

PRESS_KEYS = {
    "press": Key(PRESSES, "What the scale said, once or several times.", "214, 213, 215 g"),
    "length": Key(LENGTH, "Free length that was pressed, where it is not the half (or whole) bow.", "300 mm"),
    "hold": Key(
        HeldEnd(), "How the far end was held, if not in the fingers: hinge, pinned, clamped, a factor.", "hinge"
    ),
    "rise": Key(LENGTH, "How far it bowed out while it was read.", "40 mm"),
}
PRESS = Record(PRESS_KEYS, short=PRESSES, stands_for="press", called="a reading")
SAG = Record(
    {
        "load": Key(LOAD, "Weight hung at mid-span.", "200 g", "A sag needs the weight that was hung."),
        "span": Key(
            LENGTH, "Distance between the two supports.", "400 mm", "A sag needs the distance of the supports."
        ),
        "drop": Key(DROPS, "How far the middle went down, once or several times.", "8.2 mm", "A sag needs the drop."),
        "at": Key(BELOW, "Where the weight hung, from the centre mark outward.", "160 mm"),
    },
    called="load, span and drop",
)
DROOP = Record(
    {
        "load": Key(LOAD, "Weight hung at the end.", "50 g", "A droop needs the weight that was hung."),
        "length": Key(LENGTH, "Free length from the clamp to the weight.", "300 mm", "A droop needs the free length."),
        "drop": Key(DROPS, "How far the end went down, once or several times.", "31 mm", "A droop needs the drop."),
    },
    called="load, length and drop",
)
READING = Record(
    PRESS_KEYS
    | {
        "sag": Key(SAG, "Three-point bend: a weight at mid-span between two supports."),
        "droop": Key(DROOP, "Clamped at the centre mark, a weight at the tip."),
    },
    short=PRESSES,
    stands_for="press",
    one_of=("press", "sag", "droop"),
    called="a reading",
)
STATIONS = ListOf(
    Record(
        {
            "at": Key(BELOW, "Distance from the centre mark.", "0 mm", "Say how far from the centre mark this is."),
            **SECTION,
        },
        called="a station, such as {at: 0 mm, wide: 4 mm, thick: 2.1 mm}",
    ),
    most=100,
)
SIDES = Choice(("left", "right"))

SHAVE = Record(
    {
        "side": Key(SIDES, "Which half was shaved.", "left"),
        "zone": Key(Stretch(), "Where: a named part of the half, or a range from the centre mark.", "middle third"),
        "strokes": Key(Whole(1, 100_000), "How many strokes.", 20),
        "taken": Key(Quantity("thin", 1e-7, 0.05), "How much came off.", "0.05 mm"),
        "tool": Key(Text(80), "With what: strokes are learnt for each tool.", "sanding block"),
        "note": Key(NOTE, "Anything to remember.", "Fine paper."),
    },
    called="side, zone, strokes",
)
TIPS = Record(
    {
        "both": Key(
            PRESSES, "What the scale said for both tips together.", "14, 15 g", "A tips test needs the reading."
        ),
        "back": Key(
            BACK, "How far from where they rested; one figure, or one each.", "30 mm", "A tips test needs how far."
        ),
    },
    called="both and back",
)

ROUND = Record(
    {
        "on": Key(Date(), "Day of the round.", "2026-05-01"),
        "left": Key(READING, "The left half, pressed on the scale (or its sag or droop).", "214, 213, 215 g"),
        "right": Key(READING, "The right half, likewise.", "198, 199, 197 g"),
        "whole": Key(PRESS, "The whole bow, pressed end to end.", "52 g"),
        "tips": Key(TIPS, "The finished kite laid down, both tips pressed back together."),
        "skin": Key(Choice(("on", "off")), "on: the same press with the skin on.", "on"),
        "bow": Key(Name("bow"), "Which of the kite's bows, a key of bows.", "strong"),
        "shave": Key(ListOf(SHAVE, 1, 20, single=True), "What was shaved after this round, once or several times."),
        "note": Key(NOTE, "Anything to remember.", "Fresh batteries in the scale."),
    },
    called="a round, such as left: 214, 213, 215 g",
)
BOW = Record(
    {
        "rod": Key(Name("rod"), "A key of rods.yaml.", "carbon-1.5"),
        "length": Key(LENGTH, "Length of the bow, measured along the rod.", "640 mm"),
        "span": Key(LENGTH, "Tip to tip, strung.", "600 mm"),
        "mass": Key(MASS, "The bow alone, weighed: the scale carries it too.", "2.1 g"),
        "crosses": Key(BELOW, "Where it crosses the spine, below the nose.", "110 mm"),
        "mark": Key(Choice(("one end", "both ends")), "From where the centre was marked.", "both ends"),
        "sections": Key(
            Record(
                {
                    "left": Key(STATIONS, "Stations of the left half, from the centre mark outward."),
                    "right": Key(STATIONS, "Stations of the right half, likewise."),
                },
                called="left and right",
            ),
            "Measured cross-sections, for shaved or tapered bows.",
        ),
    },
    called="rod, length, span",
)
