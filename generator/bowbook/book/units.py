"""Quantities in and out: SI to the maker's unit with its uncertainty, the one place that words a figure."""

from __future__ import annotations

import math
from typing import Final, NamedTuple

from bowbook.book.quantities import HasUnits, home_unit
from bowbook.book.unit_tables import FACTORS, find_unit, scaled

_INCHES: Final = ("in", "ft", "yd", "mil")
_FIXED: Final = {"stress": "GPa", "density": "kg/m³", "strain": "%", "ratio": "%", "angle": "°", "rigidity": "N·m²"}
_SECOND: Final = {
    "mph": "m/s",
    "km/h": "m/s",
    "kn": "m/s",
    "ft/s": "m/s",
    "m/s": "mph",
    "mm": "in",
    "cm": "in",
    "m": "ft",
    "km": "ft",
    "um": "mil",
    "in": "mm",
    "ft": "m",
    "yd": "m",
    "mil": "um",
    "N": "g",
    "cN": "g",
    "cm²": "in²",
    "dm²": "in²",
    "m²": "ft²",
    "in²": "cm²",
    "ft²": "m²",
    "g/m²": "oz/yd²",
    "oz/yd²": "g/m²",
}
_ROUGH: Final = ("rigidity", "wind", "stress")  # never known to more than three figures
_PRINTED: Final = {"um": "µm"}


class Said(NamedTuple):
    """A figure in three pieces, so that a page can set the uncertainty in a quieter weight; plus is "" where none."""

    value: str
    plus: str
    unit: str


def unit_of(kind: str, units: HasUnits) -> str:
    """The unit that figures of this kind are shown in."""
    if kind == "thin":
        return "in" if units.length in _INCHES else "mm"
    if kind == "area":
        return "in²" if units.length in _INCHES else "cm²"
    if kind == "areal":
        return "oz/yd²" if units.mass in ("oz", "lb") else "g/m²"
    return _FIXED.get(kind) or find_unit(home_unit(kind, units), kind) or home_unit(kind, units)


def second_unit(kind: str, units: HasUnits) -> str:
    """The unit of the other system that goes beside it: m/s by mph, inches by millimetres, newtons by grams."""
    unit = unit_of(kind, units)
    if kind == "force":
        return "g" if unit in ("N", "cN") else "N"
    if kind == "mass":
        return "g" if unit in ("oz", "lb") else "oz"
    return _SECOND.get(unit, unit)


def to_unit(value_si: float, unit: str, kind: str) -> float:
    """A value in SI as a number of `unit`."""
    return value_si / FACTORS[kind][unit]


def from_unit(value: float, unit: str, kind: str) -> float:
    """A number of `unit` in SI."""
    return scaled(value, FACTORS[kind][unit])


def parts(value_si: float, kind: str, units: HasUnits | str, u: float | None = None) -> Said:
    """Value, uncertainty and unit as text, rounded to the uncertainty's leading figure.

    Two figures of the uncertainty are kept where the first is 1, else one. `units` is the book's units or the name
    of one unit. The printed ± is the standard uncertainty given as `u`, in SI; pass an expanded one to print that.

    >>> parts(2.0986, "force", "g", 0.029)
    Said(value='214', plus='3', unit='g')
    """
    unit = units if isinstance(units, str) else unit_of(kind, units)
    factor = FACTORS[kind][unit]
    printed = _PRINTED.get(unit, unit)
    value = value_si / factor
    if u is None or not u > 0 or not math.isfinite(u):
        return Said(figure(value), "", printed)
    if kind in _ROUGH and value:  # ± no finer than the last of three figures
        last = factor * 10.0 ** (math.floor(math.log10(abs(value))) - 2)
        u = u if u >= 1.95 * last else last if u < 1.5 * last else 1.96 * last
    value_text, plus_text = _rounded(value, u / factor)
    return Said(value_text, plus_text, printed)


def show(value_si: float, kind: str, units: HasUnits | str, u: float | None = None) -> str:
    """The figure in words: "214 ± 3 g", "5.4 ± 0.1 mph", "7 %"; without uncertainty, in sensible figures.

    >>> show(2.0986, "force", "g", 0.029)
    '214 ± 3 g'
    >>> show(0.64, "length", "mm"), show(0.067, "ratio", "%", 0.021)
    ('640 mm', '7 ± 2 %')
    """
    said = parts(value_si, kind, units, u)
    number = f"{said.value} ± {said.plus}" if said.plus else said.value
    return number + said.unit if said.unit == "°" else f"{number} {said.unit}"


def show_range(low_si: float | None, high_si: float | None, kind: str, units: HasUnits | str) -> str:
    """A range in words: "4–7 mph"; "up to 6 mph" where the low edge is None. Edges that print alike are printed once.

    >>> show_range(1.78816, 3.12928, "wind", "mph")
    '4–7 mph'
    """
    if low_si is None or high_si is None:
        edge = show(low_si or high_si or 0.0, kind, units)
        return f"up to {edge}" if low_si is None else f"{edge} and up"
    low, high = parts(low_si, kind, units), parts(high_si, kind, units)
    edges = [low.value, high.value]
    if kind == "wind":
        unit = units if isinstance(units, str) else unit_of(kind, units)
        edges = [_decimal(to_unit(v, unit, kind), 1) for v in (low_si, high_si)]
    joined = edges[0] if edges[0] == edges[1] else "–".join(edges)
    return joined + low.unit if low.unit == "°" else f"{joined} {low.unit}"


def second(value_si: float, kind: str, units: HasUnits, u: float | None = None) -> str:
    """The same figure in the other system of units: `show` in `second_unit`.

    >>> from bowbook.book.records import Units
    >>> second(2.0986, "force", Units(), 0.029)
    '2.10 ± 0.03 N'
    """
    return show(value_si, kind, second_unit(kind, units), u)


def figure(value: float) -> str:
    """A number in sensible figures: whole above 100, three figures below, no idle noughts at the end.

    >>> figure(640.2), figure(1.5), figure(0.012345), figure(0)
    ('640', '1.5', '0.0123', '0')
    """
    if not math.isfinite(value):
        return "—"
    size = abs(value)
    if size == 0:
        return "0"
    decimals = 0 if size >= 99.95 else min(12, 2 - math.floor(math.log10(size)))
    return _decimal(value, decimals)


def _decimal(value: float, decimals: int) -> str:
    text = f"{value:.{decimals}f}"
    if "." in text:
        text = text.rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text.replace("-", "−")


def _rounded(value: float, u: float) -> tuple[str, str]:
    """Value and uncertainty, both rounded where the uncertainty's leading figure stands."""
    power = math.floor(math.log10(u))
    # rounding may carry into the next decade (0.96 → 1.0): look at the figure again after it
    lead = round(u / 10.0**power)
    if lead == 10:
        power, lead = power + 1, 1
    place = power - 1 if u / 10.0**power < 1.95 else power
    ticks = round(u / 10.0**place)
    if ticks % 10 == 0:  # ± 0.10 says no more than ± 0.1
        place, ticks = place + 1, ticks // 10
    decimals = max(0, -place)
    step = 10.0**place
    if place > 0:
        return f"{round(value / step) * step:.0f}".replace("-", "−"), f"{ticks * step:.0f}"
    text = f"{value:.{decimals}f}"
    return (text[1:] if text.strip("-0.") == "" and text.startswith("-") else text).replace(
        "-", "−"
    ), f"{u:.{decimals}f}"
