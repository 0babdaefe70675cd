"""SI and an uncertainty to words: the one place where a figure is rounded."""

from __future__ import annotations

import pytest

from bowbook.book.records import Units
from bowbook.book.units import Said, figure, parts, second, second_unit, show, show_range, to_unit, unit_of

GF = 0.00980665


@pytest.mark.parametrize(
    ("value", "u", "words"),
    [
        # GUM (JCGM 100:2008), 7.2.6: it usually suffices to quote an uncertainty to at most two significant digits
        (214.2, 2.9, "214 ± 3 g"),
        (214.2, 1.4, "214.2 ± 1.4 g"),
        (214.2, 0.96, "214 ± 1 g"),
        (214.2, 0.94, "214.2 ± 0.9 g"),
        (214.2, 14.4, "214 ± 14 g"),
        (214.2, 19.6, "210 ± 20 g"),
        (214.2, 34, "210 ± 30 g"),
        (5.44, 0.1, "5.4 ± 0.1 g"),
        (5.44, 0.12, "5.44 ± 0.12 g"),
        (0.2, 3, "0 ± 3 g"),
        (-12.3, 1, "−12 ± 1 g"),
        (-0.2, 3, "0 ± 3 g"),
        (99.96, 0.3, "100.0 ± 0.3 g"),
    ],
)
def test_a_value_is_rounded_where_its_uncertainty_begins(value: float, u: float, words: str) -> None:
    """Two figures of the uncertainty where the first is 1, else one; the value to the same place."""
    assert words == show(value * GF, "force", "g", u * GF)


@pytest.mark.parametrize(
    ("value", "words"),
    [(640.2, "640"), (1234.5, "1234"), (64.25, "64.2"), (1.5, "1.5"), (0.0123456, "0.0123"), (0, "0"), (-2.5, "−2.5")],
)
def test_a_figure_without_uncertainty_has_three_figures_at_most(value: float, words: str) -> None:
    """Whole above a hundred, three figures below, and no noughts at the end."""
    assert words == figure(value)


def test_no_uncertainty_is_printed_where_there_is_none() -> None:
    """None, zero and nonsense of an uncertainty print the value alone."""
    for u in (None, 0.0, float("nan"), float("inf")):
        assert show(0.64, "length", Units(), u) == "640 mm"


def test_the_pieces_of_a_figure_come_apart() -> None:
    """A page can set the uncertainty in a quieter weight than the value."""
    assert parts(214 * GF, "force", Units(), 3 * GF) == Said("214", "3", "g")
    assert parts(0.64, "length", Units()) == Said("640", "", "mm")


@pytest.mark.parametrize(
    ("low", "high", "units", "words"),
    [
        (1.78816, 3.12928, Units(), "4–7 mph"),
        (3.4, 5.5, Units(wind="m/s"), "3.4–5.5 m/s"),
        (3.0, 3.0, Units(wind="m/s"), "3 m/s"),
        (3.001, 3.002, Units(wind="m/s"), "3 m/s"),
        (5.0, 10.0, Units(wind="km/h"), "18–36 km/h"),
    ],
)
def test_a_wind_range_is_one_phrase(low: float, high: float, units: Units, words: str) -> None:
    """Both edges to a tenth, the unit once, and once only where both are the same."""
    assert words == show_range(low, high, "wind", units)


@pytest.mark.parametrize(
    ("kind", "units", "first", "other"),
    [
        ("length", Units(), "mm", "in"),
        ("length", Units(length="in"), "in", "mm"),
        ("thin", Units(length="cm"), "mm", "in"),
        ("force", Units(), "g", "N"),
        ("force", Units(force="N"), "N", "g"),
        ("mass", Units(), "g", "oz"),
        ("wind", Units(), "mph", "m/s"),
        ("wind", Units(wind="m/s"), "m/s", "mph"),
        ("area", Units(), "cm²", "in²"),
        ("areal", Units(), "g/m²", "oz/yd²"),
    ],
)
def test_each_kind_has_a_unit_and_one_of_the_other_system(kind: str, units: Units, first: str, other: str) -> None:
    """A page shows the maker's unit first and can put the other system's beside it."""
    assert unit_of(kind, units) == first
    assert second_unit(kind, units) == other


def test_the_second_figure_says_the_same() -> None:
    """4 mph is 1.79 m/s, and 640 mm is 25.2 in."""
    assert second(1.78816, "wind", Units()) == "1.79 m/s"
    assert second(0.64, "length", Units()) == "25.2 in"
    assert to_unit(1.78816, "mph", "wind") == pytest.approx(4.0)


def test_other_kinds_have_fixed_units() -> None:
    """Stiffness, moduli, percentages and angles read alike in every book."""
    said = [
        show(0.0204, "rigidity", Units(), 0.0003),
        show(1.3e11, "stress", Units(), 5e9),
        show(0.07, "ratio", Units(), 0.021),
        show(0.7243, "angle", Units()),
        show(12e-6, "thin", "um"),
    ]

    assert said == ["0.0204 ± 0.0003 N·m²", "130 ± 5 GPa", "7 ± 2 %", "41.5°", "12 µm"]
