"""Days in old notes, in the order in which they were written: found from those that can be only one way."""

from __future__ import annotations

import re
from collections.abc import Iterable
from datetime import date
from typing import Final

from bowbook.book.days import DayError, parse_day
from bowbook.book.written_numbers import squeezed_blanks
from bowbook.importing.cells import CellError

DAY_FIRST: Final = "day first"
MONTH_FIRST: Final = "month first"
_ISO: Final = re.compile(r"([0-9]{4})[-/. ]([0-9]{1,2})[-/. ]([0-9]{1,2})(?:[T ][0-9:.]+Z?)?$")
_EITHER: Final = re.compile(r"([0-9]{1,2})([-/. ])\s?([0-9]{1,2})\2\s?([0-9]{4}|[0-9]{2})(?:\s[0-9:]+)?$")
_NAMED: Final = re.compile(
    r"(?:[a-z]{2,10}[.,]? )?([0-9]{1,2})(?:st|nd|rd|th|\.|er)?(?: of| de)?"
    r"[ -]([a-zäéûà]{3,10})\.?,?(?: de)?[ -]([0-9]{4}|[0-9]{2})$"
)
_NAMED_US: Final = re.compile(r"([a-z]{3,9})\.? ([0-9]{1,2})(?:st|nd|rd|th)?,? ([0-9]{4})$")
_MONTHS: Final = (
    ("january", "januar", "januari", "janvier", "enero"),
    ("february", "februar", "februari", "février", "fevrier", "febrero"),
    ("march", "märz", "maerz", "maart", "mars", "marzo"),
    ("april", "avril", "abril"),
    ("may", "mai", "mei", "mayo"),
    ("june", "juni", "juin", "junio"),
    ("july", "juli", "juillet", "julio"),
    ("august", "augustus", "août", "aout", "agosto"),
    ("september", "septembre", "septiembre"),
    ("october", "oktober", "octobre", "octubre"),
    ("november", "novembre", "noviembre"),
    ("december", "dezember", "décembre", "decembre", "diciembre"),
)


def day_order(texts: Iterable[str]) -> tuple[str, str]:
    """Whether days such as 5/3/2024 name the day or the month first, "" where it cannot be known, and why.

    >>> day_order(["4/5/2024", "13/5/2024"])
    ('day first', '13/5/2024 can only be the day first')
    """
    day = month = ""
    dotted = slashed = False
    for text in texts:
        found = _EITHER.match(text.strip())
        if not found:
            continue
        first, second = int(found[1]), int(found[3])
        dotted, slashed = dotted or found[2] == ".", slashed or found[2] != "."
        if 12 < first <= 31 and 1 <= second <= 12:
            day = day or text
        if 12 < second <= 31 and 1 <= first <= 12:
            month = month or text
    if day and month:
        return "", f"{day} has the day first and {month} the month"
    if day:
        return DAY_FIRST, f"{day} can only be the day first"
    if month:
        return MONTH_FIRST, f"{month} can only be the month first"
    if dotted and not slashed:
        return DAY_FIRST, "days with points have the day first"
    return "", "none of them says whether the day or the month comes first" if slashed else ""


def is_open(text: str) -> bool:
    """Whether a day may be one of two, as 4/5/2024 may."""
    found = _EITHER.match(text.strip())
    return found is not None and int(found[1]) <= 12 and int(found[3]) <= 12 and found[1] != found[3]


def day(text: str, order: str) -> str:
    """The day as a kite's file has it: 2024-05-03, 2024-05, spring 2024 or 2024. Raises CellError."""
    text = squeezed_blanks(text).strip(" ,;")
    parts = _parts(text, order)
    if parts is not None:
        year, month, on = parts
        if year < 100:
            year += 2000 if year <= date.today().year % 100 else 1900
        try:
            found = date(year, month, on)
        except ValueError:
            raise CellError(f"there is no day {text[:40]}") from None
        if found > date.today() or found.year < 1900:
            raise CellError(f"{text[:40]} is no day on which a kite was made or flown")
        return found.isoformat()
    try:
        return parse_day(_month_named(text))
    except DayError as wrong:
        raise CellError(wrong.message) from None


def _parts(text: str, order: str) -> tuple[int, int, int] | None:
    """Year, month and day as written; None where the text is no whole day. Raises CellError where it may be two."""
    if found := _ISO.match(text):
        return int(found[1]), int(found[2]), int(found[3])
    if found := _EITHER.match(text):
        first, second, year = int(found[1]), int(found[3]), int(found[4])
        if first == second or (order == DAY_FIRST):
            return year, second, first
        if order == MONTH_FIRST:
            return year, first, second
        if first > 12 or second > 12:
            return (year, second, first) if first > 12 else (year, first, second)
        raise CellError(f"{text} may be one day or another")
    small = text.casefold()
    if (found := _NAMED.match(small)) and (month := _month(found[2])):
        return int(found[3]), month, int(found[1])
    if (found := _NAMED_US.match(small)) and (month := _month(found[1])):
        return int(found[3]), month, int(found[2])
    return None


def _month(word: str) -> int:
    """The number of the month that a word names or begins; 0 for none."""
    found = {n for n, names in enumerate(_MONTHS, 1) if any(name.startswith(word) for name in names)}
    return found.pop() if len(found) == 1 and len(word) >= 3 else 0


def _month_named(text: str) -> str:
    """A month of a year in the form that days have in a kite's file, other texts as they are."""
    numbers = re.fullmatch(r"([0-9]{1,2})[/.]([0-9]{4})", text)
    if numbers:
        return f"{numbers[2]}-{int(numbers[1]):02d}"
    named = re.fullmatch(r"([^\W\d_]{3,10})\.? ([0-9]{4})", text)
    month = _month(named[1].casefold()) if named else 0
    return f"{named[2]}-{month:02d}" if named and month else text
