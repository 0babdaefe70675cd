"""The land signs stand between the limits of the World Meteorological Organization, moved to the meter's height."""

from __future__ import annotations

import itertools

import pytest

from bowbook.book.records import Units
from bowbook.findings.land_signs import sign_limits
from bowbook.wording.field import ANSWERS, NOT_THERE, land_signs, not_there

# WMO-No. 8, Guide to Instruments and Methods of Observation: Beaufort 0 to 6, m/s at 10 m, as the table prints them.
WMO_10_M = ((0, 0.2), (0.3, 1.5), (1.6, 3.3), (3.4, 5.4), (5.5, 7.9), (8.0, 10.7), (10.8, 13.8))


@pytest.mark.parametrize("force", range(7))
def test_at_ten_metres_each_sign_holds_its_printed_winds(force: int) -> None:
    """At 10 m nothing is moved: a sign's limits hold every wind that the table prints for its force, and no other."""
    low, high = sign_limits(10.0)[force]
    printed_low, printed_high = WMO_10_M[force]
    assert low <= printed_low + 0.05
    assert printed_high < high <= printed_high + 0.1 + 1e-9


def test_lower_down_there_is_less_wind_by_the_seventh_root() -> None:
    """At 2 m each limit is that of 10 m times (2/10)^(1/7), the power law of open ground worked by hand: 0.79460."""
    for (low, high), (low_10, high_10) in zip(sign_limits(2.0), sign_limits(10.0), strict=True):
        assert low == pytest.approx(0.79460 * low_10, rel=1e-5)
        assert high == pytest.approx(0.79460 * high_10, rel=1e-5)


def test_signs_follow_on_one_another_without_a_gap() -> None:
    """Every wind from calm to the top of Beaufort 6 has one sign."""
    signs = land_signs(2.0, Units(wind="mph"))
    assert [sign.force for sign in signs] == list(range(7))
    assert all(below.high == above.low for below, above in itertools.pairwise(signs))
    assert signs[0].winds == "under 0.5"
    assert signs[3].winds == "6–10"  # 3.4 and 5.5 m/s at 10 m are 6.04 and 9.78 mph at 2 m


def test_a_kite_is_offered_unless_its_stage_says_that_it_is_not_there() -> None:
    """Flying and unsaid stages are offered; every other stage has its words, resting too."""
    assert not {"flying", None} & NOT_THERE.keys()
    assert {"planned", "building", "resting", "given", "lost", "broken", "retired"} == NOT_THERE.keys()
    assert (not_there("given", 1), not_there("building", 2)) == ("is given away", "are still being built")
    assert list(ANSWERS) == ["little", "liked", "much"]
