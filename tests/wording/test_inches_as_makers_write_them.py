"""Inches with their fraction to a 32nd beside the decimals, shavings in thou. An inch is 25.4 mm (NIST SP 811)."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bowbook.book.quantities import parse_quantity
from bowbook.book.records import Units
from bowbook.wording import numbers

INCHES = Units(length="in")


@given(st.integers(min_value=1, max_value=40 * 32))
def test_a_length_of_whole_32nds_is_said_to_the_32nd(count: int) -> None:
    """Whatever 32nd of an inch a length is, the fraction beside it is that one in lowest terms."""
    said = numbers.plain(count / 32 * 0.0254, "length", INCHES)
    whole, rest = divmod(count, 32)
    fraction = Fraction(rest, 32)
    if not rest:
        assert said == f"{whole}\u00a0in"
    else:
        before = f"{whole}\u00a0" if whole else ""
        assert said.endswith(f"({before}{fraction.numerator}/{fraction.denominator})")


def test_the_other_system_stands_behind_the_fraction() -> None:
    """One pair of brackets holds the fraction and the millimetres; a whole inch and a millimetre have no fraction."""
    assert numbers.both(0.64, "length", INCHES) == "25.2\u00a0in\u00a0(25\u00a03/16, 640\u00a0mm)"
    assert numbers.both(0.3048, "length", INCHES) == "12\u00a0in (305\u00a0mm)"
    assert numbers.both(0.64, "length", Units()) == "640\u00a0mm (25.2\u00a0in)"


@pytest.mark.parametrize(("taken_m", "said"), [(2.54e-5, "1 thou"), (5.08e-5, "2 thou"), (1.27e-4, "5 thou")])
def test_a_shaving_is_said_in_thou_and_read_back(taken_m: float, said: str) -> None:
    """A thou is a thousandth of an inch; what is said can be typed into a file."""
    assert numbers.shaved(taken_m, INCHES) == said
    assert parse_quantity(said, "thin", INCHES) == pytest.approx(taken_m, rel=1e-12)


def test_nobody_says_a_shaving_twice_nor_a_line_in_inches() -> None:
    """Thou stand by themselves; a line is as long as people pay it out: feet, or metres."""
    assert numbers.thin(5.08e-5, INCHES) == "2\u00a0thou"
    assert numbers.line(24.384, INCHES) == "80\u00a0ft"
    assert numbers.line(25.0, Units()) == "25\u00a0m"
