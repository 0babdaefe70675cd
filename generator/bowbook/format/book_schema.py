"""Every key a maker may write in book.yaml, rods.yaml, skins.yaml and strips.yaml."""

from __future__ import annotations

from typing import Final

from bowbook.book.unit_tables import FACTORS
from bowbook.format.common_fields import ADDRESS, COLOUR, COLOURS, LENGTH, MASS, NOTE, ROUND, SECTION
from bowbook.format.fields import Choice, Flag, Key, ListOf, Name, Quantity, Record, Share, Table, Text, WindSpan

_BAND = Record(
    {
        "name": Key(Text(60), "Name of the band.", "light breeze", "A band needs a name."),
        "wind": Key(WindSpan(60.0, closed=True), "Its winds.", "4-7 mph", "A band needs its winds."),
    },
    called="a band, such as {name: light breeze, wind: 4-7 mph}",
)

_UNITS = {"length": "mm", "force": "g", "mass": "g", "wind": "mph", "altitude": "m"}

_PART = Quantity("ratio", 0.0, 0.5, zero=True)
_SURE = Record(
    {
        "bow_out": Key(_PART, "How much high a half reads where its bow-out was not noted.", "3.4 %"),
        "bow_out_u": Key(_PART, "What that leaves open.", "1.25 %"),
        "bow_out_clamped": Key(_PART, "The same for a half that is clamped.", "2.6 %"),
        "bow_out_clamped_u": Key(_PART, "What that leaves open.", "0.95 %"),
        "hinge": Key(_PART, "How much high a half held in a hinge reads.", "3 %"),
        "hinge_u": Key(_PART, "What that leaves open.", "1.7 %"),
        "hand": Key(Quantity("ratio", 0.5, 1.0), "Effective-length factor of fingers of which nothing is known.", 0.93),
        "hand_u": Key(_PART, "What that leaves open of the stiffness.", "9 %"),
        "pivot": Key(
            Quantity("length", 0.0, 15.0, zero=True), "How far from their edge the fingers may pivot.", "1.5 mm"
        ),
        "gain_u": Key(_PART, "How far the scale may be off, as a part of the reading.", "0.5 %"),
        "air_u": Key(_PART, "What season and pressure leave open of a wind.", "1.5 %"),
        "tied_u": Key(_PART, "What a tied crossing leaves open of a wind.", "1.5 %"),
    },
    called="keys such as hinge: 3 %",
)

BOOK: Final = Record(
    {
        "title": Key(Text(200), "Title of the book.", "A book of kites"),
        "maker": Key(Text(200), "Who makes these kites.", "M. K."),
        "about": Key(NOTE, "A paragraph for the first page.", "Small kites for narrow fields."),
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
        "address": Key(ADDRESS, "Where the site will be.", "https://example.org/kites/"),
        "theme": Key(
            Text(60, r"[a-z0-9][a-z0-9_-]*", "the name of a folder in themes/, in small letters"),
            "The look.",
            "notebook",
        ),
        "accent": Key(COLOUR, "The one bright colour of the look.", "#b8322a"),
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
        "places": Key(Flag(), "true puts the places of flights on the pages.", True),
        "mark": Key(Choice(("both ends",)), "both ends: the middle is marked from both ends, halfway.", "both ends"),
        "sure": Key(_SURE, "What is taken off measurements, and what stays open after that."),
        "paper": Key(Choice(("a4", "letter")), "Paper of the printed sheets.", "a4"),
    },
    called="keys such as title: A book of kites",
)

RODS: Final = Table(
    Record(
        {
            "material": Key(Text(100), "What it is made of; a handbook name brings its range.", "carbon"),
            **SECTION,
            "modulus": Key(Quantity("stress", 1e8, 1e12), "Modulus in bending, where you know it.", "130 GPa"),
            "density": Key(Quantity("density", 50.0, 20_000.0), "Density, where you know it.", "1550 kg/m3"),
            "strain_limit": Key(Quantity("strain", 5e-4, 0.1), "Strain it must not pass.", "1.0 %"),
            "note": Key(NOTE, "Anything to remember.", "Bought by the metre."),
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
            "colours": Key(COLOURS, "One colour, or two for left and right as seen from the front.", "#e8e2d0"),
            "note": Key(NOTE, "Anything to remember.", "Two coats of persimmon."),
        },
        called="a skin, such as {material: washi, areal: 30 g/m2}",
    ),
    called="skins",
)
STRIPS: Final = Table(
    Record(
        {
            "rod": Key(Name("rod"), "A key of rods.yaml.", "carbon-1.5"),
            "length": Key(LENGTH, "Its length.", "640 mm"),
            "mass": Key(MASS, "Weighed alone.", "2.1 g"),
            "bench": Key(ListOf(ROUND, most=100), "Rounds at the bench."),
            "note": Key(NOTE, "Anything to remember.", "From the same pole as the last."),
        },
        called="a strip, such as {rod: carbon-1.5, length: 640 mm}",
    ),
    called="strips",
)
