"""Books of chance, and what they come to by plain shooting: tapers, holds, short lengths, sags, droops, hands.

Nothing of the program's own: columns by integrating EI y'' = −P y + R (ℓ − s) from the held end (Timoshenko & Gere,
ch. 2), bows and droops by integrating the elastica, hands as Euler's column held by a spring (u cot u − 1 = P ℓ/c).
"""

import math
from dataclasses import dataclass, field
from statistics import mean

import numpy as np
from scipy.integrate import quad, solve_ivp
from scipy.optimize import brentq, fsolve
from scipy.special import ellipe, ellipk

G0 = 9.80665
GF = 1e-3 * G0
RHO = 1.225
CLAMPED = math.pi / 4.493409457909064
TIGHT = {"method": "DOP853", "rtol": 1e-11, "atol": 1e-13}
SIDES = ("left", "right")
SKINS = "paper: {areal: 30 g/m2, overhang: 96 mm}\nfilm: {areal: 17 g/m2, thick: 12 um, modulus: 4.5 GPa}\n"
RODS = "carbon-1.5: {material: carbon, round: 1.5 mm}\n"
BOOK = "title: Figures of chance\nunits: {length: mm, force: g, mass: g, wind: mph}\n"


@dataclass
class Spec:
    """One kite as written: lengths in mm, forces in g. `halves` are press readings, or (sag or droop, its numbers)."""

    length: float
    span: float
    width: float
    height: float
    skin: str
    halves: dict[str, object]
    hold: object = None
    free: float | None = None
    rise: float | None = None
    mass: float | None = None
    taper: dict[str, list[tuple[float, float, float]]] = field(default_factory=dict)  # at, wide, thick
    whole: tuple[float, ...] = ()
    tips: tuple[tuple[float, ...], float] | None = None
    covered: dict[str, tuple[float, ...]] = field(default_factory=dict)


def book_of_chance(seed: int) -> dict[str, Spec]:
    """Nine kites: three pressed whole by one hand, a factor or a spring, two covered, others of every kind."""
    rng = np.random.default_rng(seed)
    spring = bool(seed % 2)
    size = float(rng.uniform(0.15, 0.6)) if spring else float(rng.uniform(0.78, 0.95))
    book: dict[str, Spec] = {}
    for n in range(9):
        length = float(round(rng.uniform(480, 800)))
        EI = math.exp(rng.uniform(math.log(0.012), math.log(0.045)))
        kind = ("press", "press", "press", "press", "press", "press", "press", "sag", "droop")[n]
        hold = (None, None, None, "hinge", "clamped", 0.8, "pinned", None, None)[n]
        k = Spec(
            length,
            span=float(round(length * rng.uniform(0.88, 0.96))),
            width=float(round(length * rng.uniform(0.46, 0.49))),
            height=float(round(length * rng.uniform(0.7, 0.95))),
            skin="film" if n in (5, 8) else "paper",
            halves={},
            hold=hold,
            mass=float(round(rng.uniform(1.2, 3), 1)) if n < 3 or n == 3 else None,
        )
        if n in (1, 4, 6):
            for side in SIDES:
                thick, wide = rng.uniform(1.2, 1.8), rng.uniform(2.5, 4.5)
                ends = [(0.0, wide, thick), (length / 2, wide * rng.uniform(0.7, 1), thick * rng.uniform(0.6, 1.0))]
                k.taper[side] = [tuple(round(float(x), 2) for x in end) for end in ends]
        if n in (3, 4, 5):
            k.free = float(round(length / 2 * rng.uniform(0.8, 0.98)))
        half = (k.free or length / 2) / 1000
        if n == 6:
            k.rise = float(round(1000 * half * rng.uniform(0.05, 0.2)))
            k.taper = {}
        P = math.pi**2 * EI / half**2
        seen = {
            None: fingers(P * half, size) if spring else size,
            "hinge": 0.985,
            "clamped": CLAMPED,
            "pinned": 1.0,
        }.get(hold, hold)
        for side in SIDES:
            read = P / seen**2 * 1.034 / GF * rng.uniform(0.95, 1.05)
            if kind == "press":
                k.halves[side] = tuple(
                    float(round(read * (1 + 0.01 * rng.normal()))) for _ in range(int(rng.integers(1, 5)))
                )
            elif kind == "sag":
                drop = round(1000 * 200 * GF * 0.4**3 / (48 * EI) * rng.uniform(0.9, 1.1), 1)
                k.halves[side] = ("sag", 100.0, 200.0, min(float(drop) / 16, 12.0))
            else:
                k.halves[side] = ("droop", 10.0, 200.0, float(round(rng.uniform(8, 120), 1)))
        if n < 3:
            whole = math.pi**2 * EI / (length / 1000) ** 2 / 0.985**2 * 1.034 / GF + k.mass / 2
            k.whole = tuple(float(round(whole * (1 + 0.01 * rng.normal()), 1)) for _ in range(2))
        if n in (0, 1):
            k.covered = {side: tuple(v * 1.08 for v in k.halves[side]) for side in SIDES}
            k.covered = {side: tuple(float(round(v)) for v in values) for side, values in k.covered.items()}
        if n in (2, 7, 8):
            k.tips = (tuple(float(x) for x in rng.integers(9, 40, 2)), float(round(k.span / 20)))
        book[f"kite-{n}"] = k
    return book


def three_digits(x: float) -> float:
    """What is pooled over a book: its ± leaves no more (JCGM 100:2008, 7.2.6)."""
    return float(f"{x:.2e}")


def fingers(Pl: float, c: float) -> float:
    """The factor of a hand that is a spring on a half of this hinged load times length."""
    return factor_at(brentq(lambda x: x * factor_at(x, c) ** 2 - Pl, Pl, 3 * Pl), c)


def kite_text(name: str, k: Spec) -> str:
    """The kite's file."""

    def half(value: object) -> str:
        if isinstance(value, tuple) and value[0] in ("sag", "droop"):
            what, load, span, drop = value
            return (
                f"{{{what}: {{load: {load} g, {'span' if what == 'sag' else 'length'}: {span} mm, drop: {drop} mm}}}}"
            )
        keys = {"hold": k.hold, "length": k.free and f"{k.free} mm", "rise": k.rise and f"{k.rise} mm"}
        how = "".join(f", {key}: {said}" for key, said in keys.items() if said)
        return f"{{press: '{', '.join(map(str, value))} g'{how}}}"

    stations = "".join(
        f", {side}: [{', '.join(f'{{at: {a} mm, wide: {w} mm, thick: {t} mm}}' for a, w, t in k.taper[side])}]"
        for side in k.taper
    )
    sections = f", sections: {{{stations[2:]}}}" if stations else ""
    mass = f", mass: {k.mass} g" if k.mass else ""
    whole = f"\n    whole: {', '.join(map(str, k.whole))} g" if k.whole else ""
    tips = f"  - tips: {{both: '{', '.join(map(str, k.tips[0]))} g', back: {k.tips[1]} mm}}\n" if k.tips else ""
    covered = "covered:\n" + "".join(f"  {s}: {half(k.covered[s])}\n" for s in SIDES) if k.covered else ""
    return (
        f"---\nname: {name}\nsail: {{skin: {k.skin}, outline: [[0, 0], [{k.width}, {0.35 * k.height:.0f}], "
        f"[0, {k.height}]]}}\nmass: 20 g\n"
        f"bow: {{rod: carbon-1.5, length: {k.length} mm, span: {k.span} mm{mass}{sections}}}\n"
        f"bench:\n  - left: {half(k.halves['left'])}\n    right: {half(k.halves['right'])}{whole}\n{tips}{covered}---\n"
    )


def inertia(k: Spec, side: str, s: float) -> float:
    """Second moment at a place of a half in any scale: w t³ along straight stations, 1 for a uniform half."""
    if side not in k.taper:
        return 1.0
    (a, w0, t0), (b, w1, t1) = k.taper[side]
    x = min(max((1000 * s - a) / (b - a), 0.0), 1.0)
    return (w0 + (w1 - w0) * x) * (t0 + (t1 - t0) * x) ** 3


def column(EI, length: float, spring: float = 0.0, clamped: bool = False) -> float:
    """The load at which a column with EI(s) bows: hinged at its far end, held at s = 0 by a spring, N m/rad."""
    mean_EI = 1 / mean(1 / EI((i + 0.5) * length / 100) for i in range(100))  # where to begin to look
    scale = math.pi**2 * mean_EI / length**2

    def far(p: float) -> float:
        P = p * scale
        R = 1.0 if clamped else spring / length
        found = solve_ivp(
            lambda s, y: [y[1], (-P * y[0] + R * (length - s)) / EI(s)],
            (0, length),
            [0.0, 0.0 if clamped else 1.0],
            **TIGHT,
        )
        return found.y[0, -1]

    low, high = (0.9, 2.4) if clamped or spring else (0.7, 1.3)  # the first root: the second lies beyond 3.5
    return scale * brentq(far, low, high, xtol=1e-11, rtol=1e-12)


def factor_at(Pl: float, c: float) -> float:
    return math.pi / brentq(lambda u: u / math.tan(u) - 1 - Pl / c, math.pi * (1 + 1e-12), 4.4934, xtol=1e-15)


def load(values, k: Spec, free_mm: float, hold: object) -> float:
    """The critical load behind a reading, N: weight and bow-out off."""
    share = 0.5 if hold != "clamped" else 1 - 0.65404
    carried = share * (k.mass or 0.0) / 1000 * G0 * free_mm / k.length
    ratio = 1.026 if hold == "clamped" else 1.034
    if k.rise and free_mm < 0.75 * k.length:
        m = brentq(lambda m: math.sqrt(m) / ellipk(m) - k.rise / free_mm, 1e-12, 0.8, xtol=1e-16)
        ratio = (2 * ellipk(m) / math.pi) ** 2
    return (mean(values) * GF - carried) / ratio


class Figures:
    """Every figure of a book of chance."""

    def __init__(self, book: dict[str, Spec]) -> None:
        self.book = book
        self.hand = self._hand()

    def pinned(self, k: Spec, side: str, free: float) -> float:
        """The load of the outer stretch of a half between hinges, for EI = the inertia in its own scale."""
        half = k.length / 2000
        if side not in k.taper:
            return math.pi**2 / free**2
        return column(lambda s: inertia(k, side, half - free + s), free)

    def _hand(self) -> tuple[str, float]:
        shown = []
        for k in self.book.values():
            if not k.whole:
                continue
            half = k.length / 2000
            loads = {side: load(k.halves[side], k, k.length / 2, None) for side in SIDES}
            E = {side: loads[side] / self.pinned(k, side, half) for side in SIDES}

            def EI(s, k=k, half=half, E=E):
                side = "left" if s < half else "right"
                return E[side] * inertia(k, side, abs(s - half))

            apart = column(EI, 2 * half)
            K = min(max(0.985 * math.sqrt(load(k.whole, k, k.length, None) / apart), 0.705), 0.995)
            shown.append((K, mean(loads.values()) * half))
        K = mean(f for f, _ in shown)
        c = math.exp(mean(math.log(Pl / (math.pi / f / math.tan(math.pi / f) - 1)) for f, Pl in shown))
        by_K = sum(math.log(K / f) ** 2 for f, _ in shown)
        by_c = sum(math.log(factor_at(Pl, c) / f) ** 2 for f, Pl in shown)
        kind, size = ("spring", c) if by_c < by_K else ("K", K)
        return kind, three_digits(size)

    def scale(self, k: Spec, side: str, values) -> float:
        """What the inertia of a half is to be multiplied by, so that it bows under a reading."""
        half, free = k.length / 2000, (k.free or k.length / 2) / 1000
        P = load(values, k, 1000 * free, k.hold)
        return self._scale(lambda E: lambda s: E * inertia(k, side, half - free + s), P, free, k.hold, side in k.taper)

    def _scale(self, EI, P: float, free: float, hold: object, tapered: bool) -> float:
        kind, size = self.hand
        if hold == "clamped":
            return P / (column(EI(1.0), free, clamped=True) if tapered else math.pi**2 / (CLAMPED * free) ** 2)
        if hold is None and kind == "spring":
            if not tapered:
                return P * (factor_at(P * free, size) * free / math.pi) ** 2
            top = P / column(EI(1.0), free)
            return brentq(lambda E: column(EI(E), free, spring=size) / P - 1, 0.45 * top, top, xtol=1e-16, rtol=1e-11)
        K = {None: size, "hinge": math.sqrt(0.97), "pinned": 1.0}.get(hold, hold)
        return P * K**2 / (column(EI(1.0), free) if tapered else math.pi**2 / free**2)

    def rigidity(self, k: Spec, side: str) -> tuple[float, float]:
        """The equivalent rigidity of a half, and the scale of its inertia."""
        value = k.halves[side]
        if value[0] == "sag":
            _, F, span, drop = value
            EI = F * GF * (span / 1000) ** 3 / (48 * drop / 1000) * (1 + 10.3 * (drop / span) ** 2)
            return EI, EI
        if value[0] == "droop":
            _, F, length, drop = value
            EI = droop(F * GF, length / 1000, drop / 1000)
            return EI, EI
        E = self.scale(k, side, value)
        return E * self.pinned(k, side, k.length / 2000) * (k.length / 2000 / math.pi) ** 2, E

    def skin(self, k: Spec) -> tuple[float, str]:
        """What the skin adds, and how it is known."""
        chord = k.height / 2000
        if k.covered:
            return mean(self._added(k, side) for side in SIDES), "covered"
        if k.skin == "film":
            return 4.5e9 * 12e-6**3 / (12 * (1 - 0.38**2)) * chord, "lower bound"
        logs = [math.log(self.skin(o)[0] / (o.height / 2000)) for o in self.book.values() if o.covered]
        return three_digits(math.exp(mean(logs))) * chord, "same skin"

    def _added(self, k: Spec, side: str) -> float:
        if side not in k.taper:
            return self.scale(k, side, k.covered[side]) - self.scale(k, side, k.halves[side])
        half, free = k.length / 2000, (k.free or k.length / 2) / 1000
        E = self.scale(k, side, k.halves[side])
        P = load(k.covered[side], k, 1000 * free, k.hold)
        kind, size = self.hand
        c, K2 = (size, 1.0) if kind == "spring" else (0.0, size**2)

        def miss(x: float) -> float:
            return column(lambda s: E * inertia(k, side, half - free + s) + x, free, spring=c) / K2 / P - 1

        top = 0.5 * P * free**2 / math.pi**2
        return brentq(miss, 0.0, top, xtol=1e-12, rtol=1e-10)

    def bow(self, k: Spec, extra: float = 0.0):
        """EI(s) along the whole bow, s from its left tip."""
        half = k.length / 2000
        scales = {side: self.rigidity(k, side)[1] for side in SIDES}

        def EI(s: float) -> float:
            side = "left" if s < half else "right"
            return scales[side] * inertia(k, side, abs(s - half)) + extra

        return EI

    def flex(self, k: Spec) -> float:
        """The flex wind by the bow's tension."""
        span, L = k.span / 1000, k.length / 1000
        skin = self.skin(k)[0]
        folded = span * math.sqrt(0.99)
        if k.whole:
            P = 0.985**2 * load(k.whole, k, k.length, None) * (1 + skin / mean(self.rigidity(k, s)[0] for s in SIDES))
            m = brentq(lambda m: 2 * ellipe(m) / ellipk(m) - 1 - folded / L, 1e-12, 0.9, xtol=1e-16)
            T = P * (2 * ellipk(m) / math.pi) ** 2
        else:
            T = bend(self.bow(k, skin), L, folded)[0]
        return math.sqrt(2 * span / 20 * T / (RHO * first_moment(k)))

    def flex_by_tips(self, k: Spec) -> float:
        """The flex wind by the tips."""
        both, back = k.tips
        h = k.span / 2000
        return math.sqrt(0.2 * mean(both) * GF / (2 * back / 1000) * h**2 / (RHO * first_moment(k)))


def first_moment(k: Spec) -> float:
    """∫ c(y) y dy of the right half of the sail, as far out as the bow holds it, m³."""
    w, h = k.width / 1000, k.height / 1000
    return quad(lambda y: h * max(0.0, 1 - y / w) * y, 0, min(k.span / 2000, w), epsrel=1e-11)[0]


def droop(F: float, length: float, drop: float) -> float:
    """EI of a rod clamped level with a weight on its tip, by shooting from the clamp."""

    def fall(EI: float) -> float:
        def end(kappa: float):
            found = solve_ivp(
                lambda _s, y: [y[1], -F * math.cos(y[0]) / EI, math.sin(y[0])], (0, length), [0.0, kappa, 0.0], **TIGHT
            )
            return found.y[1, -1], found.y[2, -1]

        kappa = brentq(lambda x: end(x)[0], 0.0, F * length / EI, xtol=1e-13)
        return end(kappa)[1]

    small = F * length**3 / (3 * drop)
    return brentq(lambda EI: fall(EI) - drop, 0.5 * small, 1.02 * small, xtol=1e-15, rtol=1e-11)


def bend(EI, length: float, span: float) -> tuple[float, float, float, float]:
    """Thrust, rise and both tips' slopes of a pinned bow, by shooting from the left tip over either half."""

    def run(P: float, slope: float):
        y, deepest = np.array([slope, 0.0, 0.0]), 0.0
        for a, b in ((0.0, length / 2), (length / 2, length)):
            inside = (a + 1e-12, b - 1e-12)
            found = solve_ivp(
                lambda s, y, lo=inside[0], hi=inside[1]: [
                    -P * y[2] / EI(min(max(s, lo), hi)),
                    math.cos(y[0]),
                    math.sin(y[0]),
                ],
                (a, b),
                y,
                dense_output=True,
                **TIGHT,
            )
            if found.y[0, 0] > 0 >= found.y[0, -1]:
                deepest = found.sol(brentq(lambda s, found=found: found.sol(s)[0], a, b, xtol=1e-13))[2]
            y = found.y[:, -1]
        return y, deepest

    m = brentq(lambda m: 2 * ellipe(m) / ellipk(m) - 1 - span / length, 1e-9, 0.9)
    scale = 4 * ellipk(m) ** 2 / length / quad(lambda s: 1 / EI(s), 0, length, epsrel=1e-10, points=[length / 2])[0]

    def miss(x):
        end, _ = run(x[0] * scale, x[1])
        return [end[1] / span - 1, end[2] / span]

    x = fsolve(miss, [1.0, 2 * math.asin(math.sqrt(m))], xtol=1e-12)
    end, deepest = run(x[0] * scale, x[1])
    return x[0] * scale, deepest, x[1], -end[0]
