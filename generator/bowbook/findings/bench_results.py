"""What bench readings give: measured figures, halves, balance, shaving and the strung bow, each None where unknown."""

# Annotations are types here, not texts: msgspec would have to compile each text, in every publish.

from typing import Literal

from msgspec import Struct

from bowbook.book.records import Side

Verdict = Literal["even", "left stiffer", "right stiffer", "too close to call"]


class Measured(Struct, frozen=True):
    """A figure and its standard uncertainties, all in the same SI unit.

    `repeat` is what another reading this week would show, `u` how near the true value it is, all in all; None where
    there is none. `least` says that the true value is this or more, by how much is not known.
    """

    value: float
    repeat: float | None = None
    u: float | None = None
    least: bool = False

    def half_width(self, kind: str) -> float | None:
        """The ± for 95 %, two standard uncertainties (JCGM 100:2008, 6.3.3); None where there is none.

        Of a force, what another reading would show; of anything else, how near the true value it is.
        """
        u = self.repeat if kind == "force" else self.u
        return None if u is None else 2 * u

    @property
    def spread(self) -> float:
        """What another reading this week would show; 0 where there is none."""
        return self.repeat or 0.0

    @property
    def doubt(self) -> float:
        """How near the true value it is, all in all; 0 where there is none."""
        return self.u or 0.0


class SailFindings(Struct, frozen=True):
    """The sail as drawn: its size, its mean chord, and the mass it carries."""

    area_m2: float | None = None
    width_m: float | None = None
    height_m: float | None = None
    mean_chord_m: float | None = None
    loading_kg_m2: float | None = None


class Stiffness(Struct, frozen=True):
    """One half, or the whole bow: flexural rigidity, and the press reading as the scale said it."""

    EI_Nm2: Measured | None = None
    press_N: Measured | None = None


class HandFindings(Struct, frozen=True):
    """How the maker's fingers hold a bow, where a hold is not written: like a constant factor, or like a spring.

    `u` is the relative standard uncertainty of a stiffness measured with them; `bows` how many bows say so.
    """

    kind: Literal["K", "spring"] = "K"
    factor: float | None = 0.93
    spring_Nm_rad: float | None = None
    u: float = 0.09
    bows: int = 0


class BowFindings(Struct, frozen=True):
    """Either half and the whole of the bow, and the modulus its readings give its rod."""

    left: Stiffness = Stiffness()
    right: Stiffness = Stiffness()
    whole: Stiffness = Stiffness()
    mean_EI_Nm2: Measured | None = None  # of both halves
    hand: HandFindings = HandFindings()  # that held them, where no hold is written
    material: str | None = None  # of the rod
    hold_factor: float | None = None
    modulus_Pa: Measured | None = None  # of the rod, from the bare readings and the section


class RoundBalance(Struct, frozen=True):
    """One bench round: its readings as the scale said them (None for sag and droop), difference, verdict."""

    on: str | None
    difference: Measured | None
    verdict: Verdict | None
    left_N: Measured | None = None
    right_N: Measured | None = None
    whole_N: Measured | None = None


class Balance(Struct, frozen=True):
    """How even the halves are, by the last round, and what every round said."""

    difference: Measured | None = None  # (left − right) / mean; `repeat` holds the centre mark too
    expanded: float | None = None  # 95 % half width of the difference
    tolerance: float = 0.03
    verdict: Verdict | None = None
    more_readings: int | None = None  # per side, that very likely settle a close call; None where none are promised
    rounds: tuple[RoundBalance, ...] = ()
    bound: float | None = None  # how far apart the halves are at most
    settles_by_12: float | None = None  # of 1, in tenths: how likely twelve more a side settle a close call


class ShaveOption(Struct, frozen=True):
    """Bringing the stiffer half down over one zone. Thicknesses are what to take off, m."""

    zone: str
    thickness_m: float | None
    feasible: bool
    press_after_N: float | None
    asymmetry: float | None  # of the strung bow after that cut: deepest point off the middle over half the span
    first_step_m: float | None = None  # 60 % of the thickness: take this, then measure again
    strokes: int | None = None  # the next count, for the first step, as logged strokes teach
    reason: str | None = None  # why not feasible
    dimension: Literal["thickness", "diameter"] = "thickness"  # what thickness_m is taken off of
    slopes_apart_rad: float | None = None  # left tip steeper than the right by so much, after that cut
    width_m: float | None = None  # off the width in place of the thickness, of a flat rod


class CardRow(Struct, frozen=True):
    """One line of the shaving card: a difference on the scale and what to take off for it (None: too much)."""

    difference: float
    whole_half_m: float | None
    middle_third_m: float | None


class StiffStretch(Struct, frozen=True):
    """A stretch of a half that is stiffer than its other places by a part of them; m from the centre mark."""

    side: Side
    start_m: float
    end_m: float
    above: float


class Shaving(Struct, frozen=True):
    """Which half to shave and where, and the card to shave by."""

    side: Side | None = None  # the half to shave, or None
    options: tuple[ShaveOption, ...] | None = None
    card: tuple[CardRow, ...] = ()  # for any kite whose section is known
    dimension: Literal["thickness", "diameter"] = "thickness"
    stretch: StiffStretch | None = None  # of the half to shave, where sags at several places found one


class Shape(Struct, frozen=True):
    """The strung bow. The curve runs left tip to right tip, x along the span from the left tip, y the depth; m."""

    thrust_N: float | None = None
    thrust_u_N: float | None = None  # how near the true value; lengths cancel in it
    tension: Measured | None = None  # the thrust, N, by the whole press where there is one, else by the halves
    rise_m: float | None = None
    tip_slope_left_rad: float | None = None
    tip_slope_right_rad: float | None = None
    deepest_offset_m: float | None = None  # from mid-span, positive to the right
    strain: float | None = None
    strain_limit: float | None = None
    curve: tuple[tuple[float, float], ...] = ()
    even_curve: tuple[tuple[float, float], ...] = ()  # of a bow of this length and span that bends alike everywhere
