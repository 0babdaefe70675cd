"""Findings written by hand, for tests of what pages say: no mechanics stands behind their numbers."""

from __future__ import annotations

from msgspec.structs import replace

from bowbook.book.records import Bow, Kite, Press, Round, Stage
from bowbook.book.sail import Sail
from bowbook.findings.bench_results import Balance, BowFindings, Measured, ShaveOption, Shaving, Stiffness, Verdict
from bowbook.findings.results import Findings, FlyerFindings, Predicted, Range, SkinFindings, WindFindings

GRAM_N = 0.00980665
MPH = 0.44704


def kite(name: str = "Knot", stage: Stage | None = "flying") -> Findings:
    """A kite with a name and nothing else."""
    return Findings(Kite(name.lower().replace(" ", "-"), name, stage=stage))


def half(grams: float, u: float = 1.0, EI: float = 0.02) -> Stiffness:
    """A half as pressed, with its stiffness."""
    return Stiffness(Measured(EI, EI * u / grams, EI * u / grams), Measured(grams * GRAM_N, u * GRAM_N, u * GRAM_N))


def pressed(found: Findings, left: float | None = 214, right: float | None = 200) -> Findings:
    """The kite with one or both halves read, in grams."""
    bench = (
        Round(
            left=Press((left * GRAM_N,)) if left else None,
            right=Press((right * GRAM_N,)) if right else None,
        ),
    )
    bow = BowFindings(left=half(left) if left else Stiffness(), right=half(right) if right else Stiffness())
    return replace(found, kite=replace(found.kite, bench=bench), bow=bow)


def judged(found: Findings, verdict: Verdict, difference: float, expanded: float, more: int | None = None) -> Findings:
    """The kite with both halves read and a verdict on them."""
    balance = Balance(
        Measured(difference, expanded / 4.303), expanded, 0.03, verdict, more, bound=abs(difference) + expanded
    )
    return replace(pressed(found), balance=balance)


def option(zone: str, first_step_m: float = 0.00004, **more: object) -> ShaveOption:
    """A stretch that can be shaved."""
    plain = ShaveOption(zone, first_step_m / 0.6, True, 2.0, 0.01, first_step_m)
    return replace(plain, **more)  # type: ignore[arg-type]


def to_shave(found: Findings, *options: ShaveOption) -> Findings:
    """The kite with the stiffer half's stretches."""
    return replace(found, shave=Shaving("left", options))


def liked(
    found: Findings, low_mph: float, high_mph: float, flyer: str = "MK", flown: bool = True, kites: int = 6
) -> Findings:
    """The kite with a range that a flyer liked, or is predicted to."""
    span = Range(low_mph * MPH, high_mph * MPH)
    guess = Predicted(span.low, span.high, kites)
    wind = WindFindings(
        flex_m_s=Measured(span.low * 1.4, 0.02, 0.02),
        flown={flyer: span} if flown else {},
        predicted={} if flown else {flyer: guess},
        bands=("light breeze",),
        basis="flown" if flown else "predicted",
        range=span,
        flyer=flyer,
    )
    return replace(found, wind=wind)


def skinned(found: Findings, how: str | None = "covered") -> Findings:
    """The kite with its whole stiffness and what the skin gives of it."""
    skin = SkinFindings(Measured(0.005, 0.0002, 0.0002), 0.2, how)  # type: ignore[arg-type]
    return replace(found, skin=skin, total=Measured(0.025, 0.0003, 0.0003))


def outlined(found: Findings, half_width_m: float = 0.3, height_m: float = 0.5) -> Findings:
    """The kite with a diamond for a sail."""
    sail = Sail(outline=((0.0, 0.0), (half_width_m, height_m * 0.35), (0.0, height_m)))
    return replace(found, kite=replace(found.kite, sail=sail, bow=Bow(length_m=0.64, span_m=0.6, crosses_m=0.1)))


def flyer(kites: int, name: str = "MK") -> FlyerFindings:
    """A flyer with records of that many kites."""
    return FlyerFindings(name, kites, kites)
