"""Findings made by hand for the charts: invented kites whose numbers are plain to see, not worked out."""

from __future__ import annotations

import math

from bowbook.book.records import (
    Book,
    Bow,
    Covered,
    Kite,
    Press,
    Round,
    Sail,
    Settings,
    Shave,
    Skin,
    Units,
    Zone,
)
from bowbook.findings.results import (
    Balance,
    BookFindings,
    BowFindings,
    ComfortPoint,
    Findings,
    FlyerFindings,
    Measured,
    Predicted,
    Range,
    RoundBalance,
    SailFindings,
    Shape,
    Shaving,
    SkinFindings,
    Stiffness,
    WindFindings,
)

G = 0.00980665  # N, what a kitchen scale calls a gram
MPH = 0.44704  # m/s, exactly
NAMES = ("Inkstone", "Deckle", "Quire", "Palimpsest", "Nib", "Blotter", "Colophon", "Foolscap", "Gather", "Signature", "Vellum")
INTERVAL = (0.82, 1.24)  # of the hand-made flyer's band, below its low edge and above its high one
RATIO = (0.9, 1.45)


def curve(span_m: float, rise_m: float, lean: float = 0.0, points: int = 41) -> tuple[tuple[float, float], ...]:
    """A bow-like curve: a sine arch, its top leaning to one side."""
    out = []
    for i in range(points):
        u = i / (points - 1)
        out.append((span_m * (u + lean * math.sin(math.pi * u) ** 2 / 4), rise_m * math.sin(math.pi * u)))
    return tuple(out)


def measured_g(value: float, u: float = 1.0) -> Measured:
    """A press reading given in grams."""
    return Measured(value * G, u * G)


def kite(number: int = 0, *, name: str | None = None, key: str | None = None, flown: bool = True) -> Findings:
    """One whole kite. The stiffness grows with its number, the winds with the stiffness."""
    size = 0.3 + 0.012 * (number % 23)
    left, right = 150.0 + 9 * (number % 31), 146.0 + 9 * (number % 31) + (number % 5) * 1.7
    flex = 4.2 + 0.33 * (number % 37) + 0.05 * (number % 7)
    name = name or (NAMES[number] if number < len(NAMES) else f"Leaf {number}")
    key = key or f"leaf-{number}"
    press = (
        Round("2026-05-01", Press((left * G, (left + 1) * G)), Press((right * G, right * G)), Press((52 * G,)), Shave("left", Zone("middle third", 1 / 3, 2 / 3), 20, 0.00005)),
        Round("2026-05-02", Press(((left - 4) * G,) * 2), Press((right * G,) * 2), Press((51 * G,)), Shave("left", Zone("middle third", 1 / 3, 2 / 3), 8, 0.00002)),
        Round("2026-05-03", Press(((left - 6) * G,) * 2), Press((right * G,) * 2)),
    )  # fmt: skip
    rounds = tuple(
        RoundBalance(r.on, Measured(d, 0.006), "left stiffer" if d > 0.03 else "even", measured_g(left - cut), measured_g(right), measured_g(52 - i, 0.5) if i < 2 else None)
        for i, (r, d, cut) in enumerate(zip(press, (0.05 + 0.01 * (number % 4), 0.03, 0.01 - 0.012 * (number % 3)), (0, 4, 6), strict=True))
    )  # fmt: skip
    EI = 0.004 * (left / 150) ** 2
    total = Measured(EI * 1.18, EI * 0.012)
    likes = Range(flex * RATIO[0] * MPH * (1 + 0.03 * (number % 3 - 1)), flex * RATIO[1] * MPH * (1 + 0.02 * (number % 5 - 2)))
    low, high = flex * RATIO[0] * MPH, flex * RATIO[1] * MPH
    predicted = Predicted(low, high, 9, Range(low * INTERVAL[0], low / INTERVAL[0]), Range(high / INTERVAL[1], high * INTERVAL[1]))
    wind = WindFindings(
        Measured(flex * MPH, 0.04),
        1.4,
        {"MK": likes} if flown else {},
        {"MK": predicted},
        ("light breeze",),
        "flown" if flown else "predicted",
        likes if flown else Range(low, high),
        "MK",
    )
    colours = (("#b23a48", "#f1ead9"), ("#2f6f8f", "#e8e2d2"), ("#e0a526", "#3b3a36"), ("#4d7c59", "#efe7c8"))[number % 4]
    return Findings(
        Kite(
            key,
            name,
            made="2026-05-01",
            sail=Sail("washi", ((0.0, 0.0), (size, 0.63 * size), (0.0, 1.73 * size)), colours),
            mass_kg=0.021,
            bow=Bow("carbon", 2.13 * size, 2 * size, 0.0021, 0.36 * size),
            bench=press,
            covered=Covered(Press(((left + 20) * G, (left + 22) * G)), Press(((right + 22) * G,))),
        ),
        SailFindings(size * size * 1.73, 2 * size, 1.73 * size, 0.865 * size, 0.021 / (size * size * 1.73)),
        BowFindings(
            Stiffness(Measured(EI, EI * 0.01), measured_g(left - 6)), Stiffness(Measured(EI, EI * 0.01), measured_g(right))
        ),
        Balance(rounds[-1].difference, 0.02, 0.03, rounds[-1].verdict, None, rounds),
        Shaving(),
        Shape(1.9, 0.3 * size, 0.52, 0.49, 0.004, 0.006, 0.01, curve(2 * size, 0.3 * size, 0.08), curve(2 * size, 0.3 * size)),
        SkinFindings(Measured(EI * (0.05 + 0.03 * (number % 6)), EI * 0.015), 0.15, ("covered", "same skin", "bending only")[number % 3], measured_g(left + 21), measured_g(right + 22)),
        total,
        wind,
    )  # fmt: skip


def book(kites: int = 9, *, units: Units | None = None, unflown: int = 2) -> BookFindings:
    """A book of hand-made kites, the last `unflown` only predicted, with one flyer's records."""
    made = {f"leaf-{i}": kite(i, flown=i < kites - unflown) for i in range(kites)}
    points = tuple(
        ComfortPoint(k, f.wind.flex_m_s.value, f.wind.flown["MK"].low, f.wind.flown["MK"].high, 1.15 * f.wind.flex_m_s.value)
        for k, f in made.items()
        if "MK" in f.wind.flown
    )  # fmt: skip
    settings = Settings(units=units or Units(), flyer="MK", accent="#b3123b")
    records = Book("made", settings, {}, {"washi": Skin("washi", colours=("#345995", "#f2e9d8"))}, {k: f.kite for k, f in made.items()})
    flyer = FlyerFindings("MK", len(points), 30, *RATIO, 0.12, 0.09, points=points)
    return BookFindings(records, made, {"MK": flyer}, coverage=2.1, repeatability=0.01, freedom=18)


def bare() -> tuple[Findings, BookFindings]:
    """A kite of which only the name is known, alone in its book."""
    alone = Findings(Kite("only-a-name", "Only a name"))
    return alone, BookFindings(Book("made", kites={"only-a-name": alone.kite}), {"only-a-name": alone})
