"""Books of chance: tapers, holds, short lengths, rises, sags, droops, tips, and hands of either kind.

The hand is Euler's column held by a spring, u cot u − 1 = P ℓ/c (Timoshenko & Gere, ch. 2), or a constant factor.
"""

import math
from dataclasses import dataclass, field

import numpy as np
from scipy.optimize import brentq

G0 = 9.80665
GF = 1e-3 * G0
MPH = 0.44704
RHO = 1.225
CLAMPED = math.pi / 4.493409457909064
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
    before: dict[str, tuple[float, ...]] = field(default_factory=dict)  # an earlier round, nothing done since
    best: tuple[float, float] = (4.0, 8.0)  # wind, mph
    at: float | None = None  # where a sag was read, from the centre mark

    @property
    def dropped(self) -> bool:
        """Whether its halves were read by sag or droop."""
        return self.halves["left"][0] in ("sag", "droop")

    def presses(self) -> list[tuple[float, ...]]:
        """Every press reading of it, g."""
        halves = [] if self.dropped else [*self.halves.values(), *self.covered.values(), *self.before.values()]
        return halves + ([self.whole] if self.whole else [])


def book_of_chance(seed: int) -> dict[str, Spec]:
    """Thirteen kites: three pressed whole by one hand, a factor or a spring, four covered, others of every kind."""
    rng = np.random.default_rng(seed)
    spring = bool(seed % 2)
    size = float(rng.uniform(0.15, 0.6)) if spring else float(rng.uniform(0.78, 0.95))
    book: dict[str, Spec] = {}
    for n in range(13):
        length = float(round(rng.uniform(480, 800)))
        EI = math.exp(rng.uniform(math.log(0.012), math.log(0.045)))
        kind = {7: "sag", 8: "droop", 9: "sag", 10: "droop"}.get(n, "press")
        hold = {3: "hinge", 4: "clamped", 5: 0.8, 6: "pinned", 11: "hinge"}.get(n)
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
        if n in (1, 4, 9, 10, 11, 12):
            for side in SIDES:
                thick, wide = rng.uniform(1.2, 1.8), rng.uniform(2.5, 4.5)
                ends = [(0.0, wide, thick), (length / 2, wide * rng.uniform(0.7, 1), thick * rng.uniform(0.6, 1.0))]
                k.taper[side] = [tuple(round(float(x), 2) for x in end) for end in ends]
        if n in (3, 4, 5, 11, 12):
            k.free = float(round(length / 2 * rng.uniform(0.8, 0.98)))
        half = (k.free or length / 2) / 1000
        if n in (6, 11):
            k.rise = float(round(1000 * half * rng.uniform(0.05, 0.2)))
        P = math.pi**2 * EI / half**2
        seen = {
            None: fingers(P * half, size) if spring else size,
            "hinge": 0.985,
            "clamped": CLAMPED,
            "pinned": 1.0,
        }.get(hold, hold)
        deep = rng.uniform(8, 120)
        for side in SIDES:
            read = P / seen**2 * 1.034 / GF * rng.uniform(0.95, 1.05)
            if kind == "press":
                k.halves[side] = tuple(
                    float(round(read * (1 + 0.01 * rng.normal()))) for _ in range(int(rng.integers(1, 5)))
                )
            elif kind == "sag":
                drop = min(1000 * 100 * GF * 0.2**3 / (48 * EI) * rng.uniform(0.97, 1.03), 18.0)
                k.halves[side] = ("sag", 100.0, 200.0, repeats(rng, drop))
            else:
                k.halves[side] = ("droop", 10.0, 200.0, repeats(rng, deep * rng.uniform(0.95, 1.05)))
        if n < 3:
            whole = math.pi**2 * EI / (length / 1000) ** 2 / 0.985**2 * 1.034 / GF + k.mass / 2
            k.whole = tuple(float(round(whole * (1 + 0.01 * rng.normal()), 1)) for _ in range(2))
        if n in (0, 1, 4, 12):
            k.covered = {side: tuple(v * 1.08 for v in k.halves[side]) for side in SIDES}
            k.covered = {side: tuple(float(round(v)) for v in values) for side, values in k.covered.items()}
        if n == 3:
            k.before = {s: tuple(float(round(v * (1 + 0.01 * rng.normal()))) for v in k.halves[s]) for s in SIDES}
        low = float(round(rng.uniform(3, 6), 1))
        k.best = (low, float(round(low + rng.uniform(2, 5), 1)))
        if n == 9:
            k.at = float(round(rng.uniform(60, length / 2 - 100)))
        if n in (2, 7, 8):
            k.tips = (tuple(float(x) for x in rng.integers(9, 40, 2)), float(round(k.span / 20)))
        book[f"kite-{n}"] = k
    return book


def repeats(rng: np.random.Generator, drop: float) -> tuple[float, ...]:
    """One to three drops about one, mm, to a tenth."""
    return tuple(float(round(drop * (1 + 0.01 * rng.normal()), 1)) for _ in range(int(rng.integers(1, 4))))


def fingers(Pl: float, c: float) -> float:
    """The factor of a hand that is a spring on a half of this hinged load times length."""
    return factor_at(brentq(lambda x: x * factor_at(x, c) ** 2 - Pl, Pl, 3 * Pl), c)


def factor_at(Pl: float, c: float) -> float:
    """The factor with which a spring holds a half that bows under this load times length."""
    return math.pi / brentq(lambda u: u / math.tan(u) - 1 - Pl / c, math.pi * (1 + 1e-12), 4.4934, xtol=1e-15)


def kite_text(name: str, k: Spec) -> str:
    """The kite's file."""

    def half(value: object) -> str:
        if isinstance(value, tuple) and value[0] in ("sag", "droop"):
            what, load, span, drops = value
            reach, seen = "span" if what == "sag" else "length", ", ".join(map(str, drops))
            place = f", at: {k.at} mm" if k.at else ""
            return f"{{{what}: {{load: {load} g, {reach}: {span} mm, drop: '{seen} mm'{place}}}}}"
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
    before = f"  - left: {half(k.before['left'])}\n    right: {half(k.before['right'])}\n" if k.before else ""
    flight = f"flights:\n  - {{flyer: MK, wind: 1-15 mph, best: {k.best[0]}-{k.best[1]} mph}}\n"
    return (
        f"---\nname: {name}\nsail: {{skin: {k.skin}, outline: [[0, 0], [{k.width}, {0.35 * k.height:.0f}], "
        f"[0, {k.height}]]}}\nmass: 20 g\n"
        f"bow: {{rod: carbon-1.5, length: {k.length} mm, span: {k.span} mm{mass}{sections}}}\n"
        f"bench:\n{before}  - left: {half(k.halves['left'])}\n    right: {half(k.halves['right'])}{whole}\n"
        f"{tips}{covered}{flight}---\n"
    )
