"""Findings made by hand for the charts: invented kites whose numbers are plain to see, not worked out."""

from __future__ import annotations

import math
from datetime import date, timedelta

from bowbook.book.records import Book, Bow, Covered, Kite, Press, Round, Settings, Shave, Skin, Units, Zone
from bowbook.book.sail import Sail
from bowbook.findings.bench_results import (
    Balance,
    BowFindings,
    Measured,
    RoundBalance,
    SailFindings,
    Shape,
    Shaving,
    Stiffness,
)
from bowbook.findings.results import (
    BookFindings,
    ComfortPoint,
    Findings,
    FlyerFindings,
    Predicted,
    Range,
    SkinFindings,
    WindFindings,
)
from bowbook.mechanics.scatter import Scatter

G = 0.00980665  # N, what a kitchen scale calls a gram
MPH = 0.44704  # m/s, exactly
NAMES = (
    "Inkstone",
    "Deckle",
    "Quire",
    "Palimpsest",
    "Nib",
    "Blotter",
    "Colophon",
    "Foolscap",
    "Gather",
    "Signature",
    "Vellum",
)
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
    return Measured(value * G, u * G, u * G)


def kite(
    number: int = 0, *, name: str | None = None, key: str | None = None, flown: bool = True, rounds: int = 3
) -> Findings:
    """One whole kite. The stiffness grows with its number, the winds with the stiffness."""
    size = 0.3 + 0.012 * (number % 23)
    left, right = 150.0 + 9 * (number % 31), 146.0 + 9 * (number % 31) + (number % 5) * 1.7
    EI = 0.004 * (left / 150) ** 2
    judgements = judged(number, left, right, rounds)
    share = 0.05 + 0.03 * (number % 6)
    how = ("covered", "same skin", "lower bound")[number % 3]
    return Findings(
        record(number, name, key, size, left, right, rounds),
        SailFindings(size * size * 1.73, 2 * size, 1.73 * size, 0.865 * size, 0.021 / (size * size * 1.73)),
        BowFindings(
            Stiffness(Measured(EI, EI * 0.01, EI * 0.01), measured_g(left - 6)),
            Stiffness(Measured(EI, EI * 0.01, EI * 0.01), measured_g(right)),
        ),
        Balance(judgements[-1].difference, 0.02, 0.03, judgements[-1].verdict, None, judgements),
        Shaving(),
        Shape(
            thrust_N=1.9,
            rise_m=0.3 * size,
            tip_slope_left_rad=0.52,
            tip_slope_right_rad=0.49,
            deepest_offset_m=0.004,
            strain=0.006,
            strain_limit=0.01,
            curve=curve(2 * size, 0.3 * size, 0.08),
            even_curve=curve(2 * size, 0.3 * size),
        ),
        SkinFindings(
            Measured(EI * share, EI * 0.015, EI * 0.015), share, how, measured_g(left + 21), measured_g(right + 22)
        ),
        Measured(EI * 1.18, EI * 0.012, EI * 0.012),
        winds(number, flown),
    )


def record(number: int, name: str | None, key: str | None, size: float, left: float, right: float, rounds: int) -> Kite:
    """The kite as its maker wrote it down: rounds at the bench, shaved after the first two, and a covered press."""
    zone = Zone("middle third", 1 / 3, 2 / 3)

    def press(*grams: float) -> Press:
        return Press(tuple(value * G for value in grams))

    colours = (("#b23a48", "#f1ead9"), ("#2f6f8f", "#e8e2d2"), ("#e0a526", "#3b3a36"), ("#4d7c59", "#efe7c8"))
    return Kite(
        key or f"leaf-{number}",
        name or (NAMES[number] if number < len(NAMES) else f"Leaf {number}"),
        made="2026-05-01",
        sail=Sail("washi", ((0.0, 0.0), (size, 0.63 * size), (0.0, 1.73 * size)), colours[number % 4]),
        mass_kg=0.021,
        bow=Bow("carbon", 2.13 * size, 2 * size, 0.0021, 0.36 * size),
        bench=(
            Round("2026-05-01", press(left, left + 1), press(right), press(52), (Shave("left", zone, 20, 0.00005),)),
            Round("2026-05-02", press(left - 4), press(right), press(51), (Shave("left", zone, 8, 0.00002),)),
            *(
                Round(f"{date(2026, 5, 3) + timedelta(i)}", press(left - 6, left - 6), press(right))
                for i in range(rounds - 2)
            ),
        ),
        covered=Covered(press(left + 20, left + 22), press(right + 22)),
    )


def judged(number: int, left: float, right: float, rounds: int) -> tuple[RoundBalance, ...]:
    """The rounds as judged: the left half comes down from too stiff to even, and stays so."""
    more = rounds - 3
    differences = (0.05 + 0.01 * (number % 4), 0.03, *[0.01 - 0.012 * (number % 3)] * (1 + more))
    wholes = (measured_g(52, 0.5), measured_g(51, 0.5), *[None] * (1 + more))
    return tuple(
        RoundBalance(
            f"{date(2026, 5, 1) + timedelta(i)}",
            Measured(difference, 0.006),
            "left stiffer" if difference > 0.03 else "even",
            measured_g(left - taken),
            measured_g(right),
            whole,
        )
        for i, (difference, taken, whole) in enumerate(zip(differences, (0, 4, *[6] * (1 + more)), wholes, strict=True))
    )


def winds(number: int, flown: bool) -> WindFindings:
    """The wind it flexes in, and where the one flyer liked it or would."""
    flex = (4.2 + 0.33 * (number % 37) + 0.05 * (number % 7)) * MPH
    low, high = flex * RATIO[0], flex * RATIO[1]
    liked = Range(low * (1 + 0.03 * (number % 3 - 1)), high * (1 + 0.02 * (number % 5 - 2)))
    edges = (Range(low * INTERVAL[0], low / INTERVAL[0]), Range(high / INTERVAL[1], high * INTERVAL[1]))
    return WindFindings(
        flex_m_s=Measured(flex, 0.04, 0.04),
        least_m_s=1.4,
        flown={"MK": liked} if flown else {},
        predicted={"MK": Predicted(low, high, 9, *edges)},
        bands=("light breeze",),
        basis="flown" if flown else "predicted",
        range=liked if flown else Range(low, high),
        flyer="MK",
    )


def book(
    kites: int = 9, *, units: Units | None = None, unflown: int = 2, naming: str | None = None, rounds: int = 3
) -> BookFindings:
    """A book of hand-made kites, the last `unflown` only predicted, with one flyer's records."""
    made = {
        f"leaf-{i}": kite(i, name=naming and naming.format(i), flown=i < kites - unflown, rounds=rounds)
        for i in range(kites)
    }
    points = tuple(
        ComfortPoint(k, flex.value, f.wind.flown["MK"].low, f.wind.flown["MK"].high, 1.15 * flex.value)
        for k, f in made.items()
        if "MK" in f.wind.flown and (flex := f.wind.flex_m_s)
    )
    settings = Settings(units=units or Units(), flyer="MK", accent="#b3123b")
    records = Book(
        "made",
        settings,
        {},
        {"washi": Skin("washi", colours=("#345995", "#f2e9d8"))},
        {k: f.kite for k, f in made.items()},
    )
    edges = {"ratio_lowest": RATIO[0] * INTERVAL[0], "ratio_highest": RATIO[1] * INTERVAL[1]}
    flyer = FlyerFindings("MK", len(points), 30, *RATIO, 0.12, 0.09, points=points, **edges)
    return BookFindings(records, made, {"MK": flyer}, coverage=2.1, scatter=Scatter(0.0, 0.01, 18, 0.5, 4.0))


def bare() -> tuple[Findings, BookFindings]:
    """A kite of which only the name is known, alone in its book."""
    alone = Findings(Kite("only-a-name", "Only a name"))
    return alone, BookFindings(Book("made", kites={"only-a-name": alone.kite}), {"only-a-name": alone})
