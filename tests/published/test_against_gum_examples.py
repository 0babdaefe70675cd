"""Readings and their uncertainty against the worked examples of the GUM.

Source: JCGM 100:2008, 4.4.3 (twenty temperatures) and H.2 (five sets of readings); data from memory. With one set,
the pooled relative repeatability times the mean is that set's own standard deviation.
"""

from __future__ import annotations

from math import sqrt

import pytest

from bowbook.mechanics.uncertainty import pooled, reading, repeats

# Data; mean, standard uncertainty of the mean, and the printed uncertainty with its half unit.
# fmt: off
TEMPERATURES = (
    96.90, 98.18, 98.25, 98.61, 99.03, 99.49, 99.56, 99.74, 99.89, 100.07,
    100.33, 100.42, 100.68, 100.95, 101.11, 101.20, 101.57, 101.84, 102.36, 102.72,
)
# fmt: on
EXAMPLES = {
    "4.4.3 temperature, °C": (TEMPERATURES, 100.145, 0.332916, 0.333, 0.0005),
    "H.2 voltage, V": ((5.007, 4.994, 5.005, 4.990, 4.999), 4.9990, 0.00320936, 0.0032, 0.00005),
    "H.2 current, mA": ((19.663, 19.639, 19.640, 19.685, 19.678), 19.6610, 0.00947101, 0.0095, 0.00005),
    "H.2 phase, rad": ((1.0456, 1.0438, 1.0468, 1.0428, 1.0433), 1.04446, 0.00075206, 0.00075, 0.000005),
}


@pytest.mark.parametrize("name", EXAMPLES)
def test_the_mean_of_repeats_has_the_uncertainty_of_the_guide(name: str) -> None:
    """s/√n, with s from the repeats themselves and no resolution."""
    values, mean, u, printed, half_unit = EXAMPLES[name]

    s_rel, _ = pooled([repeats([values])])
    got = reading(values, s_rel, 0.0)

    assert got.nominal_value == pytest.approx(mean, rel=1e-9)
    assert got.std_dev == pytest.approx(u, rel=1e-5)
    assert got.std_dev == pytest.approx(printed, abs=half_unit)


def test_resolution_adds_a_rectangle_of_its_own_width() -> None:
    """GUM F.2.2.1: a digit of 1 g adds 1/√12 g, however many the repeats; a pooled s counts by 1/√n."""
    got = reading((200.0, 200.0, 200.0, 200.0), 0.01, 1.0)

    assert got.std_dev == pytest.approx(sqrt(1.0**2 + 1 / 12), rel=1e-12)
    assert reading((200.0,), None, 1.0).std_dev == pytest.approx(1 / sqrt(12), rel=1e-12)
