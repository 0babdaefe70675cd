"""A line through marks, against scipy's regression and numpy's polynomial fit (reference libraries, tests only)."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy import stats

from bowbook.mechanics.trend import trend

FLEX = [1.2, 1.6, 1.9, 2.4, 2.6, 3.1, 3.9, 4.4]
GROWING = [1.0, 2.0, 2.0, 3.0, 2.0, 4.0, 4.0, 5.0]
PEAKED = [1.0, 3.0, 4.0, 5.0, 5.0, 4.0, 2.0, 1.0]
ORDERLESS = [3.0, 4.0, 2.0, 5.0, 1.0, 4.0, 2.0, 3.0]


def test_a_straight_line_is_the_reference_one_with_its_band() -> None:
    """Slope and intercept of scipy's linregress over ln x; the band by its standard errors at the middle and an end."""
    found = trend(list(zip(FLEX, GROWING, strict=True)))
    assert found is not None
    assert found.turns_at is None
    logs = np.log(FLEX)
    fit = stats.linregress(logs, GROWING)
    t = stats.t.ppf(0.975, len(FLEX) - 2)
    s = math.sqrt(((GROWING - fit.slope * logs - fit.intercept) ** 2).sum() / (len(FLEX) - 2))
    for x in (1.2, float(np.exp(logs.mean())), 4.0):
        assert found.at(x) == pytest.approx(fit.intercept + fit.slope * math.log(x))
        away = math.log(x) - logs.mean()
        assert found.half_width(x) == pytest.approx(
            t * s * math.sqrt(1 / len(FLEX) + away**2 / ((logs - logs.mean()) ** 2).sum())
        )


def test_a_bowed_line_is_the_reference_one_and_turns_where_it_does() -> None:
    """numpy's polyfit of the second degree with its covariance; the turn is where its derivative is zero."""
    found = trend(list(zip(FLEX, PEAKED, strict=True)))
    assert found is not None
    logs = np.log(FLEX)
    poly, cov = np.polyfit(logs, PEAKED, 2, cov="unscaled")
    for x in (1.3, 2.2, 4.1):
        assert found.at(x) == pytest.approx(np.polyval(poly, math.log(x)))
        powers = np.array([math.log(x) ** 2, math.log(x), 1])
        s = math.sqrt(((np.array(PEAKED) - np.polyval(poly, logs)) ** 2).sum() / (len(FLEX) - 3))
        assert found.half_width(x) == pytest.approx(
            stats.t.ppf(0.975, len(FLEX) - 3) * s * math.sqrt(powers @ cov @ powers)
        )
    assert found.turns_at == pytest.approx(math.exp(-poly[1] / (2 * poly[0])))


@pytest.mark.parametrize(
    "points",
    [
        list(zip(FLEX, ORDERLESS, strict=True)),
        list(zip(FLEX[:5], GROWING[:5], strict=True)),
        [(x, 5.0) for x in FLEX],
        [(2.0, y) for y in GROWING],
        [],
    ],
    ids=["without order", "five kites", "all the same mark", "all as stiff", "none"],
)
def test_no_line_where_there_is_none_to_be_sure_of(points: list[tuple[float, float]]) -> None:
    """Too few, no spread, or an interval that holds zero."""
    assert trend(points) is None


def test_pure_chance_draws_a_line_about_as_often_as_95_percent_allows() -> None:
    """Two looks at 5 % each (a bow, then a slope): over random marks about one in ten, never a quarter."""
    rng = np.random.default_rng(7)
    drawn = sum(trend(list(zip(FLEX, rng.normal(3, 1, len(FLEX)), strict=True))) is not None for _ in range(400))
    assert 0.05 * 400 < drawn < 0.15 * 400
