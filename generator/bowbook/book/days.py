"""Days as makers note them: a day, or only its month, season or year, and which of two came first."""

from __future__ import annotations

import calendar
import re
from collections.abc import Callable, Sequence
from datetime import date
from typing import Final, NamedTuple, TypeVar

from bowbook.book.problems import HintedError

FIRST_YEAR: Final = 1800
LAST_YEAR: Final = 2999  # what is worked out around a day, such as the room on a strip of years, must be days too
SEASONS: Final = ("spring", "summer", "autumn", "winter")  # of the northern half: spring is March to May
_CALLED: Final = {"fall": "autumn"}
_MONTHS: Final = tuple(name.casefold() for name in calendar.month_name)
T = TypeVar("T")
_AS: Final = "Write year-month-day, such as 2026-05-03; 2026-05, spring 2026 or 2026 where you know no more."


class DayError(HintedError):
    """A day that cannot be read."""

    def __init__(self, message: str, hint: str = _AS) -> None:
        super().__init__(message, hint)


class Days(NamedTuple):
    """The first and the last day that may be meant."""

    first: date
    last: date


def parse_day(text: str) -> str:
    """The day as records keep it: "2026-05-03", "2026-05", "spring 2026", "2026". Raises DayError.

    >>> parse_day("May 2019"), parse_day("Fall 2019")
    ('2019-05', 'autumn 2019')
    """
    text = " ".join(text[:100].split())
    found = _read(text)
    if found is None:
        raise DayError(f"`{text[:60]}` is not a day")
    year, on = found
    if not FIRST_YEAR <= int(year) <= LAST_YEAR:
        raise DayError(f"{text[:60]} is out of range", f"Write a day of the years {FIRST_YEAR} to {LAST_YEAR}.")
    return on


def _read(text: str) -> tuple[str, str] | None:
    """The year of a day and the day as records keep it; None for no day. Raises DayError for a day like 31 June."""
    if whole := re.fullmatch(r"([0-9]{4})-([0-9]{2})(?:-([0-9]{2}))?", text):
        try:
            date(int(whole[1]), int(whole[2]), int(whole[3] or 1))
        except ValueError:
            raise DayError(f"there is no day {text[:60]}") from None
        return whole[1], text
    if re.fullmatch(r"[0-9]{4}", text):
        return text, text
    named = re.fullmatch(r"([a-zA-Z]+)\.? ([0-9]{4})", text) or re.fullmatch(r"([0-9]{4}) ([a-zA-Z]+)", text)
    if named:
        word, year = (named[1], named[2]) if named[2].isdigit() else (named[2], named[1])
        word = _CALLED.get(word.casefold(), word.casefold())
        if word in SEASONS:
            return year, f"{word} {year}"
        months = [i for i, name in enumerate(_MONTHS) if i and len(word) >= 3 and name.startswith(word)]
        if len(months) == 1:
            return year, f"{year}-{months[0]:02d}"
    return None


def days_of(on: str) -> Days:
    """The days that a kept day may mean.

    >>> days_of("winter 2019").last.isoformat()
    '2020-02-29'
    """
    if len(on) == 10 and on[4] == "-":
        day = date.fromisoformat(on)
        return Days(day, day)
    if on[:1].isalpha():
        season, year = on.split()
        start = 3 * SEASONS.index(season) + 3
        return Days(date(int(year), start, 1), _end(int(year), start + 2))
    if len(on) == 7:
        return Days(date(int(on[:4]), int(on[5:]), 1), _end(int(on[:4]), int(on[5:])))
    return Days(date(int(on), 1, 1), date(int(on), 12, 31))


def _end(year: int, month: int) -> date:
    """The last day of a month; month 13 is the next year's first."""
    year, month = year + (month - 1) // 12, (month - 1) % 12 + 1
    return date(year, month, calendar.monthrange(year, month)[1])


def middle_of(on: str) -> date:
    """The day in the middle of those that may be meant: where a vague day stands among others."""
    days = days_of(on)
    return days.first + (days.last - days.first) / 2


def in_order(items: Sequence[T], on_of: Callable[[T], str | None]) -> tuple[T, ...]:
    """Items in the order of their days; those that may be of one day stay in the order in which they stand.

    An item without a day stays before the next one that has a day; after the last of those it is the newest.
    """
    if len(items) < 2:
        return tuple(items)
    spans: list[Days] = []
    following = Days(date.max, date.max)
    for item in reversed(items):
        on = on_of(item)
        following = days_of(on) if on else following
        spans.insert(0, following)
    waiting = list(range(len(items)))
    placed: list[T] = []
    while waiting:
        next_one = next(i for i in waiting if not any(_is_before(spans[j], spans[i]) for j in waiting))
        waiting.remove(next_one)
        placed.append(items[next_one])
    return tuple(placed)


def _is_before(one: Days, other: Days) -> bool:
    return one.last < other.first


def short_month(month: int) -> str:
    """A month's name, short where it is long.

    >>> short_month(4), short_month(9), short_month(11)
    ('April', 'Sept', 'Nov')
    """
    name = calendar.month_name[month]
    return name if len(name) <= 5 else "Sept" if month == 9 else name[:3]


def in_words(on: str) -> str:
    """A kept day within a sentence.

    >>> in_words("2026-11-01"), in_words("2019-05"), in_words("spring 2019")
    ('1 Nov 2026', 'May 2019', 'spring 2019')
    """
    if on[:1].isalpha() or len(on) == 4:
        return on
    month = f"{short_month(int(on[5:7]))} {on[:4]}"
    return month if len(on) == 7 else f"{int(on[8:])} {month}"
