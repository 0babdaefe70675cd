"""Days as old notes have them: a year, a month or a season is a day half known, and stands where it may."""

from __future__ import annotations

from datetime import date

import pytest

from bowbook.book.days import DayError, days_of, in_order, middle_of, parse_day


@pytest.mark.parametrize(
    ("typed", "kept", "first", "last"),
    [
        ("2019-05-03", "2019-05-03", date(2019, 5, 3), date(2019, 5, 3)),
        ("2019-02", "2019-02", date(2019, 2, 1), date(2019, 2, 28)),
        ("2020-02", "2020-02", date(2020, 2, 1), date(2020, 2, 29)),
        ("2019", "2019", date(2019, 1, 1), date(2019, 12, 31)),
        ("spring 2019", "spring 2019", date(2019, 3, 1), date(2019, 5, 31)),
        ("Fall 2019", "autumn 2019", date(2019, 9, 1), date(2019, 11, 30)),
        # meteorological seasons: winter begins in December of its year (WMO-No. 8500 and common use, from memory)
        ("winter 2019", "winter 2019", date(2019, 12, 1), date(2020, 2, 29)),
        ("May 2019", "2019-05", date(2019, 5, 1), date(2019, 5, 31)),
        ("2019 sept", "2019-09", date(2019, 9, 1), date(2019, 9, 30)),
    ],
)
def test_a_day_may_be_known_by_half(typed: str, kept: str, first: date, last: date) -> None:
    """A month, a season and a year read as all the days that may be meant."""
    assert parse_day(typed) == kept
    assert tuple(days_of(kept)) == (first, last)
    assert first <= middle_of(kept) <= last


@pytest.mark.parametrize("typed", ["summer", "2019-13", "2019-02-30", "3.5.2019", "119", "20190503", "ma 2019", ""])
def test_what_is_no_day_is_refused(typed: str) -> None:
    """What could be two days, or none, is refused with how a day is written."""
    with pytest.raises(DayError) as refused:
        parse_day(typed)

    assert "2026-05-03" in refused.value.hint


@pytest.mark.parametrize(
    "typed", ["0001-01-01", "1799-12-31", "3000-01-01", "9999-12-31", "9999-12", "3000", "spring 9999", "May 1066"]
)
def test_a_day_of_no_kites_time_is_refused(typed: str) -> None:
    """A slip of the fingers makes another century: the years that can be meant are named."""
    with pytest.raises(DayError) as refused:
        parse_day(typed)

    assert refused.value.hint == "Write a day of the years 1800 to 2999."


@pytest.mark.parametrize("typed", ["1800-01-01", "1800", "spring 1800", "2999-12-31", "2999", "2999-12", "winter 2999"])
def test_the_first_and_the_last_year_are_days_like_others(typed: str) -> None:
    """What may be written can be worked with."""
    assert days_of(parse_day(typed)).first.year in (1800, 2999)


def test_days_come_in_order_and_vague_ones_stay_where_they_may() -> None:
    """What surely came before stands before; what may be of one day, or has none, stays as it was written down."""
    written = ["2021-05-01", "2020-03-01", None, "2021", "spring 2020", "2021-04-30", "2019"]

    ordered = in_order(written, lambda on: on)

    assert ordered == ("2019", "2020-03-01", "spring 2020", None, "2021", "2021-04-30", "2021-05-01")
