"""Coverage against Student's t.

Source: NIST Technical Note 1297, table B.1, column 95 % (the same as GUM table G.2); eight digits from the quantile
at 30 digits.
"""

from __future__ import annotations

import pytest
from scipy.special import stdtrit

from bowbook.mechanics.uncertainty import t95

PRINTED = 0.005  # half a unit of the last printed digit
EXACT = 5e-7

TABLE = [
    (1, 12.71, 12.706205),
    (2, 4.30, 4.302653),
    (3, 3.18, 3.182446),
    (4, 2.78, 2.776445),
    (5, 2.57, 2.570582),
    (6, 2.45, 2.446912),
    (7, 2.36, 2.364624),
    (8, 2.31, 2.306004),
    (9, 2.26, 2.262157),
    (10, 2.23, 2.228139),
    (15, 2.13, 2.131450),
    (20, 2.09, 2.085963),
    (30, 2.04, 2.042272),
]


@pytest.mark.parametrize(("degrees", "printed", "exact"), TABLE)
def test_coverage_is_student_s_t(degrees: int, printed: float, exact: float) -> None:
    """For 95 % both ways."""
    assert t95(degrees) == pytest.approx(printed, abs=PRINTED)
    assert t95(degrees) == pytest.approx(exact, abs=EXACT)


def test_nothing_repeated_counts_as_two_degrees() -> None:
    """A rule of this program: with no repeats anywhere, t for 2 degrees."""
    assert t95(0) == t95(2)


@pytest.mark.parametrize("degrees", [*range(1, 60), 99, 100, 400, 2601, 20_000])
def test_coverage_is_scipy_s_quantile(degrees: int) -> None:
    """Small books and books of ten thousand kites alike; scipy.special.stdtrit is the reference."""
    assert t95(degrees) == pytest.approx(float(stdtrit(degrees, 0.975)), rel=1e-11)
