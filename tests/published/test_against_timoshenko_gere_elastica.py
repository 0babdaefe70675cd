"""The bent bow against the elastica table of Timoshenko & Gere.

Source: S. P. Timoshenko and J. M. Gere, Theory of Elastic Stability, 2nd ed., McGraw-Hill 1961, art. 2.7, the table
of load-deflection data for a buckled bar. The printed figures are from memory. Some of them are cut off instead of
rounded, so they are held to the last digit and a half; the exact figures, from complete elliptic integrals at 30
digits, are held to 1e-7. A bar clamped at one end, of length l, with tip angle α, is half of a pinned bow of length
L = 2l whose tips slope by α: P/P_cr is the same, span/L = xa/l and rise/L = ½ ya/l.
"""

from __future__ import annotations

from math import pi, radians

import pytest
from mpmath import mp

from bowbook.mechanics.elastica import bend, bend_uniform, load_ratio_from_rise
from bowbook.mechanics.profile import Profile

PRINTED_LOAD = 0.0015  # of P/P_cr
PRINTED_PLACE = 0.001  # of xa/l and ya/l
EXACT = 1e-7  # relative, of figures written with eight decimals

# α in degrees; P/P_cr, xa/l, ya/l printed; the same, exact.
TABLE = [
    (20, 1.015, 0.970, 0.220, 1.01539687, 0.96973091, 0.21941304),
    (40, 1.063, 0.881, 0.422, 1.06366327, 0.88120351, 0.42224034),
    (60, 1.152, 0.741, 0.593, 1.15171962, 0.74101961, 0.59320765),
    (80, 1.293, 0.560, 0.719, 1.29388932, 0.55939592, 0.71949711),
    (100, 1.518, 0.349, 0.792, 1.51838879, 0.34898930, 0.79153950),
    (120, 1.884, 0.123, 0.803, 1.88480087, 0.12315997, 0.80317099),
]

# span/L; tip slope in degrees, rise/L, P/P_cr, greatest curvature × L. Derived from the closed form.
BY_SPAN = [
    (0.99, 11.471123, 0.06346272, 1.00502829, 0.6295014),
    (0.98, 16.239626, 0.08946716, 1.01011383, 0.8919361),
    (0.95, 25.758609, 0.14011061, 1.02572426, 1.4184087),
    (0.90, 36.624281, 0.19492431, 1.05298688, 2.0257634),
    (0.85, 45.101948, 0.23472031, 1.08193577, 2.5064087),
    (0.80, 52.371639, 0.26631859, 1.11273872, 2.9247882),
    (0.70, 64.888291, 0.31431261, 1.18069881, 3.6626944),
]


@pytest.mark.parametrize(("angle", "load", "span", "rise", "load_exact", "span_exact", "rise_exact"), TABLE)
def test_a_bent_bow_stands_in_the_elastica_table(
    angle: float, load: float, span: float, rise: float, load_exact: float, span_exact: float, rise_exact: float
) -> None:
    """A uniform bow of length 1 drawn to a tabled span has the tabled angle, load and rise."""
    bow = bend(Profile.uniform(1.0, 1.0), span_exact)

    assert bow.thrust_N / pi**2 == pytest.approx(load, abs=PRINTED_LOAD)
    assert 2 * bow.rise_m == pytest.approx(rise, abs=PRINTED_PLACE)
    assert span_exact == pytest.approx(span, abs=PRINTED_PLACE)
    # The span is given to eight decimals: what follows from it can be no surer than its slope times that.
    assert bow.thrust_N / pi**2 == pytest.approx(load_exact, rel=EXACT)
    assert 2 * bow.rise_m == pytest.approx(rise_exact, rel=EXACT)
    assert bow.slope_left_rad == pytest.approx(radians(angle), rel=EXACT)
    assert bow.slope_right_rad == pytest.approx(radians(angle), rel=EXACT)


@pytest.mark.parametrize(("span", "angle", "rise", "load", "curvature"), BY_SPAN)
def test_the_closed_form_and_the_solved_bow_agree_with_the_table_by_span(
    span: float, angle: float, rise: float, load: float, curvature: float
) -> None:
    """Thrust, rise, tip slope and curvature of a uniform bow, from 0.70 to 0.99 of its length."""
    solved, closed = bend(Profile.uniform(0.02, 0.64), span * 0.64), bend_uniform(0.02, 0.64, span * 0.64)

    for thrust in (solved.thrust_N, closed.thrust_N):
        assert thrust / (pi**2 * 0.02 / 0.64**2) == pytest.approx(load, rel=1e-8)
    for depth in (solved.rise_m, closed.rise_m):
        assert depth / 0.64 == pytest.approx(rise, rel=EXACT)
    for slope in (solved.slope_left_rad, closed.slope_rad):
        assert slope == pytest.approx(radians(angle), rel=EXACT)
    for bend_ in (solved.curvature_per_m.max(), closed.curvature_per_m):
        assert bend_ * 0.64 == pytest.approx(curvature, rel=EXACT)


@pytest.mark.parametrize("span", [0.995, 0.9, 0.7])
def test_the_closed_form_agrees_with_mpmath_at_thirty_digits(span: float) -> None:
    """span/L = 2E/K − 1 and P/P_cr = (2K/π)², evaluated by another library."""
    with mp.workdps(30):
        k = mp.findroot(lambda k: 2 * mp.ellipe(k**2) / mp.ellipk(k**2) - 1 - mp.mpf(span), mp.mpf("0.4"))
        load = float(4 * mp.ellipk(k**2) ** 2)

    assert bend_uniform(1.0, 1.0, span).thrust_N == pytest.approx(load, rel=1e-12)
    assert bend(Profile.uniform(1.0, 1.0), span).thrust_N == pytest.approx(load, rel=1e-12)


@pytest.mark.parametrize(("rise", "load"), [(row[6] / 2, row[4]) for row in TABLE[:5]])
def test_the_rise_of_a_pressed_rod_gives_its_load(rise: float, load: float) -> None:
    """How far a rod has bowed out says how much more than the critical load it carries."""
    assert load_ratio_from_rise(rise) == pytest.approx(load, rel=2e-7)


@pytest.mark.parametrize("rise", [0.41, -0.01, float("nan")])
def test_a_rise_that_no_rod_has_is_refused(rise: float) -> None:
    """The message names the rise and the most a rod can do."""
    with pytest.raises(ValueError, match=r"the rise is .* of the rod's length; a bent rod rises from 0 to 0\.403"):
        load_ratio_from_rise(rise)


def test_the_greatest_rise_is_the_landmark_of_the_curve() -> None:
    """No uniform bow rises by more than 0.40314019 of its length (at a tip slope of 113.744°); derived."""
    rises = [bend_uniform(1.0, 1.0, span / 1000).rise_m for span in range(1, 1000)]

    assert max(rises) == pytest.approx(0.40314019, rel=1e-6)
