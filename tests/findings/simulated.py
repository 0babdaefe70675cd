"""Makers, hands and books of chance for long simulations: records as they would be read."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from scipy.optimize import brentq

from bowbook.book.records import Book, Bow, Kite, Press, Round, Settings
from bowbook.findings.bench_results import Balance
from bowbook.findings.bow import BareBow, bare_bow
from bowbook.findings.evenness import balance_findings
from bowbook.findings.ledger import Ledger
from bowbook.findings.readings import Measuring, Precision, pool, repeated

GRAM = 0.00980665
Rng = np.random.Generator


def book_with(step_g: float = 1.0) -> Book:
    """A book with a scale of this step, and nothing else in it."""
    return Book("", Settings(scale_N=step_g * GRAM))


def press(rng: Rng, grams: float, times: int, scatter: tuple[float, float], step_g: float = 1.0) -> Press:
    """Readings of so many true grams by fingers that scatter by a fixed part, g, and a proportional one."""
    read = grams + math.hypot(scatter[0], scatter[1] * grams) * rng.normal(size=times)
    shown = np.maximum(step_g, np.round(read / step_g) * step_g)
    return Press(tuple(float(value) * GRAM for value in shown))


def pressed_kite(left: Press, right: Press, key: str = "k") -> Kite:
    """A kite of which nothing is known but a reading of both halves."""
    return Kite(key, key, bench=(Round(left=left, right=right),))


def bare(kite: Kite, precision: Precision) -> BareBow:
    """The halves of a kite worked out."""
    return bare_bow(kite, Measuring(precision), Ledger(kite))


def judged(book: Book, kite: Kite, precision: Precision) -> Balance:
    """The balance of a kite worked out."""
    ledger, m = Ledger(kite), Measuring(precision)
    return balance_findings(book, kite, bare_bow(kite, m, ledger), m, ledger)


def pooled(book: Book, kites: Sequence[Kite]) -> Precision:
    """What the kites of a book say of how sure any reading is."""
    return pool(book.settings, [repeated(kite) for kite in kites])


def half_load(EI: float, length: float, hand: tuple[str, float]) -> float:
    """The load, N, under which a uniform half bows in a hand that is a constant factor or a spring, N m/rad.

    Timoshenko & Gere, ch. 2: u cot u − 1 = P ℓ/c with u = ℓ √(P/EI).
    """
    kind, size = hand
    if kind == "K":
        return math.pi**2 * EI / (size * length) ** 2

    def miss(u: float) -> float:
        return u / math.tan(u) - 1 - EI * u**2 / length / size

    u = brentq(miss, math.pi * (1 + 1e-12), 4.4934)
    return EI * u**2 / length**2


def whole_load(left: float, right: float, half: float) -> float:
    """The load, N, under which a bow of two uniform halves, N m², bows between hinges."""
    low, high = sorted((left, right))
    if high - low < 1e-9 * high:
        return math.pi**2 * low / (2 * half) ** 2

    def miss(P: float) -> float:
        a, b = math.sqrt(P / low), math.sqrt(P / high)
        return b * math.sin(a * half) * math.cos(b * half) + a * math.cos(a * half) * math.sin(b * half)

    scale = math.pi**2 / (2 * half) ** 2
    return brentq(miss, low * scale * (1 + 1e-9), high * scale * (1 - 1e-9))


def weighed_kite(
    rng: Rng, key: str, EI: tuple[float, float], hand: tuple[str, float], scatter: float, whole_end: float | None = None
) -> Kite:
    """A kite with a bow of 640 mm and 2 g, both halves pressed by this hand, the whole too where its end is given."""
    half, weight = 0.32, 0.002 * 9.80665

    def read(load: float, carried: float) -> Press:
        true = load * 1.034 + carried
        return Press(tuple(float(x) for x in true * (1 + scatter * rng.normal(size=3))))

    left, right = (read(half_load(one, half, hand), 0.25 * weight) for one in EI)
    whole = read(whole_load(*EI, half) / whole_end**2, 0.5 * weight) if whole_end else None
    return Kite(
        key, key, bow=Bow(length_m=2 * half, mass_kg=0.002), bench=(Round(left=left, right=right, whole=whole),)
    )
