"""Coverage against Student's t.

Source: NIST Technical Note 1297, table B.1, column 95 % (the same as GUM table G.2); eight digits from the quantile
at 30 digits.
"""

from __future__ import annotations

import math

import pytest

from bowbook.mechanics.student import t_cdf, t_quantile

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
    assert t_quantile(0.975, degrees) == pytest.approx(printed, abs=PRINTED)
    assert t_quantile(0.975, degrees) == pytest.approx(exact, abs=EXACT)


@pytest.mark.parametrize("degrees", [0.5, 1, 2.7, 3, 6.2, 12, 33.3, 99, 2601, 20_000, math.inf])
@pytest.mark.parametrize("p", [0.02, 0.3, 0.5, 0.9, 0.975, 0.9875, 0.99375, 0.9999])
def test_any_quantile_is_scipy_s(degrees: float, p: float) -> None:
    """Whole degrees and parts of them, one-sided and far out; scipy.stats.t is the reference."""
    from scipy.stats import norm, t

    exact = norm.ppf(p) if math.isinf(degrees) else t.ppf(p, degrees)
    assert t_quantile(p, degrees) == pytest.approx(float(exact), rel=1e-9, abs=1e-12)
    assert t_cdf(float(exact), degrees) == pytest.approx(p, rel=1e-10)
