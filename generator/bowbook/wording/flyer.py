"""What is said about one flyer: the comfort zone, what stands behind it, its doubts, what to log next."""

from __future__ import annotations

from bowbook.book.records import Units
from bowbook.findings.results import FlyerFindings
from bowbook.wording import numbers

RECORDS_NEEDED = 3
"""Kites a flyer must have told about before anything is predicted for them."""

SLOPE_FROM = 6
"""Kites from which on it can be told whether stiffness explains a flyer's records at all."""


def zone(who: FlyerFindings) -> str:
    """The comfort zone, as multiples of the wind in which a kite flexes."""
    if who.ratio_low is None or who.ratio_high is None:
        return "No comfort zone yet."
    low, high = numbers.number(numbers.rough(who.ratio_low)), numbers.number(numbers.rough(who.ratio_high))
    return f"Likes a kite between {low} and {high} times the wind in which its tips flex."


def behind(who: FlyerFindings) -> str:
    """How many records stand behind it."""
    flights = numbers.counted(who.flights, "flight")
    kites = numbers.counted(who.kites, "kite")
    verb = "tells" if who.kites == 1 else "tell"
    known = f"{kites} with a best wind and a measured stiffness, skin included, {verb} about it"
    return f"{numbers.capital(flights)} logged; {known}."


def doubt(who: FlyerFindings, units: Units) -> str | None:
    """How far the records are from each other, and whether stiffness explains them."""
    if who.left_out_error is None:
        return None
    off = numbers.share(who.left_out_error, units)
    said = f"Asked about each kite with that kite left out, the others were {off} off on the middle of its wind."
    if who.slope_interval is not None and not who.slope_interval.low <= 1 <= who.slope_interval.high:
        low, high = (
            numbers.number(numbers.rough(who.slope_interval.low)),
            numbers.number(numbers.rough(who.slope_interval.high)),
        )
        said += (
            f" Stiffness does not explain these records: a kite twice as stiff in the wind should be liked in twice the"
            f" wind, a slope of 1, and the records say between {low} and {high}."
            f" Take predictions for {who.name} lightly."
        )
    return said


def records_missing(who: FlyerFindings) -> str | None:
    """What a flyer must still log before predictions; None where nothing is missing."""
    missing = RECORDS_NEEDED - who.kites
    if missing <= 0:
        return None
    known = numbers.capital(numbers.counted(who.kites, "kite"))
    verb = "has" if who.kites == 1 else "have"
    more = "one more and" if missing == 1 else f"{numbers.count(missing)} more, and"
    has = f"{known} {verb} a best wind from {who.name} and a measured stiffness, skin included"
    return f"{has}; {more} ranges can be predicted."


def log_next(who: FlyerFindings) -> str:
    """What would make the comfort zone surer, once there is one."""
    missing = SLOPE_FROM - who.kites
    if missing > 0:
        more = numbers.counted(missing, "more kite")
        return (
            f"Next: the best wind of {more}, softer and stiffer than these; "
            "from six on it can be told whether stiffness explains the records."
        )
    return "Next: the best wind of a kite softer or stiffer than all of these; it tells more than one in their midst."
