"""Second moments, and what comes off a section for less of it.

Second moments from any text on strength of materials; shave factors derived: EI × 0.8 leaves 0.8^¼ of a diameter,
0.8^⅓ of a thickness.
"""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad

from bowbook.mechanics.planning import shave_to
from bowbook.mechanics.section import (
    second_moment,
    second_moment_flat,
    second_moment_round,
    second_moment_tube,
    taken_flat,
    taken_round,
    taken_tube,
)
from bowbook.mechanics.shaving import shave_depth
from bowbook.mechanics.taper import tapered_second_moment

FRACTIONS = st.floats(0.05, 1.0)


def test_second_moments_are_those_of_the_integral() -> None:
    """∫y² dA over the section, by quadrature."""
    r = 0.0015
    circle = quad(lambda y: y**2 * 2 * np.sqrt(r**2 - y**2), -r, r)[0]

    assert second_moment_round(2 * r) == pytest.approx(circle, rel=1e-9)
    assert second_moment_flat(0.004, 0.002) == pytest.approx(quad(lambda y: y**2 * 0.004, -0.001, 0.001)[0], rel=1e-12)
    assert second_moment_tube(2 * r, r) == pytest.approx(circle * (1 - 0.5**4), rel=1e-9)


def test_shave_factors_for_a_fifth_less() -> None:
    """A fifth off the stiffness is 5.4 % off a diameter and 7.2 % off a thickness."""
    assert 1 - taken_round(1.0, 0.8) == pytest.approx(0.9457416, abs=5e-8)
    assert 1 - taken_flat(1.0, 0.8) == pytest.approx(0.9283178, abs=5e-8)


@given(FRACTIONS, st.floats(0.001, 0.01), st.floats(0.0, 0.95))
def test_what_is_left_has_the_stiffness_asked_for(f: float, thick: float, bore: float) -> None:
    """Round, flat and tube, measured again after the knife."""
    inner = bore * thick

    assert second_moment_round(thick - taken_round(thick, f)) == pytest.approx(f * second_moment_round(thick))
    assert second_moment_flat(0.004, thick - taken_flat(thick, f)) == pytest.approx(
        f * second_moment_flat(0.004, thick)
    )
    assert second_moment_tube(thick - taken_tube(thick, inner, f), inner) == pytest.approx(
        f * second_moment_tube(thick, inner)
    )


@pytest.mark.parametrize("f", [0.0, -0.5, 1.01, float("nan")])
def test_a_fraction_that_is_none_is_refused(f: float) -> None:
    """The message says what is allowed."""
    for take in (lambda: taken_round(1.0, f), lambda: taken_flat(1.0, f), lambda: taken_tube(1.0, 0.5, f)):
        with pytest.raises(ValueError, match=r"the stiffness to leave is .* above 0 and no more than 1"):
            take()


@pytest.mark.parametrize(
    ("section", "enough", "too_little"),
    [
        (("round", 0.003, None, None), 0.5**4 * 1.001, 0.5**4 * 0.999),
        (("flat", 0.003, 0.004, None), 0.5**3 * 1.001, 0.5**3 * 0.999),
        (
            ("tube", 0.004, None, 0.002),
            (0.75**4 - 0.5**4) / (1 - 0.5**4) * 1.001,
            (0.75**4 - 0.5**4) / (1 - 0.5**4) * 0.999,
        ),
    ],
)
def test_less_than_half_is_never_left(section: tuple, enough: float, too_little: float) -> None:
    """Half of the diameter, thickness or tube wall is the least that is advised."""
    assert shave_depth(section, enough).taken_m is not None
    refused = shave_depth(section, too_little)
    assert refused.taken_m is None
    assert "too thin" in str(refused.reason)


def test_a_rod_too_soft_for_the_bow_is_said_to_be() -> None:
    """Nothing can be shaved onto a rod."""
    assert shave_to(0.02, 0.03, ("round", 0.002, None, None)).reason == "it is too soft: 67% of the stiffness wanted"


def test_dimensions_run_straight_between_stations_and_on_beyond_them() -> None:
    """Two stations inside a half: even before the first, straight between, even after the last."""
    stations = (("flat", 0.003, 0.005, None), ("flat", 0.002, 0.003, None))
    rod = tapered_second_moment((0.1, 0.2), stations, 0.3)
    s = np.array([0.05, 0.125, 0.15, 0.25])

    thick, wide = np.interp(s, [0.1, 0.2], [0.003, 0.002]), np.interp(s, [0.1, 0.2], [0.005, 0.003])
    np.testing.assert_allclose(rod.at(s), wide * thick**3 / 12, rtol=1e-12)
    assert rod.edges == (0.0, 0.1, 0.2, 0.3)


def test_one_station_is_a_rod_of_one_section() -> None:
    """And a station noted twice at one place is a step."""
    tube = ("tube", 0.004, None, 0.003)
    assert tapered_second_moment((0.1,), (tube,), 0.3).at(np.array([0.0, 0.2])) == pytest.approx(second_moment(tube))

    thin = ("tube", 0.0035, None, 0.003)
    step = tapered_second_moment((0.0, 0.1, 0.1, 0.3), (tube, tube, thin, thin), 0.3)
    assert step.at(np.array([0.05, 0.2])) == pytest.approx([second_moment(tube), second_moment(thin)])


@pytest.mark.parametrize(
    ("at", "sections", "what"),
    [
        ((0.1, 0.0), [("round", 0.003, None, None)] * 2, "must run outward"),
        ((0.0, 0.1), [("round", 0.003, None, None), ("flat", 0.003, 0.004, None)], "all be of one kind"),
        ((0.0,), [("flat", 0.003, None, None)], "width of a flat section is missing"),
        ((0.0,), [("tube", 0.003, None, 0.003)], "inner diameter is 0.003 m"),
        ((0.0,), [("round", 0.0, None, None)], "diameter is 0 m"),
        ((), [], "one at least"),
    ],
)
def test_stations_that_make_no_rod_are_refused(at: tuple, sections: list, what: str) -> None:
    """Each in words that name the quantity."""
    with pytest.raises(ValueError, match=what):
        tapered_second_moment(at, sections, 0.3)
