"""Wind limits against the Beaufort scale, and winds at other heights against the power law.

Source: WMO-No. 8 and WMO-No. 306, 10 m winds (origin from memory; limits found on two public pages); the 1/7 power
law for open ground from Manwell, McGowan & Rogers, Wind Energy Explained (memory).
"""

from __future__ import annotations

import pytest

from bowbook.mechanics.air import BEAUFORT, move_height

TENTH = 0.1  # m/s: the scale's formula against its printed limits, to 8


@pytest.mark.parametrize("force", range(1, 9))
def test_the_limits_follow_the_scale_s_own_formula(force: int) -> None:
    """v = 0.836 (B − ½)^1.5 m/s gives every lower limit within 0.1 m/s."""
    assert BEAUFORT[force - 1] == pytest.approx(0.836 * (force - 0.5) ** 1.5, abs=TENTH)


@pytest.mark.parametrize(
    ("from_m", "to_m", "factor"), [(10, 2, 0.7945974), (2, 10, 1.2584990), (10, 20, 1.1040895), (2, 30, 1.4723567)]
)
def test_wind_grows_with_height_by_a_seventh_power(from_m: float, to_m: float, factor: float) -> None:
    """A wind measured at one height, at another."""
    assert move_height(5.0, from_m, to_m) == pytest.approx(5.0 * factor, rel=1e-7)
