"""Readings and their uncertainty against the worked examples of the GUM.

Source: JCGM 100:2008, 4.4.3 (twenty temperatures) and H.2 (five sets of readings); data from memory.
"""

from __future__ import annotations

from math import inf, sqrt

import pytest

from bowbook.mechanics.scatter import Scatter, mean_reading, repeat_set
from bowbook.mechanics.student import combined_degrees

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
    """s/√n, with s from the repeats themselves and no step."""
    values, mean, u, printed, half_unit = EXAMPLES[name]

    found = repeat_set(values)
    assert found is not None
    got = mean_reading(values, Scatter(sqrt(found.variance), 0.0, found.degrees), 0.0)

    assert got.mean == pytest.approx(mean, rel=1e-9)
    assert got.scatter == pytest.approx(u, rel=1e-5)
    assert got.scatter == pytest.approx(printed, abs=half_unit)
    assert got.step == 0.0


def test_a_step_adds_a_rectangle_of_its_own_width_where_readings_do_not_scatter() -> None:
    """GUM F.2.2.1: a digit of 1 g leaves 1/√12 g, however many the repeats."""
    assert mean_reading((200.0,) * 4, Scatter(0.0, 0.0), 1.0).step == pytest.approx(1 / sqrt(12), rel=1e-12)


# G.4.1: three parts of 0.25 %, 0.57 % and 0.82 % with 9, 4 and 14 degrees. H.1.6: a difference of gauges (nm), and
# the length of the end gauge. From memory.
DEGREES = {
    "G.4.1": ([(0.25, 9), (0.57, 4), (0.82, 14)], 19.0, 0.05),
    "H.1.6, the difference": ([(5.8, 24), (3.9, 5), (6.7, 8)], 25.6, 0.2),
    "H.1.6, the gauge": ([(25, 18), (9.7, 25.6), (2.9, 50), (16.6, 2)], 16.7, 0.1),
}


@pytest.mark.parametrize("name", DEGREES)
def test_degrees_of_freedom_combine_as_in_the_guide(name: str) -> None:
    """The Welch-Satterthwaite formula."""
    parts, printed, half_unit = DEGREES[name]

    assert combined_degrees(parts) == pytest.approx(printed, abs=half_unit)


def test_parts_known_for_certain_add_degrees_without_end() -> None:
    """A step or a mark has infinite degrees, and takes its share of the uncertainty from the scatter's few."""
    assert combined_degrees([(0.0, 3), (1.0, inf)]) == inf
    assert combined_degrees([(1.0, 3), (1.0, inf)]) == pytest.approx(12.0, rel=1e-12)
