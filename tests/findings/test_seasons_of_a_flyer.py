"""Seasons: which one a day lies in, and where a flyer's liking stood in it, against figures worked by hand."""

from __future__ import annotations

from datetime import date
from math import exp, log, sqrt

import pytest

from bowbook.book.records import Flight, Settings, Wind
from bowbook.findings.seasons import SeasonFlight, not_flown_since, order_of, season_of, season_zones


@pytest.mark.parametrize(
    ("on", "season"),
    [
        ("2026-03-01", "spring 2026"),
        ("2026-05-31", "spring 2026"),
        ("2026-12-01", "winter 2026"),
        ("2027-02-28", "winter 2026"),
        ("2026-09", "autumn 2026"),
        ("summer 2025", "summer 2025"),
        ("winter 2025", "winter 2025"),
        ("2026", None),
    ],
)
def test_a_day_has_the_season_of_the_weather_services(on: str, season: str | None) -> None:
    """Spring is March to May, and so on (the meteorological seasons of the WMO); a year alone has none."""
    assert season_of(on) == season


def flown(kite: str, flex: float | None, on: str, low: float, high: float) -> SeasonFlight:
    """A flight of Ansa's, liked from `low` to `high` m/s."""
    return SeasonFlight(kite, flex, Flight(on=on, flyer="Ansa", best=Wind(low, high)))


def test_a_season_s_middle_is_the_geometric_mean_of_its_kites_ratios() -> None:
    """Three kites whose middles stand to their flex winds as 0.5, 1 and 2: mean 1, and Student's interval by hand.

    ln ratios are -ln 2, 0, ln 2: their standard deviation is ln 2, that of the mean ln 2 / √3; t of 2 degrees at 95 %
    is 4.302653 (NIST/SEMATECH e-Handbook, 1.3.6.7.2). A second flight of one kite does not count it twice.
    """
    flights = [
        flown("a", 4.0, "2026-04-01", 1.0, 4.0),
        flown("b", 2.0, "2026-04-09", 1.0, 4.0),
        flown("c", 1.0, "2026-05-01", 1.0, 4.0),
        flown("c", 1.0, "2026-05-02", 1.0, 4.0),
        flown("d", None, "2026-05-02", 1.0, 4.0),
        flown("a", 4.0, "2025-07-01", 1.0, 4.0),
    ]
    summer, spring = season_zones(flights, Settings())
    assert (summer.season, summer.middle) == ("summer 2025", None)
    assert (spring.season, spring.kites, spring.flights) == ("spring 2026", 4, 5)
    assert spring.middle == pytest.approx(1.0)
    half = 4.302653 * log(2) / sqrt(3)
    assert spring.interval is not None
    assert (spring.interval.low, spring.interval.high) == pytest.approx((exp(-half), exp(half)), rel=1e-5)


def test_seasons_stand_in_the_order_of_time() -> None:
    """Spring comes before winter of the same year, whatever their letters."""
    assert sorted(["winter 2025", "spring 2026", "autumn 2025", "spring 2025"], key=order_of) == [
        "spring 2025", "autumn 2025", "winter 2025", "spring 2026",
    ]  # fmt: skip


def test_not_flown_for_a_year_counts_from_the_newest_day() -> None:
    """A year and a day is long ago, a year is not; the longest first; a kite never flown is not among them."""
    last = {"a": date(2025, 5, 1), "b": date(2024, 1, 1), "c": date(2025, 4, 30), "d": None}
    assert not_flown_since(date(2026, 5, 1), last) == ("b", "c")
