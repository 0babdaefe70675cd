"""Every figure of a book of chance, and both its uncertainties, by a calculation that shares no code with the program.

A figure carries what each source leaves open of it (`Open`); a function of figures is differentiated by differences
(JCGM 100:2008, 5.1.3), so that what two figures share cancels or adds up by itself.
"""

import math
from collections.abc import Callable
from dataclasses import dataclass, field
from functools import cached_property
from statistics import mean

from scipy.integrate import quad
from scipy.optimize import brentq
from scipy.special import ellipe, ellipk, stdtrit

from findings.books_of_chance import CLAMPED, G0, GF, RHO, SIDES, Spec, factor_at
from findings.second_calculation import deviation, digits, in_use, scatter
from findings.shooting import Bent, Rod, bend, column, droop, misses, turned

RULER = 0.0005 / math.sqrt(6)
READ = ("press", "drop", "tips", "step", "session")  # what another reading would show
LENGTHS = ("ruler", "pivot")  # a length enters a press squared, as in Euler's formula
HELD = ("hand", "hinge", *LENGTHS)
_H = 1e-3


@dataclass
class Open:
    """A figure, and for each source (its kind, its name) what one standard uncertainty of it adds."""

    value: float
    parts: dict[tuple[str, ...], float] = field(default_factory=dict)

    def with_part(self, relative: float, *source: str) -> "Open":
        return Open(self.value, {**self.parts, source: self.parts.get(source, 0.0) + relative * self.value})

    def without(self, *kinds: str) -> "Open":
        return Open(self.value, {source: c for source, c in self.parts.items() if source[0] not in kinds})

    def of(self, *kinds: str) -> float:
        return math.hypot(*(c for source, c in self.parts.items() if source[0] in kinds))

    @property
    def repeat(self) -> float:
        return self.of(*READ)

    @property
    def u(self) -> float:
        return math.hypot(*self.parts.values())


def through(f: Callable[..., float], *xs: Open) -> Open:
    """A function of figures, its slopes by central differences."""
    values = [x.value for x in xs]
    parts: dict[tuple[str, ...], float] = {}
    for i, x in enumerate(xs):
        if not x.parts:
            continue
        h = _H * abs(x.value)
        up, down = (f(*values[:i], x.value + by, *values[i + 1 :]) for by in (h, -h))
        for source, c in x.parts.items():
            parts[source] = parts.get(source, 0.0) + (up - down) / (2 * h) * c
    return Open(f(*values), parts)


def inertia(k: Spec, side: str, s: float, off: float = 0.0, narrower: float = 0.0) -> float:
    """w t³ of a tapered half, mm⁴, or d⁴ of a round one over that of 1.5 mm, at a place, with a cut taken off."""
    if side not in k.taper:
        return ((1.5 - off) / 1.5) ** 4
    (a, w0, t0), (b, w1, t1) = k.taper[side]
    x = min(max((1000 * s - a) / (b - a), 0.0), 1.0)
    return (w0 + (w1 - w0) * x - narrower) * (t0 + (t1 - t0) * x - off) ** 3


def thickness(k: Spec, side: str, s: float) -> float:
    """Thickness in the plane of bending, m."""
    if side not in k.taper:
        return 0.0015
    (a, _, t0), (b, _, t1) = k.taper[side]
    return (t0 + (t1 - t0) * min(max((1000 * s - a) / (b - a), 0.0), 1.0)) / 1000


def half_rod(k: Spec, side: str, E: float = 1.0, more: float = 0.0, start: float = 0.0) -> Rod:
    """A half from a place of it, from the centre mark out: E times its inertia, and a skin."""
    length = k.length / 2000 - start
    return [(length, lambda s: E * inertia(k, side, start + s) + more)]


class Figures:
    """Every figure of a book of chance."""

    def __init__(self, book: dict[str, Spec]) -> None:
        self.book = book
        presses = [v for k in book.values() for v in k.presses()]
        drops = [[d / 1000 / GF for d in k.halves[s][3]] for k in book.values() for s in SIDES if k.dropped]
        self.fit, self.drop_fit = scatter(presses), scatter(drops)
        self.tips_fit = scatter([k.tips[0] for k in book.values() if k.tips])

    # what a reading says

    def read(self, values_si, fit, step: float, kind: str, *name: str) -> Open:
        """The mean of repeats with what scatter and step leave open."""
        m = mean(values_si)
        s = deviation(m, fit)
        shut = step / math.sqrt(12) * max(0.0, 1 - 6 * (s / step) ** 2)
        return Open(m, {(kind, *name): s / math.sqrt(len(values_si)), ("step", *name): shut})

    def pressed(self, values, *name: str) -> Open:
        """A press as the scale said it, N."""
        x = self.read([v * GF for v in values], self.fit, GF, "press", *name).with_part(0.005, "gain")
        return Open(x.value, {**x.parts, ("zero",): 0.5 * GF})

    @cached_property
    def session(self) -> float:
        """The scatter between two days, from halves pressed twice with nothing done to them."""
        found = []
        for k in self.book.values():
            for side in SIDES if k.before else ():
                one, two = (self.read([v * GF for v in at[side]], self.fit, GF, "press") for at in (k.before, k.halves))
                middle = (one.value + two.value) / 2
                change = (two.value - one.value) / middle
                found.append(change**2 - (one.u / one.value) ** 2 - (two.u / two.value) ** 2)
        return digits(math.sqrt(max(0.0, (3 * 0.01**2 + sum(found) / 2) / (3 + len(found)))))

    def carried(self, k: Spec, free: float) -> float:
        """The rod's own weight in a reading, N."""
        share = 1 - 0.65404 if k.hold == "clamped" and free < k.length / 1000 else 0.5
        return share * (k.mass or 0.0) / 1000 * G0 * 1000 * free / k.length

    def bow_out(self, k: Spec, side: str | None, free: float) -> float:
        """How much more than its critical load a reading shows."""
        if side is None or not k.rise:
            return 1.026 if k.hold == "clamped" and side else 1.034
        if side not in k.taper:
            m = brentq(lambda m: math.sqrt(m) / ellipk(m) - k.rise / 1000 / free, 1e-12, 0.8, xtol=1e-16)
            return (2 * ellipk(m) / math.pi) ** 2
        rod = half_rod(k, side, start=k.length / 2000 - free)
        slack = brentq(lambda x: bend(rod, free * (1 - x)).rise - k.rise / 1000, 1e-4, 0.5, xtol=1e-10)
        return bend(rod, free * (1 - slack)).thrust / column(rod)

    def load(self, k: Spec, side: str | None, values, *name: str) -> Open:
        """The critical load behind a press of a half, or with no side of the whole bow, N."""
        free = k.length / 1000 if side is None else (k.free or k.length / 2) / 1000
        carried, ratio = self.carried(k, free), self.bow_out(k, side, free)
        P = through(lambda x: (x - carried) / ratio, self.pressed(values, *name))
        if side is not None and k.rise:
            return P
        held = k.hold == "clamped" and side is not None
        return P.with_part(0.0095, "bow-out", "clamped") if held else P.with_part(0.0125, "bow-out")

    # the hand

    @cached_property
    def shown(self) -> list[tuple[float, float]]:
        """For each bow pressed whole: the factor that it shows, and load times length of a half."""
        found = []
        for k in self.book.values():
            if k.whole:
                half = k.length / 2000
                loads = {s: self.load(k, s, k.halves[s]).value for s in SIDES}
                E = {s: loads[s] / column(half_rod(k, s)) for s in SIDES}
                apart = column([*turned(half_rod(k, "left", E["left"])), *half_rod(k, "right", E["right"])])
                K = 0.985 * math.sqrt(self.load(k, None, k.whole).value / apart)
                found.append((min(max(K, 0.705), 0.995), mean(loads.values()) * half))
        return found

    @cached_property
    def hand(self) -> tuple[str, float, float]:
        """Kind, size, and what it leaves open of a rigidity; rounded as JCGM 100:2008, 7.2.6."""
        m = len(self.shown)
        K = mean(f for f, _ in self.shown)
        c = math.exp(mean(math.log(Pl / (math.pi / f / math.tan(math.pi / f) - 1)) for f, Pl in self.shown))
        by_K = sum((2 * math.log(K / f)) ** 2 for f, _ in self.shown)
        by_c = sum((2 * math.log(factor_at(Pl, c) / f)) ** 2 for f, Pl in self.shown)
        if m >= 3 and by_c < by_K:
            s = math.sqrt((3 * (0.06 / K) ** 2 + by_c) / (2 + m))
            return "spring", digits(c, 3), digits(math.hypot(s * math.sqrt(1 + 1 / m), 0.017))
        s = math.sqrt((3 * 0.03**2 + sum((f - K) ** 2 for f, _ in self.shown)) / (2 + m))
        return "K", digits(K, 3), digits(math.hypot(2 * s / K * math.sqrt(1 + 1 / m), 0.017))

    def held(self, k: Spec) -> tuple[float, float | None]:
        """How a half was held: the square of a factor, and a spring, N m/rad; None for a vice."""
        kind, size, _ = self.hand
        if k.hold == "clamped":
            return 1.0, None
        if k.hold is None:
            return (1.0, size) if kind == "spring" else (size**2, 0.0)
        return {"hinge": 0.97, "pinned": 1.0}.get(k.hold, 0.0) or k.hold**2, 0.0

    # stiffness

    def equivalent(self, k: Spec, side: str) -> float:
        """The rigidity of the uniform half that bows under the same pinned press, for E = 1."""
        return column(half_rod(k, side)) * (k.length / 2000 / math.pi) ** 2 if side in k.taper else 1.0

    def scale(self, k: Spec, side: str, load: Open) -> Open:
        """What a half's inertia is to be multiplied by, so that it bows under a load as it is held."""
        free = (k.free or k.length / 2) / 1000
        K2, spring = self.held(k)
        if side not in k.taper:
            if spring:
                return through(lambda P: P * (factor_at(P * free, spring) * free / math.pi) ** 2, load)
            K2 = CLAMPED**2 if spring is None else K2
            return through(lambda P: P * K2 * free**2 / math.pi**2, load)
        rod = half_rod(k, side, start=k.length / 2000 - free)
        unit = column(rod, None if spring is None else 0.0) / K2
        if not spring:
            return through(lambda P: P / unit, load)

        def sprung(P: float) -> float:
            far = lambda E: misses([(n, lambda s, EI=EI: E * EI(s)) for n, EI in rod], P, spring)  # noqa: E731
            return brentq(far, 0.42 * P / unit, P / unit, xtol=1e-18, rtol=1e-12)

        return through(sprung, load)

    def open_by_hold(self, k: Spec, EI: Open) -> Open:
        """The same with what hold and lengths leave open."""
        free = (k.free or k.length / 2) / 1000
        EI = EI.with_part(2 * RULER / free, "ruler")
        if k.hold is None:
            return EI.with_part(self.hand[2], "hand")
        EI = EI.with_part(2 * 0.0015 / free, "pivot")
        return EI.with_part(0.017, "hinge") if k.hold == "hinge" else EI

    def half(self, k: Spec, side: str, values=None, *name: str, day: bool = False) -> Open:
        """The scale of a half's inertia: its rigidity where it is uniform. `day`: with what two days differ by."""
        value = k.halves[side] if values is None else values
        name = name or (str(id(k)), side)
        if k.dropped:
            EI = self._from_drop(k, side, value, *name)
            return EI.with_part(self.session, "session", *name) if day else EI
        P = self.load(k, side, value, *name)
        return self.open_by_hold(k, self.scale(k, side, P.with_part(self.session, "session", *name) if day else P))

    def _from_drop(self, k: Spec, side: str, value, *name: str) -> Open:
        what, F, span, drops = value
        drop = self.read([d / 1000 for d in drops], self.drop_fit, 0.0005, "drop", *name)
        reach = Open(span / 1000, {("ruler",): RULER})
        middle = (k.at or k.length / 4) / 1000
        if what == "droop":
            return through(lambda d, s: droop([(s, lambda x: inertia(k, side, x))], F * GF, d), drop, reach)

        def sag(d: float, s: float) -> float:
            def arm(x: float) -> float:  # x² over both inertias as far from their supports
                return x * x * sum(1 / inertia(k, side, abs(middle + way * (s / 2 - x))) for way in (-1, 1))

            kink = min(max(s / 2 - middle, 0.0), s / 2)  # where the supports reach across the centre mark
            arms = quad(arm, 0, kink, epsrel=1e-12)[0] + quad(arm, kink, s / 2, epsrel=1e-12)[0]
            return F * GF / 4 * arms / d * (1 + 10.3 * (d / s) ** 2)

        return through(sag, drop, reach)

    def rigidity(self, k: Spec, side: str, *how, day: bool = False) -> Open:
        """The equivalent rigidity of a half, N m²."""
        unit = self.equivalent(k, side)
        return through(lambda E: E * unit, self.half(k, side, *how, day=day))

    def whole_load(self, k: Spec) -> Open:
        """The load at which the whole bow bows between hinges, N."""
        return through(lambda P: 0.985**2 * P, self.load(k, None, k.whole, str(id(k)), "whole")).with_part(
            0.017, "whole"
        )

    def mean_EI(self, k: Spec) -> Open:
        return through(lambda a, b: (a + b) / 2, *(self.rigidity(k, s) for s in SIDES))

    def whole_EI(self, k: Spec) -> Open:
        """The rigidity of the uniform bow that bows under the whole press."""
        L = k.length / 1000
        return through(lambda P: P * (L / math.pi) ** 2, self.whole_load(k)).with_part(2 * RULER / L, "ruler")

    def modulus(self, k: Spec) -> Open:
        """Young's modulus of the rod: by the stations of tapered halves as last read, else by the first round."""

        def one(side: str) -> Open:
            if side in k.taper:
                return through(lambda E: 12e12 * E, self.half(k, side))  # stations in mm
            first = (k.before[side], str(id(k)), side, "before") if k.before else ()
            return through(lambda EI: EI / (math.pi * 0.0015**4 / 64), self.half(k, side, *first))

        return through(lambda a, b: (a + b) / 2, *(one(side) for side in SIDES))

    def apart(self, k: Spec) -> tuple[float, list[tuple[float, int]], float, list[int]]:
        """Left against right: the difference, each kind's scatter with its degrees, what is fixed, and the counts."""
        d = through(lambda a, b: 2 * (a - b) / (a + b), *(self.rigidity(k, s) for s in SIDES))
        mark = 0.0 if k.dropped else 4 * RULER / (k.length / 2000)
        by_kind = [(d.of("press"), in_use(self.fit[2])), (d.of("drop"), in_use(self.drop_fit[2]))]
        counts = [len(k.halves[s][3] if k.dropped else k.halves[s]) for s in SIDES]
        return d.value, by_kind, math.hypot(d.of("step"), mark), counts

    def degrees(self, k: Spec) -> float:
        """The effective degrees of freedom of a difference (JCGM 100:2008, G.4)."""
        _, by_kind, fixed, _ = self.apart(k)
        u = math.hypot(fixed, *(s for s, _ in by_kind))
        return u**4 / sum(s**4 / degrees for s, degrees in by_kind)

    def difference(self, k: Spec) -> tuple[float, float, float, float]:
        """Left against right: the difference, its uncertainty, the 95 % half width, the bound."""
        d, by_kind, fixed, counts = self.apart(k)
        u, nu = math.hypot(fixed, *(s for s, _ in by_kind)), self.degrees(k)
        t = stdtrit(nu, 0.975 if min(counts) <= 3 else 0.9875)
        return d, u, stdtrit(nu, 0.975) * u, abs(d) + t * u

    # shape, skin, wind

    def rod(self, k: Spec, a: float, b: float, more: float = 0.0) -> Rod:
        """The bow from its left tip, for the scales of both halves and a skin."""
        return [*turned(half_rod(k, "left", a, more)), *half_rod(k, "right", b, more)]

    def shape(self, k: Spec) -> tuple[Bent, float]:
        """The strung bow, and the greatest strain at its surface."""
        bent = bend(self.rod(k, *(self.half(k, s).value for s in SIDES)), k.span / 1000)
        half, most = k.length / 2000, 0.0
        for side, stretch in zip(SIDES, bent.curvature, strict=True):
            strain = [curved * thickness(k, side, abs(s - half)) / 2 for s, curved in stretch]
            i = max(range(len(strain)), key=strain.__getitem__)
            most = max(most, strain[i])
            before, here, after = strain[min(max(i, 1), len(strain) - 2) - 1 :][:3]
            off = (after - before) / (2 * (2 * here - before - after))  # steps to the top of the parabola
            if abs(off) < 1 and 0 <= min(max(i, 1), len(strain) - 2) + off <= len(strain) - 1:
                most = max(most, here + (after - before) * off / 4)
        return bent, most

    def skin(self, k: Spec) -> tuple[Open, str]:
        """What the skin adds, and how it is known."""
        chord = k.height / 2000
        if k.covered:
            return through(lambda a, b: (a + b) / 2, *(self._added(k, side) for side in SIDES)), "covered"
        if k.skin == "film":
            return Open(4.5e9 * 12e-6**3 / (12 * (1 - 0.38**2)) * chord), "lower bound"
        logs = [math.log(self.skin(o)[0].value / (o.height / 2000)) for o in self.book.values() if o.covered]
        n, middle = len(logs), mean(logs)
        s = math.sqrt((3 * 0.3**2 + sum((x - middle) ** 2 for x in logs)) / (3 + n - 1))
        u = digits(math.exp(middle) * s * math.sqrt(1 + 1 / n)) * chord
        return Open(digits(math.exp(middle), 3) * chord, {("skin",): u}), "same skin"

    def _added(self, k: Spec, side: str) -> Open:
        covered = (k.covered[side], str(id(k)), side, "covered")
        if side not in k.taper:
            bare = self.half(k, side, day=True)
            return through(lambda a, b: a - b, self.half(k, side, *covered, day=True), bare)
        free = (k.free or k.length / 2) / 1000
        K2, spring = self.held(k)
        P = self.load(k, side, *covered).with_part(self.session, "session", *covered[1:])
        E = self.half(k, side, day=True).without(*HELD)

        def added(E: float, P: float) -> float:
            far = lambda x: misses(half_rod(k, side, E, x, k.length / 2000 - free), K2 * P, spring)  # noqa: E731
            return brentq(far, 0.0, 0.5 * P * free**2 / math.pi**2, xtol=1e-15, rtol=1e-12)

        return self.open_by_hold(k, through(added, E, P))

    def total(self, k: Spec) -> Open:
        return through(lambda a, b: a + b, self.mean_EI(k), self.skin(k)[0])

    def flex(self, k: Spec) -> Open:
        """The flex wind by the bow's tension."""
        span, L = k.span / 1000, k.length / 1000
        skin, folded = self.skin(k)[0], span * math.sqrt(0.99)
        if k.whole:
            m = brentq(lambda m: 2 * ellipe(m) / ellipk(m) - 1 - folded / L, 1e-12, 0.9, xtol=1e-16)
            bent = (2 * ellipk(m) / math.pi) ** 2
            T = through(lambda P, s, bow: P * bent * (1 + s / bow), self.whole_load(k), skin, self.mean_EI(k))
        else:
            halves = [self.half(k, s) for s in SIDES]
            T = through(
                lambda a, b, s: bend(self.rod(k, a, b, s), folded).thrust,
                *(x.without(*LENGTHS) for x in (*halves, skin)),
            )
        moment = first_moment(k)
        V = through(lambda T: math.sqrt(2 * span / 20 * T / (RHO * moment)), T.without(*LENGTHS))
        return V.with_part(0.015, "air").with_part(0.015, "tied")

    def tips(self, k: Spec) -> tuple[Open, Open]:
        """What the tips push back with, N/m a tip, and the flex wind by that."""
        both, back = k.tips
        x = self.read([v * GF for v in both], self.tips_fit, GF, "tips", str(id(k))).with_part(0.005, "gain")
        x = Open(x.value, {**x.parts, ("zero",): 0.5 * GF})
        stiff = through(lambda F, d: F / (2 * d), x, Open(back / 1000, {("back",): RULER}))
        h, moment = k.span / 2000, first_moment(k)
        return stiff, through(lambda s: math.sqrt(0.2 * s * h**2 / (RHO * moment)), stiff).with_part(0.015, "air")

    def by_tips(self, k: Spec) -> bool:
        """Whether the tips' flex wind stands: 8 g or more read, and surer than the one by the tension."""
        if not k.tips or mean(k.tips[0]) < 8:
            return False
        return self.skin(k)[1] == "lower bound" or self.tips(k)[1].u < self.flex(k).u


def first_moment(k: Spec) -> float:
    """∫ c(y) y dy of the right half of the sail, as far out as the bow holds it, m³."""
    w, h = k.width / 1000, k.height / 1000
    return quad(lambda y: h * max(0.0, 1 - y / w) * y, 0, min(k.span / 2000, w), epsrel=1e-11)[0]
