"""Pressed rods against the columns of Timoshenko & Gere.

Source: S. P. Timoshenko and J. M. Gere, Theory of Elastic Stability, 2nd ed., McGraw-Hill 1961, ch. 2: effective
lengths, and bars with changes in cross-section. The printed figures are from memory; all of them are correct
roundings of the exact roots of tan(k₁(l − a)/2) tan(k₂a/2) = k₁/k₂.
"""

from __future__ import annotations

from math import pi

import pytest
from mpmath import mp

from bowbook.mechanics.column import (
    CLAMPED,
    PINNED,
    clamped_column_load,
    pinned_column_load,
    rigidity_from_load,
)
from bowbook.mechanics.profile import Profile

PRINTED = 0.0051  # of m in P_cr = m EI₂/l²: half a unit of the last printed digit
EXACT = 2e-6  # relative, of figures written with six decimals
SHARE = (0.2, 0.4, 0.6, 0.8)  # length of the middle over the whole

# I₁/I₂ (ends over middle): m printed, m exact, for each share.
STEPPED = {
    0.01: ((0.15, 0.27, 0.60, 2.26), (0.153444, 0.270524, 0.598432, 2.257060)),
    0.1: ((1.47, 2.40, 4.50, 8.59), (1.467501, 2.400627, 4.497779, 8.587989)),
    0.2: ((2.80, 4.22, 6.69, 9.33), (2.795506, 4.221796, 6.694182, 9.330144)),
    0.4: ((5.09, 6.68, 8.51, 9.67), (5.088440, 6.677388, 8.509800, 9.674209)),
    0.6: ((6.98, 8.19, 9.24, 9.78), (6.979413, 8.185004, 9.243775, 9.783837)),
    0.8: ((8.55, 9.18, 9.63, 9.84), (8.551221, 9.176720, 9.631456, 9.837646)),
}
CASES = [
    (ratio, share, printed, exact)
    for ratio, rows in STEPPED.items()
    for share, printed, exact in zip(SHARE, *rows, strict=True)
]


@pytest.mark.parametrize(("ratio", "share", "printed", "exact"), CASES)
def test_a_stepped_rod_presses_as_tabled(ratio: float, share: float, printed: float, exact: float) -> None:
    """A rod with thinner ends of equal length, pinned."""
    rod = Profile.uniform(ratio, 1.0).with_zone((1 - share) / 2, (1 + share) / 2, 1 / ratio)

    load = pinned_column_load(rod)

    assert load == pytest.approx(printed, abs=PRINTED)
    # 0.153444 and 0.270524 are given to six decimals: half a unit there is 3e-6 of them.
    assert load == pytest.approx(exact, rel=EXACT, abs=6e-7)


def test_the_hold_factors_are_those_of_the_ends() -> None:
    """Pinned 1; one end clamped π/u with u = tan u, at 30 digits."""
    with mp.workdps(30):
        u = mp.findroot(lambda u: mp.sin(u) - u * mp.cos(u), mp.mpf("4.4934"))

    assert PINNED == 1.0
    assert pytest.approx(float(mp.pi / u), rel=1e-15) == CLAMPED


@pytest.mark.parametrize(
    ("hold", "factor"), [(1.0, pi**2), (CLAMPED, 20.1907285564), (0.5, 39.4784176044), (2.0, 2.4674011003)]
)
def test_a_uniform_rod_presses_by_its_effective_length(hold: float, factor: float) -> None:
    """P L²/EI for pinned, clamped and pinned, both clamped, clamped and free ends."""
    assert rigidity_from_load(factor * 0.02 / 0.32**2, 0.32, hold) == pytest.approx(0.02, rel=1e-10)


def test_a_clamped_hold_reads_twice_a_pinned_one() -> None:
    """Fixed-pinned over pinned is 2.0457485159."""
    rod = Profile.uniform(0.02, 0.32)

    assert clamped_column_load(rod) / pinned_column_load(rod) == pytest.approx(2.0457485159, rel=1e-10)
    assert clamped_column_load(rod) == pytest.approx(0.02 * (pi / (CLAMPED * 0.32)) ** 2, rel=1e-10)


def test_which_end_is_held_matters_only_to_a_clamped_rod() -> None:
    """Pressed from its other end a pinned rod is the same; a clamped one is not."""
    rod = Profile.uniform(0.02, 0.32).with_zone(0.0, 0.16, 2.0)

    assert pinned_column_load(rod) == pytest.approx(pinned_column_load(rod.reversed()), rel=1e-12)
    assert clamped_column_load(rod) < 0.9 * clamped_column_load(rod.reversed())


@pytest.mark.parametrize("split", [0.3, 0.5])
def test_a_stepped_clamped_rod_agrees_with_its_characteristic_equation(split: float) -> None:
    """Two lengths, clamped at s = 0: the 4 × 4 determinant of the deflections' conditions is 0, by mpmath.

    Derived from EI y'' = −P y + R (L − s) on either part, with y and y' continuous at the step.
    """
    a, b, L = 2.0, 1.0, 1.0

    def determinant(P: float) -> float:
        k, q = mp.sqrt(P / a), mp.sqrt(P / b)
        # y = A sin ks + B cos ks + r (L − s) on the first part, C sin q(L − s) + r (L − s) on the second, r = R/P.
        d = L - split
        return mp.det(
            mp.matrix(
                [
                    [0, 1, 0, L],
                    [k, 0, 0, -1],
                    [mp.sin(k * split), mp.cos(k * split), -mp.sin(q * d), 0],
                    [k * mp.cos(k * split), -k * mp.sin(k * split), q * mp.cos(q * d), 0],
                ]
            )
        )

    load = clamped_column_load(Profile.uniform(b, L).with_zone(0.0, split, a / b))

    assert float(mp.findroot(determinant, load * 1.001)) == pytest.approx(load, rel=1e-10)
