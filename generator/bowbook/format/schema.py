"""Every key a maker may write in a kite's file."""

from __future__ import annotations

from typing import Final

from bowbook.book.records import STAGES
from bowbook.format.common_fields import BELOW, BOW, COLOURS, LENGTH, LINK, MASS, NOTE, PANELS, POINT, PRESS, ROUND
from bowbook.format.fields import (
    Choice,
    Date,
    Flag,
    Key,
    ListOf,
    Name,
    Quantity,
    Record,
    Table,
    Taps,
    Text,
    Whole,
    WindSpan,
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
        "pull": Key(Whole(1, 5), "How hard it pulled, 1 to 5.", 3),
        "turn": Key(Whole(1, 5), "How readily it turned, 1 to 5.", 5),
        "track": Key(Whole(1, 5), "How straight it flew, 1 to 5.", 2),
        "bow": Key(Name("bow"), "Which of the kite's bows was in it, a key of bows.", "strong"),
        "line": Key(Quantity("length", 0.5, 2000.0), "Length of line that was out.", "25 m"),
        "place": Key(Text(200), "Where it was flown; off the site unless book.yaml says places.", "the dunes"),
        "gusts": Key(WindSpan(), "What the gusts reached.", "12 mph"),
        "note": Key(NOTE, "Anything to remember.", "Turned tight, climbed slowly."),
        "taps": Key(
            Taps(),
            "What was said at the field, each wind with its unit: little, liked or much.",
            "5 mph little, 6 mph liked, 7 mph liked, 9 mph much",
        ),
        "session": Key(
            Text(48, r"[0-9a-f]{8,32}(/[0-9]{1,6})?", "the mark of a session, as bowbook fly --from writes it"),
            "The session at the field it was noted in, and after a stroke how often that was changed on the phone.",
            "5f3c09a17be2d486/12",
        ),
        "private": Key(Flag(), "true keeps this flight out of the site altogether.", True),
    },
    called="a flight, such as {on: 2026-05-10, best: 5-7 mph}",
)

_LOOK = {
    "colours": Key(COLOURS, "One colour, or two for left and right as seen from the front.", ["#2a4b8d", "#e8e2d0"]),
    "panels": Key(PANELS, "The sail's pieces, where it is made of more than two."),
    "decoration": Key(Text(200), "A drawing (.svg) in the kite's own folder, laid over the whole sail.", "crane.svg"),
}
_CHANGE = Record(
    {
        "on": Key(Date(), "Day of the change.", "2027-03-20", "A change needs its day."),
        "skin": Key(Name("skin"), "The new skin, a key of skins.yaml.", "tissue-18"),
        "bow": Key(BOW, "The new bow."),
        "span": Key(LENGTH, "Tip to tip, strung anew.", "590 mm"),
        "mass": Key(MASS, "Whole kite, as it flies since.", "22 g"),
        **_LOOK,
        "stage": Key(Choice(STAGES), "How far along it is since, or where it went.", "given"),
        "note": Key(NOTE, "What was done, or anything to remember.", "Re-covered after the hedge."),
    },
    called="a change, such as {on: 2027-03-20, skin: tissue-18}",
)
_TARGET = Record(
    {
        "left": Key(PRESS, "What the left half is to read.", "282 g"),
        "right": Key(PRESS, "What the right half is to read.", "282 g"),
        "whole": Key(PRESS, "What the whole bow is to read.", "71 g"),
        "like": Key(Text(200), "The kite whose readings these are.", "Sanderling"),
    },
    called="left and right",
)
_ORIGIN = Record(
    {
        "kite": Key(Text(200), "Name of the kite it was built after.", "Sanderling"),
        "maker": Key(Text(200), "Who made that kite.", "a friend"),
        "address": Key(LINK, "Where that kite's page is.", "https://example.org/kites/sanderling/"),
    },
    called="kite, maker, address",
)

KITE: Final = Record(
    {
        "name": Key(Text(200), "The kite's name, as its page shows it.", "Turnstone", "A kite needs a name."),
        "made": Key(Date(), "Day it was finished.", "2026-05-03"),
        "stage": Key(Choice(STAGES), "How far along it is.", "flying"),
        "to": Key(Text(200), "Who has it, where it was given away; printed as it stands.", "a friend in the club"),
        "tags": Key(ListOf(Text(60), most=30, single=True), "Your own words to sift lists by.", ["washi", "indoor"]),
        "batch": Key(Text(200), "A name shared by kites that were built together.", "Plover"),
        "hidden": Key(Flag(), "true keeps the whole kite out of the site.", True),
        "example": Key(Flag(), "true: written to show how, so it counts for nothing in the book.", True),
        "summary": Key(Text(500), "One line for lists.", "Small and slow, for the lightest evenings."),
        "sail": Key(
            Record(
                {
                    "skin": Key(Name("skin"), "A key of skins.yaml.", "washi-30"),
                    "outline": Key(
                        ListOf(
                            POINT,
                            3,
                            200,
                            why="An outline needs at least three points (and at most 200) to enclose a sail.",
                        ),
                        "Right half, nose to tail: out from the centreline, down from the nose.",
                        [["0 mm", "0 mm"], ["300 mm", "190 mm"], ["0 mm", "520 mm"]],
                    ),
                    **_LOOK,
                },
                called="skin, outline, colours",
            ),
            "The sail.",
        ),
        "mass": Key(MASS, "Whole kite, as it flies.", "21 g"),
        "spine": Key(
            Record(
                {
                    "rod": Key(Name("rod"), "A key of rods.yaml.", "bamboo-spine"),
                    "length": Key(LENGTH, "Length of the spine.", "520 mm"),
                    "mass": Key(MASS, "The spine alone, weighed.", "3.1 g"),
                },
                called="rod, length, mass",
            ),
            "The straight spine.",
        ),
        "bow": Key(BOW, "The bent bow, as first built."),
        "bows": Key(Table(BOW, called="bows"), "Several bows for this sail, each under a name of its own."),
        "changes": Key(ListOf(_CHANGE, most=200), "What was changed since it was built, oldest first."),
        "target": Key(_TARGET, "What the bare bow is to read on the bench."),
        "bench": Key(ListOf(ROUND, most=500), "Rounds at the bench, oldest first: measure, shave, measure again."),
        "covered": Key(
            Record(
                {
                    "left": Key(PRESS, "The left half, pressed with the skin on.", "231, 230 g"),
                    "right": Key(PRESS, "The right half, likewise.", "229, 230 g"),
                    "on": Key(Date(), "Day of the reading.", "2026-05-02"),
                },
                called="left and right",
            ),
            "The same press with the skin on.",
        ),
        "bridle": Key(
            Record(
                {
                    "upper": Key(LENGTH, "Length of the upper leg.", "330 mm"),
                    "lower": Key(LENGTH, "Length of the lower leg.", "410 mm"),
                    "upper_at": Key(BELOW, "Where the upper leg ties on, below the nose.", "110 mm"),
                    "lower_at": Key(BELOW, "Where the lower leg ties on, below the nose.", "430 mm"),
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
                            "File name in the kite's own folder: a photo, or a drawing (.svg).",
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
                        "on": Key(
                            Date(), "Day it was taken: it then stands among what was done that day.", "2026-05-10"
                        ),
                    },
                    called="file, alt, caption",
                ),
                most=200,
            ),
            "Photos, from the folder that has the file's name.",
        ),
        "after": Key(
            ListOf(_ORIGIN, 1, 20, single=True), "The kite this one was built after; then those it came from."
        ),
    },
    called="keys such as name: Turnstone",
)
