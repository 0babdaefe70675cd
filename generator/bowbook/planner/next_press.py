"""What this maker will see on the scale for a bow that is still to be made, pressed as they press."""

from __future__ import annotations

from msgspec import Struct

from bowbook.book.records import Kite, Press, Sureness
from bowbook.findings.bench_results import HandFindings
from bowbook.findings.hold import bow_out, hold_of, weight_share
from bowbook.findings.readings import reading_of
from bowbook.mechanics.pressing import Hold, pressed_load
from bowbook.mechanics.profile import Profile


class PressedHow(Struct, frozen=True):
    """How the next half will be pressed: free length, m, hold in the file's words, and what the scale adds to the load.

    `bow_out` is how much more than the critical load it shows, `weight_share` the part of the pressed length's weight.
    """

    free_m: float
    hold: Hold
    said: str | float | None
    bow_out: float
    weight_share: float  # 0 where the last bow was pressed unweighed: then its readings hold its weight already
    rise_m: float | None

    def reading(self, EI: float, weight_N: float) -> float:
        """What the scale must say, N, of a uniform half with a rigidity, N m², whose pressed length weighs so much."""
        load = pressed_load(Profile.uniform(EI, self.free_m), self.free_m, self.hold)
        return load * self.bow_out + self.weight_share * weight_N


def pressed_how(kite: Kite, half_m: float, hand: HandFindings, sure: Sureness, scale: float = 1.0) -> PressedHow:
    """As the last half of this kite was pressed, its lengths times `scale`; in the fingers where none was."""
    press = next(
        (
            reading
            for bench in reversed(kite.bench)
            for reading in (reading_of(bench, "left"), reading_of(bench, "right"))
            if isinstance(reading, Press)
        ),
        Press(()),
    )
    free = press.length_m * scale if press.length_m else half_m
    ratio = bow_out(press, sure, None, press.length_m or half_m / scale)
    rise = press.rise_m * scale if press.rise_m else None
    share = weight_share(press) if kite.bow.mass_kg is not None or not press.values_N else 0.0
    return PressedHow(free, hold_of(press, hand, sure), press.hold, ratio, share, rise)
