"""How much one reading scatters: repeats pooled over the book into a fixed and a proportional part."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from math import exp, floor, fsum, log, log10, sqrt

from msgspec import Struct

from bowbook.mechanics.limits import positive

ASSUMED = 0.02  # relative scatter before there are repeats: common practice, no source
ASSUMED_DEGREES = 3
ASSUMED_SESSION = 0.01  # relative scatter between two days before any half was read twice
_PASSES = 25


class RepeatSet(Struct, frozen=True):
    """One reading repeated: its mean and sample variance, in a unit and its square, and degrees of freedom."""

    mean: float
    variance: float
    degrees: int


class Scatter(Struct, frozen=True):
    """The scatter of one reading: variance fixed² + relative² · reading², between the least and greatest repeated.

    `fixed` is in the unit of the readings; `degrees` of freedom belong to both parts; `least` and `greatest` are the
    smallest and largest readings that were repeated, None where none was.
    """

    fixed: float = 0.0
    relative: float = ASSUMED
    degrees: int = ASSUMED_DEGREES
    least: float | None = None
    greatest: float | None = None

    def of(self, reading: float) -> float:
        """The standard deviation of one reading of that size, in the unit of the readings.

        Below the least reading that was repeated the variance stays what it is there; above the greatest it grows
        in proportion.

        >>> Scatter(1.0, 0.01, 20, 100.0, 300.0).of(200.0)
        2.236068
        >>> Scatter(1.0, 0.01, 20, 100.0, 300.0).of(600.0) / Scatter(1.0, 0.01, 20, 100.0, 300.0).of(300.0)
        2.0
        """
        if self.least is None or self.greatest is None:
            return sqrt(self.fixed**2 + (self.relative * reading) ** 2)
        nearest = min(max(reading, self.least), self.greatest)
        s = sqrt(self.fixed**2 + (self.relative * nearest) ** 2)
        return s * reading / self.greatest if reading > self.greatest else s


def repeat_set(values: Sequence[float]) -> RepeatSet | None:
    """The mean and variance of one reading's repeats.

    Parameters
    ----------
    values : repeats, any unit, > 0

    Returns
    -------
    The set; None from fewer than two repeats, which say nothing of scatter.

    Raises
    ------
    ValueError : a reading is not positive.

    >>> repeat_set((212, 215, 214))
    RepeatSet(mean=213.666667, variance=2.333333, degrees=2)
    """
    for value in values:
        positive("a reading", value, "")
    n = len(values)
    if n < 2:
        return None
    mean = fsum(values) / n
    return RepeatSet(mean, fsum((value - mean) ** 2 for value in values) / (n - 1), n - 1)


def fit_scatter(sets: Iterable[RepeatSet]) -> Scatter:
    """The scatter of one reading, pooled over every set of repeats.

    Parameters
    ----------
    sets : repeats of readings of one kind, in any unit that is the same for all

    Returns
    -------
    Its fixed and proportional part, rounded to two significant digits, and 3 + Σν degrees of freedom. One more
    set stands for what is assumed before there are repeats: 2 % with 3 degrees at the mean reading. Without any
    repeats that assumption is all.

    Source: weights ν = n − 1 as IUPAC Gold Book P04758 and JCGM 100:2008, 4.2.4; variance = a² + b² m² by least
    squares with weights ν/(a² + b² m²)² of the pass before; rounding as JCGM 100:2008, 7.2.6. Where all sets are of
    one size, which part the scatter is cannot be seen, and it is taken as proportional.

    >>> fit_scatter([RepeatSet(100.0, 4.0, 40), RepeatSet(400.0, 19.0, 40)])
    Scatter(fixed=1.8, relative=0.01, degrees=83, least=100.0, greatest=400.0)
    """
    given = list(sets)
    if not given:
        return Scatter()
    total = sum(one.degrees for one in given)
    middle = exp(fsum(one.degrees * log(one.mean) for one in given) / total)
    # in units of the middle reading, so that nothing hangs on the unit
    scaled = [(one.mean / middle, one.variance / middle**2, one.degrees) for one in given]
    scaled.append((1.0, ASSUMED**2, ASSUMED_DEGREES))
    slope = fsum(nu * v / m**2 for m, v, nu in scaled) / (total + ASSUMED_DEGREES)
    base = 0.1 * slope
    for _ in range(_PASSES):
        base, slope = _one_pass(scaled, base, slope)
    means = [one.mean for one in given]
    return Scatter(
        two_digits(sqrt(base) * middle),
        two_digits(sqrt(slope)),
        total + ASSUMED_DEGREES,
        min(means),
        max(means),
    )


def _one_pass(sets: Sequence[tuple[float, float, int]], base: float, slope: float) -> tuple[float, float]:
    """a² and b² by least squares with the weights that the last a² and b² give."""
    weighted = [(nu / (base + slope * m * m) ** 2, m * m, v) for m, v, nu in sets]
    w = fsum(a for a, _, _ in weighted)
    wx = fsum(a * x for a, x, _ in weighted)
    wxx = fsum(a * x * x for a, x, _ in weighted)
    wv = fsum(a * v for a, _, v in weighted)
    wxv = fsum(a * x * v for a, x, v in weighted)
    spread = w * wxx - wx * wx
    if spread <= 1e-9 * w * wxx:
        return 0.0, wxv / wxx
    base, slope = (wv * wxx - wx * wxv) / spread, (w * wxv - wx * wv) / spread
    if base < 0:
        return 0.0, wxv / wxx
    return (wv / w, 0.0) if slope < 0 else (base, slope)


def two_digits(value: float) -> float:
    """A figure rounded to two significant digits: what is pooled over a book then moves only now and then.

    >>> two_digits(0.012496), two_digits(0.0)
    (0.012, 0.0)
    """
    return significant(value, 2)


def significant(value: float, digits: int) -> float:
    """A figure rounded to so many significant digits.

    >>> significant(0.84963, 3), significant(0.0, 3)
    (0.85, 0.0)
    """
    if value == 0:
        return 0.0
    return round(value, digits - 1 - floor(log10(abs(value))))


def degrees_in_use(degrees: int) -> int:
    """Degrees of freedom as figures use them: below 100 as counted, from there on down to one significant digit.

    Fewer degrees than there are make every quantile of Student's t a little larger, by 1 % at most, so that no figure
    claims more than its readings say; one more reading then hardly ever moves them.

    Source: JCGM 100:2008, G.4.1, which truncates degrees to the next smaller that a table has.

    >>> degrees_in_use(99), degrees_in_use(559), degrees_in_use(8123)
    (99, 500, 8000)
    """
    if degrees < 100:
        return degrees
    step: int = 10 ** (len(str(degrees)) - 1)
    return degrees - degrees % step


def step_uncertainty(step: float, s: float) -> float:
    """What a scale's or ruler's step leaves open of a mean, however many readings it is of.

    Parameters
    ----------
    step : of the scale or ruler, any unit, ≥ 0
    s : standard deviation of one reading, in the same unit, ≥ 0

    Returns
    -------
    step/√12 · max(0, 1 − 6 s²/step²): all of it where repeats show one figure, nothing where they scatter over it.

    Source: JCGM 100:2008, F.2.2.1, for the step alone.

    >>> step_uncertainty(1.0, 0.0), step_uncertainty(1.0, 0.2), step_uncertainty(1.0, 1.0)
    (0.2886751, 0.2193931, 0.0)
    """
    if step <= 0:
        return 0.0
    return float(step / sqrt(12) * max(0.0, 1 - 6 * (s / step) ** 2))


class MeanReading(Struct, frozen=True):
    """The mean of some repeats, and how sure it is: by their scatter, and by the step of the scale; all in one unit."""

    mean: float
    scatter: float
    step: float


def mean_reading(values: Sequence[float], scatter: Scatter, step: float) -> MeanReading:
    """The mean of some repeats, with its standard uncertainties.

    Parameters
    ----------
    values : repeats, any unit, > 0, one at least
    scatter : of one reading, in the same unit
    step : of the scale or ruler, in the same unit, ≥ 0

    Returns
    -------
    The mean, s/√n, and what the step leaves open.

    Raises
    ------
    ValueError : no values, or one that is not positive.

    Source: JCGM 100:2008, 4.2.4 for a pooled scatter, F.2.2.1 for the step.

    >>> mean_reading((214.0, 213.0, 215.0), Scatter(0.0, 0.006, 20, 100.0, 300.0), 1.0)
    MeanReading(mean=214.0, scatter=0.7413177, step=0.0)
    """
    if not values:
        raise ValueError("a reading has no values; it must have one at least")
    for value in values:
        positive("a reading", value, "")
    mean = fsum(values) / len(values)
    s = scatter.of(mean)
    return MeanReading(mean, s / sqrt(len(values)), step_uncertainty(step, s))


class RereadChange(Struct, frozen=True):
    """How far one half's reading moved between two rounds with nothing done to it: relative, as are both `u`."""

    change: float
    u_before: float
    u_after: float


class SessionScatter(Struct, frozen=True):
    """The relative scatter between two days, beyond that of the readings, and its degrees of freedom."""

    relative: float = ASSUMED_SESSION
    degrees: int = ASSUMED_DEGREES


def session_scatter_without(days: SessionScatter, changes: Iterable[RereadChange]) -> SessionScatter:
    """The scatter between days as it is without some of the changes that it was worked out from.

    Parameters
    ----------
    days : from `session_scatter` of all changes; no unit
    changes : those to leave out; no unit

    Returns
    -------
    The scatter of the others; the assumption before any half was read twice where no other is left.

    >>> both = session_scatter([RereadChange(0.03, 0.005, 0.005), RereadChange(-0.02, 0.005, 0.005)])
    >>> session_scatter_without(both, [RereadChange(0.03, 0.005, 0.005), RereadChange(-0.02, 0.005, 0.005)])
    SessionScatter(relative=0.01, degrees=3)
    """
    left_out = list(changes)
    own = fsum(c.change**2 - c.u_before**2 - c.u_after**2 for c in left_out) / 2
    degrees = max(ASSUMED_DEGREES, days.degrees - len(left_out))
    if degrees == ASSUMED_DEGREES:
        return SessionScatter()
    return SessionScatter(sqrt(max(0.0, (days.degrees * days.relative**2 - own) / degrees)), degrees)


def session_scatter(changes: Iterable[RereadChange]) -> SessionScatter:
    """How much a reading differs between days for reasons that repeats on one day do not show.

    Parameters
    ----------
    changes : of halves that were not shaved between two rounds; no unit

    Returns
    -------
    s with s² = max(0, (3 · 0.01² + Σ(Δ² − u₁² − u₂²)/2)/(3 + k)), and 3 + k degrees, k being the number of changes.

    >>> session_scatter([])
    SessionScatter(relative=0.01, degrees=3)
    >>> session_scatter([RereadChange(0.03, 0.005, 0.005), RereadChange(-0.02, 0.005, 0.005)])
    SessionScatter(relative=0.0134164, degrees=5)
    """
    given = list(changes)
    own = fsum(c.change**2 - c.u_before**2 - c.u_after**2 for c in given) / 2
    degrees = ASSUMED_DEGREES + len(given)
    return SessionScatter(sqrt(max(0.0, (ASSUMED_DEGREES * ASSUMED_SESSION**2 + own) / degrees)), degrees)
