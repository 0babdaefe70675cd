"""The reading each half of a bow must give to be as stiff as this kite's."""

from __future__ import annotations

from msgspec import Struct

from bowbook.book.records import Kite, Press, Side, Sureness
from bowbook.findings.readings import reading_of
from bowbook.findings.results import Findings
from bowbook.mechanics.air import STANDARD_GRAVITY
from bowbook.planner.next_press import pressed_how


class TargetReading(Struct, frozen=True):
    """What the scale must say for each half of a bow like this one, N, and how to press it.

    Any two readings between `low_N` and `high_N` differ by no more than the book's tolerance.
    `from_press` is False where the halves were measured another way and the reading is worked out.
    """

    press_N: float
    low_N: float
    high_N: float
    length_m: float
    hold: str | float | None
    rise_m: float | None
    from_press: bool


def target_half(findings: Findings, tolerance: float) -> TargetReading | None:
    """The reading each half of an even bow as stiff as this one gives: the mean of this kite's two halves.

    None where either half is unknown, or the bow's length with halves that were not pressed alike.
    """
    kite = findings.kite
    left, right = _last_press(kite, "left"), _last_press(kite, "right")
    read = findings.bow.left.press_N, findings.bow.right.press_N
    if left and right and read[0] and read[1] and _pressed_alike(kite, left, right):
        length = _free_length(kite, left)
        if length is not None:
            return _between((read[0].value + read[1].value) / 2, tolerance, length, left.hold, left.rise_m, True)
    rigid = findings.bow.left.EI_Nm2, findings.bow.right.EI_Nm2
    if not (rigid[0] and rigid[1] and kite.bow.length_m):
        return None
    pressed = pressed_how(kite, kite.bow.length_m / 2, findings.bow.hand, Sureness())
    weight = (kite.bow.mass_kg or 0.0) * STANDARD_GRAVITY * pressed.free_m / kite.bow.length_m
    reading = pressed.reading((rigid[0].value + rigid[1].value) / 2, weight)
    return _between(reading, tolerance, pressed.free_m, pressed.said, pressed.rise_m, False)


def covered_target(findings: Findings, tolerance: float) -> TargetReading | None:
    """The same with the skin on, where both halves of this kite were pressed alike once it was covered."""
    kite, read = findings.kite, (findings.skin.left_N, findings.skin.right_N)
    left, right = (kite.covered.left, kite.covered.right) if kite.covered else (None, None)
    if not (left and right and read[0] and read[1] and _pressed_alike(kite, left, right)):
        return None
    length = _free_length(kite, left)
    if length is None:
        return None
    return _between((read[0].value + read[1].value) / 2, tolerance, length, left.hold, left.rise_m, True)


def _between(
    press_N: float,
    tolerance: float,
    length_m: float,
    hold: str | float | None,
    rise_m: float | None,
    from_press: bool,
) -> TargetReading:
    reach = press_N * tolerance / 2
    return TargetReading(press_N, press_N - reach, press_N + reach, length_m, hold, rise_m, from_press)


def _last_press(kite: Kite, side: Side) -> Press | None:
    for bench in reversed(kite.bench):
        reading = reading_of(bench, side)
        if reading is not None:
            return reading if isinstance(reading, Press) else None
    return None


def _free_length(kite: Kite, press: Press) -> float | None:
    return press.length_m or (kite.bow.length_m / 2 if kite.bow.length_m else None)


def _pressed_alike(kite: Kite, left: Press, right: Press) -> bool:
    alike = _free_length(kite, left) == _free_length(kite, right) and left.rise_m == right.rise_m
    return alike and left.hold == right.hold
