"""Every key a maker may write: in a kite's file, in book.yaml, in rods.yaml and in skins.yaml."""

from __future__ import annotations

from typing import Final

from bowbook.book.unit_tables import FACTORS
from bowbook.format.fields import (
    Choice,
    Date,
    Flag,
    Hold,
    Key,
    ListOf,
    Name,
    Quantities,
    Quantity,
    Record,
    Share,
    Stretch,
    Table,
    Taps,
    Text,
    Whole,
    WindSpan,
)
from bowbook.format.sure_keys import SURE

STAGES: Final = ("planned", "building", "flying", "retired")
ZONES: Final = {
    "whole half": (0.0, 1.0),
    "inner third": (0.0, 1 / 3),
    "middle third": (1 / 3, 2 / 3),
    "outer third": (2 / 3, 1.0),
}

# Limits are wide on purpose: they catch a unit forgotten or a figure too many, not an unusual kite.
_LENGTH = Quantity("length", 0.01, 15.0)
_BELOW = Quantity("length", 0.0, 15.0, zero=True)
_THICK = Quantity("thin", 5e-5, 0.1)
_MASS = Quantity("mass", 1e-6, 25.0)
_LOAD = Quantity("force", 1e-3, 1000.0)
_PRESSES = Quantities("force", 1e-3, 2000.0)
_DROPS = Quantities("length", 1e-4, 5.0)
_BACK = Quantities("length", 1e-3, 1.0, most=2)
_POINT = Quantities("length", 0.0, 10.0, exactly=2, zero=True)
_NOTE = Text(5000)
_COLOUR = Text(7, r"#[0-9a-fA-F]{6}", "a colour as # and six hexadecimal figures, such as #2a4b8d")
_COLOURS = ListOf(_COLOUR, 1, 2, single=True)
_HOST = r"https?://[^\s<>\x22\x27`\\/?#@]+"
_PATH = r"(/[^\s<>\x22\x27`\\?#]*)?"
_ADDRESS = Text(500, _HOST + _PATH, "a web address such as https://example.org/kites/, without @, ? or # in it")
_LINK = Text(500, _HOST + r"([/?#][^\s<>\x22\x27`\\]*)?", "a web address that begins with https://, with no user in it")

_SECTION = {
    "round": Key(_THICK, "Diameter of a round rod.", "1.5 mm"),
    "wide": Key(_THICK, "Width of a flat rod, across the direction in which it bends.", "4 mm"),
    "thick": Key(_THICK, "Thickness of a flat rod, in the direction in which it bends.", "2.1 mm"),
    "tube": Key(Quantities("thin", 5e-5, 0.1, exactly=2), "Outer and inner diameter of a tube.", ["3 mm", "2 mm"]),
}

_PRESS_KEYS = {
    "press": Key(_PRESSES, "What the scale said, once or several times.", "214, 213, 215 g"),
    "length": Key(_LENGTH, "Free length that was pressed, where it is not the half (or whole) bow.", "300 mm"),
    "hold": Key(
        Hold(), "How the far end was held, if not in the fingers: hinge, pinned, clamped, or a factor.", "hinge"
    ),
    "rise": Key(_LENGTH, "How far it bowed out while it was read.", "40 mm"),
}
_PRESS = Record(_PRESS_KEYS, short=_PRESSES, stands_for="press", called="a reading")
_SAG = Record(
    {
        "load": Key(_LOAD, "Weight hung at mid-span.", "200 g", "A sag needs the weight that was hung."),
        "span": Key(
            _LENGTH, "Distance between the two supports.", "400 mm", "A sag needs the distance of the supports."
        ),
        "drop": Key(_DROPS, "How far the middle went down, once or several times.", "8.2 mm", "A sag needs the drop."),
    },
    called="load, span and drop",
)
_DROOP = Record(
    {
        "load": Key(_LOAD, "Weight hung at the end.", "50 g", "A droop needs the weight that was hung."),
        "length": Key(_LENGTH, "Free length from the clamp to the weight.", "300 mm", "A droop needs the free length."),
        "drop": Key(_DROPS, "How far the end went down, once or several times.", "31 mm", "A droop needs the drop."),
    },
    called="load, length and drop",
)
_READING = Record(
    _PRESS_KEYS
    | {
        "sag": Key(_SAG, "Three-point bend: a weight at mid-span between two supports."),
        "droop": Key(_DROOP, "Clamped at the centre mark, a weight at the tip."),
    },
    short=_PRESSES,
    stands_for="press",
    one_of=("press", "sag", "droop"),
    called="a reading",
)
_STATIONS = ListOf(
    Record(
        {
            "at": Key(_BELOW, "Distance from the centre mark.", "0 mm", "Say how far from the centre mark this is."),
            **_SECTION,
        },
        called="a station, such as {at: 0 mm, wide: 4 mm, thick: 2.1 mm}",
    ),
    most=100,
)
_SIDES = Choice(("left", "right"))

_ROUND = Record(
    {
        "on": Key(Date(), "Day of the round.", "2026-05-01"),
        "left": Key(_READING, "The left half, pressed on the scale (or its sag or droop).", "214, 213, 215 g"),
        "right": Key(_READING, "The right half, likewise.", "198, 199, 197 g"),
        "whole": Key(_PRESS, "The whole bow, pressed end to end.", "52 g"),
        "shave": Key(
            Record(
                {
                    "side": Key(_SIDES, "Which half was shaved.", "left"),
                    "zone": Key(
                        Stretch(), "Where: a named part of the half, or a range from the centre mark.", "middle third"
                    ),
                    "strokes": Key(Whole(1, 100_000), "How many strokes.", 20),
                    "tool": Key(Text(80), "With what: strokes are learnt for each tool.", "sanding block"),
                    "taken": Key(Quantity("thin", 1e-7, 0.05), "How much came off.", "0.05 mm"),
                    "note": Key(_NOTE, "Anything to remember.", "Fine paper."),
                },
                called="side, zone, strokes",
            ),
            "What was shaved after this round.",
        ),
        "tips": Key(
            Record(
                {
                    "both": Key(_PRESSES, "Both tips pressed down together, once or several times.", "14, 15 g"),
                    "back": Key(_BACK, "How far from where they rested; one figure, or one for either tip.", "30 mm"),
                },
                called="both and back",
            ),
            "The tips of the finished kite, pressed back together.",
        ),
        "note": Key(_NOTE, "Anything to remember.", "Fresh batteries in the scale."),
    },
    called="a round, such as left: 214, 213, 215 g",
)
_FLIGHT = Record(
    {
        "on": Key(Date(), "Day of the flight.", "2026-05-10"),
        "flyer": Key(Text(80), "Who flew: initials or a name.", "MK"),
        "wind": Key(WindSpan(), "What blew, from the weakest to the strongest.", "4-9 mph"),
        "best": Key(WindSpan(), "Where this flyer liked the kite best.", "5-7 mph"),
        "height": Key(Quantity("length", 0.1, 200.0), "Height of the wind meter; else the book's own.", "2 m"),
        "control": Key(Whole(1, 5), "How well it obeyed, 1 to 5.", 4),
        "speed": Key(Whole(1, 5), "How fast it flew, 1 to 5.", 3),
        "note": Key(_NOTE, "Anything to remember.", "Turned tight, climbed slowly."),
        "taps": Key(
            Taps(),
            "What was said at the field, each wind with its unit: little, liked or much.",
            "5 mph little, 6 mph liked, 7 mph liked, 9 mph much",
        ),
        "session": Key(
            Text(40, r"[0-9a-f]{8,32}", "the mark of a session, as bowbook fly --from writes it"),
            "The session at the field it was noted in, so that it is never written twice.",
            "5f3c09a17be2d486",
        ),
        "private": Key(Flag(), "true keeps this flight out of the site altogether.", True),
    },
    called="a flight, such as {on: 2026-05-10, best: 5-7 mph}",
)

KITE: Final = Record(
    {
        "name": Key(Text(200), "The kite's name, as its page shows it.", "Turnstone", "A kite needs a name."),
        "made": Key(Date(), "Day it was finished.", "2026-05-03"),
        "stage": Key(Choice(STAGES), "How far along it is.", "flying"),
        "hidden": Key(Flag(), "true keeps the whole kite out of the site.", True),
        "example": Key(Flag(), "true: written to show how, so it counts for nothing in the book.", True),
        "summary": Key(Text(500), "One line for lists.", "Small and slow, for the lightest evenings."),
        "sail": Key(
            Record(
                {
                    "skin": Key(Name("skin"), "A key of skins.yaml.", "washi-30"),
                    "outline": Key(
                        ListOf(
                            _POINT,
                            3,
                            200,
                            why="An outline needs at least three points (and at most 200) to enclose a sail.",
                        ),
                        "Right half, nose to tail: out from the centreline, down from the nose.",
                        [["0 mm", "0 mm"], ["300 mm", "190 mm"], ["0 mm", "520 mm"]],
                    ),
                    "colours": Key(
                        _COLOURS,
                        "One colour, or two for left and right as seen from the front.",
                        ["#2a4b8d", "#e8e2d0"],
                    ),
                },
                called="skin, outline, colours",
            ),
            "The sail.",
        ),
        "mass": Key(_MASS, "Whole kite, as it flies.", "21 g"),
        "spine": Key(
            Record(
                {
                    "rod": Key(Name("rod"), "A key of rods.yaml.", "bamboo-spine"),
                    "length": Key(_LENGTH, "Length of the spine.", "520 mm"),
                    "mass": Key(_MASS, "The spine alone, weighed.", "3.1 g"),
                },
                called="rod, length, mass",
            ),
            "The straight spine.",
        ),
        "bow": Key(
            Record(
                {
                    "rod": Key(Name("rod"), "A key of rods.yaml.", "carbon-1.5"),
                    "length": Key(_LENGTH, "Length of the bow, measured along the rod.", "640 mm"),
                    "span": Key(_LENGTH, "Tip to tip, strung.", "600 mm"),
                    "mass": Key(_MASS, "The bow alone, weighed: the scale carries it too.", "2.1 g"),
                    "crosses": Key(_BELOW, "Where it crosses the spine, below the nose.", "110 mm"),
                    "sections": Key(
                        Record(
                            {
                                "left": Key(_STATIONS, "Stations of the left half, from the centre mark outward."),
                                "right": Key(_STATIONS, "Stations of the right half, likewise."),
                            },
                            called="left and right",
                        ),
                        "Measured cross-sections, for shaved or tapered bows.",
                    ),
                },
                called="rod, length, span",
            ),
            "The bent bow.",
        ),
        "bench": Key(ListOf(_ROUND, most=500), "Rounds at the bench, oldest first: measure, shave, measure again."),
        "covered": Key(
            Record(
                {
                    "left": Key(_PRESS, "The left half, pressed with the skin on.", "231, 230 g"),
                    "right": Key(_PRESS, "The right half, likewise.", "229, 230 g"),
                    "on": Key(Date(), "Day of the reading.", "2026-05-02"),
                },
                called="left and right",
            ),
            "The same press with the skin on.",
        ),
        "bridle": Key(
            Record(
                {
                    "upper": Key(_LENGTH, "Length of the upper leg.", "330 mm"),
                    "lower": Key(_LENGTH, "Length of the lower leg.", "410 mm"),
                    "upper_at": Key(_BELOW, "Where the upper leg ties on, below the nose.", "110 mm"),
                    "lower_at": Key(_BELOW, "Where the lower leg ties on, below the nose.", "430 mm"),
                },
                called="upper, lower, upper_at, lower_at",
            ),
            "The bridle.",
        ),
        "flights": Key(ListOf(_FLIGHT, most=2000), "Flights."),
        "photos": Key(
            ListOf(
                Record(
                    {
                        "file": Key(
                            Text(200),
                            "File name in the kite's own folder.",
                            "on-the-beach.jpg",
                            "A photo needs its file.",
                        ),
                        "alt": Key(
                            Text(500),
                            "What the photo shows, for those who cannot see it.",
                            "The kite lies on wet sand, its bow towards the sea.",
                            "A photo needs a text for those who cannot see it.",
                        ),
                        "caption": Key(Text(500), "A line below the photo.", "Its first evening."),
                    },
                    called="file, alt, caption",
                ),
                most=200,
            ),
            "Photos, from the folder that has the file's name.",
        ),
        "after": Key(
            Record(
                {
                    "kite": Key(Text(200), "Name of the kite it was built after.", "Sanderling"),
                    "maker": Key(Text(200), "Who made that kite.", "a friend"),
                    "address": Key(_LINK, "Where that kite's page is.", "https://example.org/kites/sanderling/"),
                },
                called="kite, maker, address",
            ),
            "The kite this one was built after.",
        ),
    },
    called="keys such as name: Turnstone",
)

_BAND = Record(
    {
        "name": Key(Text(60), "Name of the band.", "light breeze", "A band needs a name."),
        "wind": Key(WindSpan(60.0, closed=True), "Its winds.", "4-7 mph", "A band needs its winds."),
    },
    called="a band, such as {name: light breeze, wind: 4-7 mph}",
)

_UNITS = {"length": "mm", "force": "g", "mass": "g", "wind": "mph", "altitude": "m"}

BOOK: Final = Record(
    {
        "title": Key(Text(200), "Title of the book.", "A book of kites"),
        "maker": Key(Text(200), "Who makes these kites.", "M. K."),
        "about": Key(_NOTE, "A paragraph for the first page.", "Small kites for narrow fields."),
        "demonstration": Key(Text(500), "Where set, every page says this.", "Nobody in this book is real."),
        "units": Key(
            Record(
                {
                    kind: Key(Choice(tuple(FACTORS[kind])), f"Unit of a bare number that is {what}.", unit)
                    for (kind, unit), what in zip(
                        _UNITS.items(), ("a length", "a press", "a mass", "a wind", "the field's height"), strict=True
                    )
                },
                called="length, force, mass, wind",
            ),
            "Units of bare numbers, and of the figures on the pages.",
        ),
        "tolerance": Key(Share(0.001, 0.5), "Difference between the halves that still counts as even.", "3 %"),
        "scale": Key(Quantity("force", 1e-6, 1.0), "Smallest step of the kitchen scale.", "1 g"),
        "ruler": Key(Quantity("length", 1e-6, 0.02), "Smallest step read off the ruler.", "0.5 mm"),
        "height": Key(Quantity("length", 0.1, 200.0), "Height of the wind meter.", "2 m"),
        "altitude": Key(Quantity("altitude", -450.0, 6000.0, zero=True), "Height of the field above the sea.", "350 m"),
        "bands": Key(ListOf(_BAND, 1, 30), "Wind bands of your own, in place of Beaufort 1 to 6."),
        "address": Key(_ADDRESS, "Where the site will be.", "https://example.org/kites/"),
        "theme": Key(
            Text(60, r"[a-z0-9][a-z0-9_-]*", "the name of a folder in themes/, in small letters"),
            "The look.",
            "notebook",
        ),
        "accent": Key(_COLOUR, "The one bright colour of the look.", "#b8322a"),
        "language": Key(
            Text(35, r"[A-Za-z]{2,3}(-[A-Za-z0-9]{2,8})*", "a language tag such as en, de or pt-BR"),
            "Language of your texts.",
            "en",
        ),
        "direction": Key(Choice(("ltr", "rtl")), "Which way your texts run.", "ltr"),
        "flyer": Key(Text(80), "Whose comfort the catalogue is for.", "MK"),
        "compare": Key(
            ListOf(ListOf(Name("kite"), 2, 4), most=200), "Kites to set side by side.", [["turnstone", "sanderling"]]
        ),
        "seam": Key(Quantity("length", 0.0, 0.1, zero=True), "Seam allowance of the sail pattern.", "10 mm"),
        "paper": Key(Choice(("a4", "letter")), "Paper of the printed sheets.", "a4"),
        "mark": Key(Choice(("both ends",)), "both ends: the middle is marked from both ends, halfway.", "both ends"),
        "sure": Key(SURE, "What is taken off measurements, and what stays open after that."),
    },
    called="keys such as title: A book of kites",
)

RODS: Final = Table(
    Record(
        {
            "material": Key(Text(100), "What it is made of; a handbook name brings its range.", "carbon"),
            **_SECTION,
            "modulus": Key(Quantity("stress", 1e8, 1e12), "Modulus in bending, where you know it.", "130 GPa"),
            "density": Key(Quantity("density", 50.0, 20_000.0), "Density, where you know it.", "1550 kg/m3"),
            "strain_limit": Key(Quantity("strain", 5e-4, 0.1), "Strain it must not pass.", "1.0 %"),
            "note": Key(_NOTE, "Anything to remember.", "Bought by the metre."),
        },
        called="a rod, such as {material: carbon, round: 1.5 mm}",
    ),
    called="rods",
)
SKINS: Final = Table(
    Record(
        {
            "material": Key(Text(100), "What it is made of.", "washi"),
            "areal": Key(Quantity("areal", 5e-4, 2.0), "Weight of a square metre.", "30 g/m2"),
            "thick": Key(Quantity("thin", 5e-7, 0.005), "Thickness.", "25 um"),
            "modulus": Key(Quantity("stress", 1e6, 1e12), "Modulus of the sheet, where you know it.", "4.8 GPa"),
            "bending_length": Key(Quantity("length", 1e-4, 1.0), "Bending length, from a strip over an edge.", "38 mm"),
            "overhang": Key(Quantity("length", 2e-4, 2.0), "Overhang of a strip whose end hangs at 41.5°.", "76 mm"),
            "colours": Key(_COLOURS, "One colour, or two for left and right as seen from the front.", "#e8e2d0"),
            "note": Key(_NOTE, "Anything to remember.", "Two coats of persimmon."),
        },
        called="a skin, such as {material: washi, areal: 30 g/m2}",
    ),
    called="skins",
)
