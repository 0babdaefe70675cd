"""Whether something goes with something else over kites: a line, or a bow, where there is one to be sure of."""

from __future__ import annotations

from collections.abc import Sequence
from math import exp, log, sqrt

import numpy as np
from msgspec import Struct

from bowbook.mechanics.limits import positive
from bowbook.mechanics.student import t_quantile

FEWEST_KITES = 6


class Trend(Struct, frozen=True):
    """y = Σ bₖ uᵏ with u = ln(x / middle), by least squares.

    Attributes
    ----------
    coefficients : b₀, b₁ and, of a bowed line, b₂
    middle : geometric mean of x
    s : standard deviation about the line
    degrees : of freedom of s
    unit : (XᵀX)⁻¹, the covariance of the coefficients over s²
    """

    coefficients: tuple[float, ...]
    middle: float
    s: float
    degrees: int
    unit: tuple[tuple[float, ...], ...]

    def at(self, x: float) -> float:
        """The line's height at x > 0."""
        return float(np.dot(self.coefficients, self._powers(x)))

    def half_width(self, x: float) -> float:
        """Half the 95 % interval of the line's height at x > 0."""
        powers = self._powers(x)
        return t_quantile(0.975, self.degrees) * self.s * sqrt(float(powers @ np.asarray(self.unit) @ powers))

    @property
    def turns_at(self) -> float | None:
        """Where a bowed line is highest or lowest; None for a straight one."""
        if len(self.coefficients) < 3:
            return None
        return self.middle * exp(-self.coefficients[1] / (2 * self.coefficients[2]))

    @property
    def sure(self) -> bool:
        """Whether the 95 % interval of the highest coefficient leaves out zero."""
        half = t_quantile(0.975, self.degrees) * self.s * sqrt(self.unit[-1][-1])
        return abs(self.coefficients[-1]) > half

    def _powers(self, x: float) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
        return np.array([log(x / self.middle) ** k for k in range(len(self.coefficients))])


def trend(points: Sequence[tuple[float, float]]) -> Trend | None:
    """How y goes with ln x: bowed if that is sure, else straight if that is sure, else None.

    Parameters
    ----------
    points : (x, y) in any unit, x > 0

    Returns
    -------
    The line, or None where there are fewer than six points, where x hardly differs, or where nothing is sure.

    Raises
    ------
    ValueError : an x is not positive.

    Source: ordinary least squares, Student's t (any textbook of regression); a term stands where its 95 % interval
    leaves out zero.

    >>> found = trend([(1, 1), (2, 2), (4, 3), (8, 4), (16, 5), (32, 6.1)])
    >>> round(found.at(4), 1), found.turns_at
    (3.0, None)
    """
    for x, _ in points:
        positive("what it goes with", x, "")
    if len(points) < FEWEST_KITES or max(x for x, _ in points) < 1.01 * min(x for x, _ in points):
        return None
    return next((found for found in (_fit(points, 2), _fit(points, 1)) if found and found.sure), None)


def _fit(points: Sequence[tuple[float, float]], power: int) -> Trend | None:
    logs = np.log([x for x, _ in points])
    y = np.array([value for _, value in points])
    middle = float(logs.mean())
    X = np.vander(logs - middle, power + 1, increasing=True)
    degrees = len(points) - power - 1
    if degrees < 1 or np.ptp(y) == 0 or np.linalg.matrix_rank(X) <= power:
        return None
    unit = np.linalg.inv(X.T @ X)
    coefficients = unit @ X.T @ y
    s = sqrt(float(((y - X @ coefficients) ** 2).sum()) / degrees)
    return Trend(
        tuple(map(float, coefficients)), exp(middle), s, degrees, tuple(tuple(map(float, row)) for row in unit)
    )
