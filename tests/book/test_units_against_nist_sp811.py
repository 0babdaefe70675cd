"""Conversion factors against NIST SP 811 (2008), appendix B.8, and the definitions behind it.

The international yard and pound (1959) and standard gravity (3rd CGPM, 1901) are exact; the factors printed in B.8
without bold type are rounded to seven figures, and are held here to half a unit of the last one.
"""

from __future__ import annotations

import math

import pytest

from bowbook.book.quantities import parse_quantity
from bowbook.book.records import Units
from bowbook.book.unit_tables import FACTORS, find_unit
from bowbook.book.units import show

# unit, kind, factor to SI: exact by definition
EXACT = [
    ("in", "length", 0.0254),
    ("ft", "length", 0.3048),
    ("yd", "length", 0.9144),
    ("mil", "thin", 2.54e-5),
    ("lb", "mass", 0.45359237),
    ("oz", "mass", 0.028349523125),
    ("kg", "force", 9.80665),
    ("g", "force", 0.00980665),
    ("lb", "force", 4.4482216152605),
    ("oz", "force", 0.27801385095378125),
    ("mph", "wind", 0.44704),
    ("kn", "wind", 1852 / 3600),
    ("km/h", "wind", 1 / 3.6),
]
# unit, kind, factor as printed in SP 811 B.8 (from memory of the printed table), half a unit of its last figure
PRINTED = [
    ("oz/yd²", "areal", 3.390575e-2, 5e-9),
    ("oz/ft²", "areal", 3.051517e-1, 5e-8),
    ("psi", "stress", 6.894757e3, 5e-4),
    ("ksi", "stress", 6.894757e6, 5e-1),
    ("lb/ft³", "density", 1.601846e1, 5e-6),
    ("lb/in³", "density", 2.767990e4, 5e-3),
    ("°", "angle", 1.745329e-2, 5e-9),
    ("ft/s", "wind", 3.048e-1, 1e-16),
]


@pytest.mark.parametrize(("unit", "kind", "factor"), EXACT)
def test_a_legal_unit_has_its_exact_factor(unit: str, kind: str, factor: float) -> None:
    """One of the unit is the legal definition in SI, to the last bit but one."""
    assert parse_quantity(f"1 {unit}", kind, Units()) == pytest.approx(factor, rel=2.3e-16)
    assert FACTORS[kind][unit] == pytest.approx(factor, rel=2.3e-16)


@pytest.mark.parametrize(("unit", "kind", "factor", "half"), PRINTED)
def test_a_printed_factor_agrees_to_its_last_figure(unit: str, kind: str, factor: float, half: float) -> None:
    """Derived units agree with the printed table to half a unit of its last figure."""
    assert FACTORS[kind][unit] == pytest.approx(factor, abs=half, rel=0)


def test_a_kitchen_scale_shows_grams_of_force() -> None:
    """214 g pressed on the scale are 2.0986231 N at standard gravity; as a mass they are 0.214 kg."""
    assert parse_quantity("214 g", "force", Units()) == pytest.approx(2.0986231, rel=1e-15)
    assert parse_quantity("214 g", "mass", Units()) == 0.214


def test_round_figures_stay_round() -> None:
    """Values that are short in SI come out short: 24 in is 0.6096 m and 410 mm is 0.41 m, without a stray last bit."""
    read = [
        parse_quantity(text, "length", Units()) for text in ("24 in", "19 1/2 in", "410 mm", "61 cm", "2 ft", "12 um")
    ]

    assert read == [0.6096, 0.4953, 0.41, 0.61, 0.6096, 1.2e-05]


@pytest.mark.parametrize("kind", FACTORS)
def test_every_unit_is_found_by_its_own_name_and_printed_by_it(kind: str) -> None:
    """Each unit reads back what it shows, so that a figure on a page can be copied into a file."""
    for unit in FACTORS[kind]:
        assert find_unit(unit, kind) == unit
        shown = show(3 * FACTORS[kind][unit], kind, unit)
        assert math.isclose(parse_quantity(shown, kind, Units()), 3 * FACTORS[kind][unit], rel_tol=1e-12)
