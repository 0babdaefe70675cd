"""What a book of chance is to be told beside its figures: how much to shave, what more readings would settle, and what
its flyer likes; by root finding on columns, by scipy's Student's t, by numpy's regression.
"""

import itertools
import math
from statistics import mean, stdev

import numpy as np
from scipy.optimize import brentq
from scipy.stats import linregress
from scipy.stats import t as student

from findings.books_of_chance import MPH, SIDES, Spec
from findings.chance_figures import Figures, half_rod, inertia
from findings.shooting import Rod, bend, column, turned


def cut_half(k: Spec, side: str, E: float, zone: tuple[float, float], off: float, narrower: float, start: float) -> Rod:
    """A half from a place of it, from the centre mark out, with an even cut taken off in a zone of it (m), in mm."""
    half = k.length / 2000
    stops = sorted({start, half, *(s for s in zone if start < s < half)})

    def stretch(a: float, b: float):
        inside = zone[0] <= (a + b) / 2 <= zone[1]
        cut = (off, narrower) if inside else (0.0, 0.0)
        return b - a, lambda s: E * inertia(k, side, a + s, *cut)

    return [stretch(a, b) for a, b in itertools.pairwise(stops)]


def shaved(figures: Figures, k: Spec, side: str, zone: tuple[float, float]):
    """Off the thickness, or off the width of a flat half, m; what the scale says then, N; how the bow stands then.

    None where half of the least thickness in the zone is not enough, or where the half, pressed over a part of it,
    reads less than the other already.
    """
    other = SIDES[side == "left"]
    half = k.length / 2000
    E, E_other = figures.half(k, side).value, figures.half(k, other).value
    free = half if k.dropped else (k.free or k.length / 2) / 1000
    K2, spring = (1.0, 0.0) if k.dropped else figures.held(k)
    place = zone[0] * half, zone[1] * half
    target = column(half_rod(k, other, E_other, start=half - free), spring) / K2

    def to_target(most: float, narrower: bool) -> float | None:
        def miss(x: float) -> float:
            cut = (0.0, x) if narrower else (x, 0.0)
            return column(cut_half(k, side, E, place, *cut, half - free), spring) / K2 / target - 1

        return brentq(miss, 0.0, most, xtol=1e-12) if miss(most) < 0 < miss(0.0) else None

    at, wides, thicks = zip(*k.taper.get(side, [(0.0, 0.0, 1.5)]), strict=True)
    thin, narrow = (min(np.interp([1000 * s for s in place], at, sizes)) / 2 for sizes in (thicks, wides))
    taken = to_target(thin, False)
    if taken is None:
        return None
    wide = to_target(narrow, True) if side in k.taper else None
    press = None if k.dropped else figures.carried(k, free) + target * figures.bow_out(k, side, free)
    rods = {side: cut_half(k, side, E, place, taken, 0.0, 0.0), other: half_rod(k, other, E_other)}
    bent = bend([*turned(rods["left"]), *rods["right"]], k.span / 1000)
    return taken / 1000, wide and wide / 1000, press, 2 * bent.deepest / (k.span / 1000) - 1, bent.left - bent.right


def promised(figures: Figures, k: Spec) -> tuple[int | None, float]:
    """The least number of more readings that settles it in 85 of 100 such cases, and what twelve would settle."""
    d, by_kind, fixed, counts = figures.apart(k)
    n = 2 / sum(1 / count for count in counts)
    v = sum(s * s for s, _ in by_kind)
    nu = v**2 / sum(s**4 / degrees for s, degrees in by_kind if s)
    k_ = 0.03**2 / (0.03**2 + v)

    def odds(m: int) -> float:
        s2 = v * n / (n + m)
        u2 = s2 + fixed**2
        degrees = (nu + 2 * m) * (u2 / s2) ** 2
        even = 0.03 - student.ppf(0.975 if min(counts) + m <= 3 else 0.9875, degrees) * math.sqrt(u2)
        stiffer = max(0.03, student.ppf(0.99375, degrees) * math.sqrt(u2))
        D = student(nu, (n + m * k_) / (n + m) * d, m / (n + m) * math.sqrt(k_ * v + v * n / m))
        settled = D.sf(stiffer) + D.cdf(-stiffer)
        return settled + (D.cdf(even) - D.cdf(-even) if even > 0 else 0.0)

    return next((m for m in range(1, 13) if odds(m) >= 0.85), None), odds(12)


def liked(figures: Figures, flex: dict[str, float]) -> dict[str, object]:
    """What the book's one flyer likes, from the kites whose flex wind is no floor: ratios, spread, error, slope."""
    points = [(flex[name], *(edge * MPH for edge in figures.book[name].best)) for name in flex]
    edges = [[math.log(p[i] / p[0]) for p in points] for i in (1, 2)]
    middles = [mean(pair) for pair in zip(*edges, strict=True)]
    n = len(points)
    errors = [(n * mean(middles) - m) / (n - 1) - m for m in middles]
    line = linregress([math.log(p[0]) for p in points], [math.log(p[1] * p[2]) / 2 for p in points])
    return {
        "edges": edges,
        "spread": stdev(middles),
        "left_out_error": float(np.sqrt(np.mean(np.square(errors)))),
        "slope": (line.slope, line.stderr),
    }
