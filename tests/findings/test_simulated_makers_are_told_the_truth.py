"""What the book says it is sure of is so as often as it says: simulated makers, book by book, through the program.

Every number asked here was promised before it was simulated. Counts are judged as counts: a rate that is promised to
be 5 in 100 at most is refused where a true one of 5 in 100 would give as many in one run of a thousand.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import pairwise

import numpy as np
import pytest
from scipy.optimize import brentq
from scipy.stats import binom

from bowbook.book.records import (
    Book,
    Bow,
    Change,
    Flight,
    Kite,
    Press,
    Rod,
    Round,
    Section,
    Settings,
    Station,
    Tips,
    Wind,
)
from bowbook.book.sail import Sail
from bowbook.findings.bench_results import Measured
from bowbook.findings.compute import compute_findings
from bowbook.findings.life import life_at_the_bench
from bowbook.findings.results import KiteSummary
from bowbook.findings.stock import rod_findings
from findings.shooting import column
from findings.simulated import GRAM, bare, book_with, judged, pooled, press, pressed_kite, weighed_kite

pytestmark = pytest.mark.long

SCATTERS = {"1 %": (0.0, 0.01), "2 %": (0.0, 0.02), "2 g": (2.0, 0.0), "1 g and 1 %": (1.0, 0.01)}
BANDS = (40, 80, 160, 320, 601)


def at_most(count: int, of: int, rate: float) -> bool:
    """Whether so many cases can be when the true rate is no more than `rate`."""
    return count <= binom.ppf(0.999, of, rate)


@pytest.mark.parametrize("scatter", SCATTERS)
def test_intervals_hold_the_true_difference(scatter: str) -> None:
    """The 95 % of a difference hold 0.93 to 0.97, and 0.92 to 0.98 in each band of force from 40 to 600 g.

    Books of 6, 12 and 30 kites, scales of 1 and 5 g, three readings a side. In a book of six with 1 % scatter what is
    assumed first, 2 %, still counts: it holds a little more, 0.978 in 3,000; more is no harm, less would be.
    """
    rng = np.random.default_rng(41)
    held: dict[tuple[float, int], list[bool]] = defaultdict(list)
    in_band: dict[int, list[bool]] = defaultdict(list)
    for kites in (3, 6, 12, 30):
        for step in (1.0, 5.0):
            book = book_with(step)
            for _ in range(math.ceil((400 if kites == 3 else 1200) / kites)):
                made = []
                for n in range(kites):
                    grams, d = math.exp(rng.uniform(math.log(40), math.log(600))), rng.normal(0, 0.03)
                    halves = [press(rng, grams * (1 + e), 3, SCATTERS[scatter], step) for e in (d / 2, -d / 2)]
                    made.append((grams, d, pressed_kite(*halves, key=str(n))))
                precision = pooled(book, [kite for *_, kite in made])
                for grams, d, kite in made:
                    found = judged(book, kite, precision)
                    assert found.difference is not None
                    assert found.expanded is not None
                    inside = abs(found.difference.value - d) <= found.expanded
                    held[step, kites].append(inside)
                    if kites >= 12:
                        in_band[int(np.searchsorted(BANDS, grams, side="right"))].append(inside)
    for (_, kites), inside in held.items():
        rate = np.mean(inside)
        least, most = {3: (0.90, 1.0), 6: (0.93, 0.985)}.get(kites, (0.93, 0.97))
        slack = 2 * math.sqrt(0.05 * 0.95 / len(inside)) / 2  # half of two standard errors of the count
        assert least - slack <= rate <= most + slack, (kites, rate)
    for band, inside in in_band.items():
        assert 0.92 <= np.mean(inside) <= 0.98, (band, np.mean(inside))


@pytest.mark.parametrize("known", [0, 20])
@pytest.mark.parametrize("scatter", [0.01, 0.02, 0.03])
def test_five_looks_seldom_mislead(scatter: float, known: int) -> None:
    """From three readings a side, on as the book promises: "stiffer" of an even bow, "even" of one exactly 3 % uneven.

    Both at most 5 in 100, in a fresh book and in one with twenty degrees of freedom more.
    """
    rng = np.random.default_rng(43)
    book, times = book_with(), 800
    others = [
        pressed_kite(*(press(rng, 200, 3, (0, scatter)) for _ in range(2)), key=f"o{n}") for n in range(known // 4)
    ]
    said: dict[tuple[float, str], int] = defaultdict(int)
    for d in (0.0, 0.03):
        for _ in range(times):
            grams = math.exp(rng.uniform(math.log(80), math.log(400)))
            left, right = (press(rng, grams * (1 + e), 3, (0, scatter)) for e in (d / 2, -d / 2))
            for _look in range(5):
                kite = pressed_kite(left, right)
                found = judged(book, kite, pooled(book, [*others, kite]))
                if found.verdict != "too close to call":
                    said[d, str(found.verdict).rpartition(" ")[2]] += 1
                    break
                more = found.more_readings or 2
                left, right = (
                    Press(one.values_N + press(rng, grams * (1 + e), more, (0, scatter)).values_N)
                    for one, e in ((left, d / 2), (right, -d / 2))
                )
    assert at_most(said[0.0, "stiffer"], times, 0.05), said
    assert at_most(said[0.03, "even"], times, 0.05), said


def test_promised_readings_settle_it() -> None:
    """In a book of twenty degrees, differences of N(0, 3 %) and of ±10 %: at least 8 promises in 10 come true."""
    rng = np.random.default_rng(47)
    book, kept, promised = book_with(), 0, 0
    while promised < 250:
        scatter, n = float(rng.choice([0.006, 0.01, 0.015, 0.02])), 3
        d = float(rng.normal(0, 0.03) if rng.random() < 0.7 else 0.1 * rng.choice([-1, 1]))
        grams = math.exp(rng.uniform(math.log(80), math.log(400)))
        others = [pressed_kite(press(rng, 150, 7, (0, scatter)), press(rng, 220, 8, (0, scatter)))]  # 13 and 4 and 3
        left, right = (press(rng, grams * (1 + e), n, (0, scatter)) for e in (d / 2, -d / 2))
        kite = pressed_kite(left, right)
        found = judged(book, kite, pooled(book, [*others, kite]))
        if found.verdict != "too close to call" or found.more_readings is None:
            continue
        promised += 1
        again = [
            Press(one.values_N + press(rng, grams * (1 + e), found.more_readings, (0, scatter)).values_N)
            for one, e in ((left, d / 2), (right, -d / 2))
        ]
        kite = pressed_kite(*again)
        kept += judged(book, kite, pooled(book, [*others, kite])).verdict != "too close to call"
    assert at_most(promised - kept, promised, 0.2), kept / promised


@pytest.mark.parametrize(("material", "assumed"), [("carbon", 0.04), ("bamboo", 0.15)])
@pytest.mark.parametrize("bows", [2, 3, 5, 8])
def test_the_range_of_a_rod_holds_the_next_one(material: str, assumed: float, bows: int) -> None:
    """0.93 to 0.97 at 2 to 8 bows, each kind's own spread drawn as σ² = 3 σ_m²/χ² of three degrees."""
    rng = np.random.default_rng(53)
    book = Book("", Settings(), rods={"rod": Rod("rod", material)})
    held = []
    for _ in range(3000):
        spread = assumed * math.sqrt(3 / rng.chisquare(3))
        pieces = 1e11 * np.exp(spread * rng.normal(size=bows + 1))
        kites = {
            str(n): KiteSummary(str(n), "rod", None, None, False, Measured(float(E)), None, None, {})
            for n, E in enumerate(pieces[:-1])
        }
        low, high = rod_findings(book, kites)["rod"].expected_range_Pa or (0.0, 0.0)
        held.append(low <= pieces[-1] <= high)
    assert 0.93 <= np.mean(held) <= 0.97


def test_predicted_edges_hold_the_next_kite() -> None:
    """Each edge 0.93 to 0.97, with kites of several states: what a flyer liked of one state is not another kite's.

    Flex winds are those of tips tests: V = √(0.2 (F/δ) h²/(ρ S₁)), S₁ = c h²/6 for a diamond of centre chord c.
    """
    rng = np.random.default_rng(59)
    sail = Sail(outline=((0.0, 0.0), (0.3, 0.19), (0.0, 0.52)))
    start, back = date(2026, 1, 1), 0.03
    held: dict[str, list[bool]] = {"low": [], "high": []}

    def kite_of_chance(key: str) -> tuple[Kite, float, float, float]:
        """A kite of one to three states, each flown; its newest flex wind, and the edges its next flights show."""
        of_kite = rng.normal(0, 0.15, size=2)
        rounds, flights, changes = [], [], []
        for state in range(int(rng.integers(1, 4))):
            day = start + timedelta(days=100 * state)
            grams = rng.uniform(12, 60)
            flex = math.sqrt(0.2 * grams * GRAM / (2 * back) * 6 / (1.225 * 0.52))
            tips = Tips((grams * GRAM, grams * GRAM), back)
            rounds.append(Round(on=day.isoformat(), whole=Press((0.5, 0.5)), tips=tips))
            if state:
                changes.append(Change(on=(day - timedelta(days=1)).isoformat(), span_m=0.6))
            edges = flex * np.exp(np.log([1.2, 2.0]) + of_kite + 0.05 * rng.normal(size=2))
            on = (day + timedelta(days=10)).isoformat()
            flights.append(Flight(on=on, flyer="MK", best=Wind(float(edges[0]), float(edges[1]))))
        kite = Kite(
            key,
            key,
            sail=sail,
            bow=Bow(length_m=0.64, span_m=0.6),
            bench=tuple(rounds),
            flights=tuple(flights),
            changes=tuple(changes),
        )
        return kite, flex, float(edges[0]), float(edges[1])

    for _ in range(500):
        made = [kite_of_chance(f"k{n}") for n in range(int(rng.integers(3, 7)))]
        new, flex, low, high = kite_of_chance("new")
        kites = {kite.key: kite for kite, *_ in made} | {
            "new": Kite("new", "new", sail=sail, bow=new.bow, bench=new.bench, changes=new.changes)
        }
        found = compute_findings(Book("", Settings(), kites=kites)).kites["new"].wind
        assert found.flex_m_s is not None
        assert found.flex_m_s.value == pytest.approx(flex, rel=1e-6)
        told = found.predicted["MK"]
        assert told.low_interval is not None
        assert told.high_interval is not None
        held["low"].append(told.low_interval.low <= low <= told.low_interval.high)
        held["high"].append(told.high_interval.low <= high <= told.high_interval.high)
    for inside in held.values():
        assert 0.93 <= np.mean(inside) <= 0.97, np.mean(inside)


@pytest.mark.parametrize("kind", ["K", "spring"])
def test_a_learnt_hand_measures_the_next_bow(kind: str) -> None:
    """Root mean square error of a half's stiffness: at most 6 % after three bows pressed whole, 4.5 % after five.

    Bows of 0.01 to 0.05 N m² uneven by 10 %, own weight and bow-out in every reading, scatter of 1 %.
    """
    rng = np.random.default_rng(61)
    book, errors = book_with(), defaultdict(list)
    for _ in range(300):
        size = rng.uniform(0.78, 0.95) if kind == "K" else math.exp(rng.uniform(math.log(0.1), math.log(1.5)))
        end = 0.985 + 0.009 * rng.normal()
        kites = []
        for n in range(6):
            waver = 1 + 0.015 * rng.normal()
            hand = (kind, size * (waver if kind == "K" else waver**8))
            EI = math.exp(rng.uniform(math.log(0.01), math.log(0.05)))
            kites.append(weighed_kite(rng, str(n), (1.05 * EI, 0.95 * EI), hand, 0.01, end if n < 5 else None))
        for learnt in (0, 3, 5):
            halves = bare(kites[5], pooled(book, [*kites[:learnt], kites[5]]))
            assert halves.left is not None
            assert halves.left.EI is not None
            errors[learnt].append(float(halves.left.EI.nominal_value) / (1.05 * EI) - 1)
    rms = {n: float(np.sqrt(np.mean(np.square(found)))) for n, found in errors.items()}
    assert rms[3] <= 0.06, rms
    assert rms[5] <= 0.045, rms
    assert rms[0] > rms[3], rms


@dataclass
class Strip:
    """A flat half in any modulus, thinning evenly from the centre mark to its tip, pressed over its outer part."""

    half: float
    free: float
    wide: float
    thick: float
    thin: float

    def load(
        self, scale: float, hold: object, spring: float, cut: float = 0.0, zone: tuple[float, float] = (0, 0)
    ) -> float:
        """The load, N, under which it bows with w (t − cut)³ over the zone, times the scale."""

        start = self.half - self.free
        stops = sorted({start, self.half, *(s for s in zone if start < s < self.half)})

        def stretch(a: float, b: float) -> tuple[float, Callable[[float], float]]:
            off = cut if zone[0] <= (a + b) / 2 <= zone[1] else 0.0
            slope = (self.thin - self.thick) / self.half
            return b - a, lambda s: scale * self.wide * (self.thick + slope * (a + s) - off) ** 3

        rod = [stretch(a, b) for a, b in pairwise(stops)]
        if hold in ("spring", "clamped"):
            return column(rod, spring if hold == "spring" else None)
        return column(rod) / {None: 0.93, "hinge": math.sqrt(0.97)}.get(hold, hold) ** 2


@pytest.mark.parametrize("hold", [None, "hinge", "clamped", 0.82, "spring"])
def test_pressing_again_after_the_cut_shows_what_was_promised(hold: object) -> None:
    """Tapered halves pressed short, in fingers, a hinge, a vice, by a factor and by a learnt spring: to 0.5 %.

    After the advised cut the scale is read again by plain shooting.
    """
    rng = np.random.default_rng(67)
    spring, book, checked = 0.35, book_with(), 0
    bows = enumerate((0.012, 0.02, 0.04))
    known = [weighed_kite(rng, f"t{n}", (EI, EI), ("spring", spring), 0.0, 0.985) for n, EI in bows]
    ratio = 1.026 if hold == "clamped" else 1.034
    while checked < 6:
        half, thick = float(rng.uniform(0.26, 0.40)), float(rng.uniform(0.0016, 0.0024))
        strip = Strip(half, half * float(rng.uniform(0.85, 1)), 0.004, thick, thick * float(rng.uniform(0.65, 1)))
        sections = ((0.0, strip.thick), (half, strip.thin))
        stations = tuple(Station(at, Section("flat", t, strip.wide)) for at, t in sections)
        grams = float(rng.uniform(150, 500))
        left, right = (
            Press((g * GRAM,) * 5, length_m=strip.free, hold=None if hold == "spring" else hold)
            for g in (1.06 * grams, 0.95 * grams)
        )
        bow = Bow(length_m=2 * half, span_m=1.85 * half, left=stations, right=stations)
        kite = Kite("k", "K", bow=bow, bench=(Round(left=left, right=right),))
        found = life_at_the_bench(book, kite, pooled(book, [*(known if hold == "spring" else ()), kite]))
        high, low = 1.06 * grams * GRAM, 0.95 * grams * GRAM
        unit = strip.load(1.0, "hinge", spring) * 0.97  # between hinges
        scale = brentq(_miss(strip, hold, spring, high / ratio), 0.4 * high / ratio / unit, 1.001 * high / ratio / unit)
        for option in found.shave.options or ():
            if option.feasible and option.thickness_m is not None:
                checked += 1
                zone = {"whole half": (0.0, half), "middle third": (half / 3, 2 * half / 3)}[option.zone]
                read = ratio * strip.load(scale, hold, spring, option.thickness_m, zone)
                assert option.press_after_N == pytest.approx(low, rel=0.005)
                assert read == pytest.approx(low, rel=0.005)


def _miss(strip: Strip, hold: object, spring: float, load: float) -> Callable[[float], float]:
    return lambda scale: strip.load(scale, hold, spring) - load
