"""A rod that droops far against the large-deflection cantilever.

Source: K. E. Bisshopp and D. C. Drucker, Large deflection of cantilever beams, Quarterly of Applied Mathematics 3
(1945) 272-275; five-figure table in K. Mattiasson, Int. J. Numerical Methods in Engineering 17 (1981) 145-153 (digits
from memory, all agreeing with the elliptic integrals, which are evaluated here by mpmath).
"""

from __future__ import annotations

import pytest
from mpmath import mp

from bowbook.mechanics.cantilever import droop_rigidity, droop_scale
from bowbook.mechanics.profile import Profile

RIGIDITY = 2e-7  # relative: a drop given to eight decimals, times its slope

# λ = P L²/EI and drop over length, load dead vertical.
TABLE = [
    (0.1, 0.033295319),
    (0.25, 0.082745915),
    (0.5, 0.16214358),
    (1, 0.30172077),
    (2, 0.49345748),
    (3, 0.60325344),
    (4, 0.66996418),
    (5, 0.71379152),
    (6, 0.74457115),
    (7, 0.76736910),
    (8, 0.78498237),
    (9, 0.79905553),
    (10, 0.81060902),
]


@pytest.mark.parametrize(("parameter", "drop"), TABLE)
def test_a_weight_pulls_a_rod_down_as_tabled(parameter: float, drop: float) -> None:
    """Rigidity from drop, for a load of 0.5 N on 0.3 m."""
    load, length = 0.5, 0.3

    assert droop_rigidity(load, length, drop * length) == pytest.approx(load * length**2 / parameter, rel=RIGIDITY)


@pytest.mark.parametrize("parameter", [0.01, 0.7, 4.5, 30.0, 100.0])
def test_the_droop_agrees_with_elliptic_integrals_at_thirty_digits(parameter: float) -> None:
    """√λ = K(k) − F(k, θ₁), drop/L = 1 − 2 (E(k) − E(k, θ₁))/√λ with sin θ₁ = 1/(k√2)."""
    with mp.workdps(30):

        def root_of_load(k: mp.mpf) -> mp.mpf:
            return mp.ellipk(k**2) - mp.ellipf(mp.asin(1 / (k * mp.sqrt(2))), k**2)

        low, high = mp.sqrt(0.5) * (1 + mp.mpf(10) ** -20), 1 - mp.mpf(10) ** -20
        k = mp.findroot(lambda k: root_of_load(k) ** 2 - parameter, (low, high), solver="anderson", tol=1e-25)
        first = mp.asin(1 / (k * mp.sqrt(2)))
        drop = float(1 - 2 * (mp.ellipe(k**2) - mp.ellipe(first, k**2)) / mp.sqrt(parameter))

    assert droop_rigidity(parameter, 1.0, drop) == pytest.approx(1.0, rel=1e-8)


def test_a_small_droop_is_the_linear_one() -> None:
    """δ = F L³/3EI where the drop is next to nothing."""
    assert droop_rigidity(0.001, 0.3, 1e-6) == pytest.approx(0.001 * 0.3**3 / 3e-6, rel=1e-9)


def test_only_the_rod_up_to_the_weight_droops() -> None:
    """A weight half way out leaves what is beyond it out of the count; derived from the uniform case."""
    half = Profile.uniform(0.09, 0.6).with_zone(0.3, 0.6, 0.1)

    assert droop_scale(half, 1.0, 0.3, 0.3 * 0.30172077) == pytest.approx(1.0, rel=RIGIDITY)


@pytest.mark.parametrize("drop", [0.3, 0.31, 0.29, -0.01, 0.0, float("nan")])
def test_a_drop_no_rod_can_show_is_refused_in_words(drop: float) -> None:
    """Straight down and beyond, upwards, nothing, not a number."""
    with pytest.raises(ValueError, match=r"the drop is .* (straight down|must be more than 0 m)"):
        droop_rigidity(0.5, 0.3, drop)
