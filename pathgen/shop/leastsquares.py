"""Straight fits with their standard errors, and what does not fit.

Ordinary least squares. A measurement that its fit cannot explain is found by its studentized
residual (the residual by the spread of all the others): the largest is set aside where it would
be met by chance in fewer than one table in a hundred (Bonferroni), then all are fitted anew.
"""

import math
from collections.abc import Sequence
from statistics import NormalDist
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

__all__ = ["Straight", "fitted", "normal_quantile", "outlying", "t_quantile"]

Floats = NDArray[np.float64]

CHANCE = 0.01
"""Chance at which a good table has a measurement set aside."""

MOST_ASIDE = 0.2
"""Largest share of a table that is set aside; beyond it the table, not a cell, is at fault."""


class Straight(NamedTuple):
    """A fit of ``wanted = design @ values``.

    Attributes
    ----------
    values : (K,) float
        Fitted values, one a column of the design.
    covariance : (K, K) float
        Of the values; standard errors are the roots of its diagonal.
    residuals : (N,) float
        Measured less fitted.
    spread : float
        Standard deviation of one measurement.
    spare : int
        Degrees of freedom: measurements less values.
    """

    values: Floats
    covariance: Floats
    residuals: Floats
    spread: float
    spare: int

    def error(self, *weights: float) -> float:
        """Standard error of a weighted sum of the values."""
        w = np.array(weights)
        return math.sqrt(max(0.0, float(w @ self.covariance @ w)))


def fitted(design: Floats, wanted: Floats) -> Straight:
    """Least-squares fit.

    Parameters
    ----------
    design : (N, K) float
        Rows of the design, N above K, of full rank.
    wanted : (N,) float
        Measurements.

    Raises
    ------
    ValueError
        If there are too few rows, or the columns do not stand apart.
    """
    rows, columns = design.shape
    if rows <= columns or np.linalg.matrix_rank(design) < columns:
        msg = f"{rows} rows cannot tell {columns} values apart"
        raise ValueError(msg)
    q, r = np.linalg.qr(design)
    values = np.linalg.solve(r, q.T @ wanted)
    residuals = wanted - design @ values
    spare = rows - columns
    variance = float(residuals @ residuals) / spare
    inverse = np.linalg.inv(r)
    return Straight(values, variance * (inverse @ inverse.T), residuals, math.sqrt(variance), spare)


def outlying(design: Floats, wanted: Floats, chance: float = CHANCE) -> NDArray[np.intp]:
    """Rows that the fit of the others cannot explain, the farthest first.

    Parameters
    ----------
    design, wanted : as in `fitted`
    chance : float
        Chance that a table without any fault has such a row.
    """
    keep = np.arange(len(wanted))
    aside: list[int] = []
    while len(aside) < MOST_ASIDE * len(wanted) and len(keep) > design.shape[1] + 2:
        q, _ = np.linalg.qr(design[keep])
        fit = fitted(design[keep], wanted[keep])
        free = np.maximum(1.0 - (q**2).sum(axis=1), 1e-12)
        scaled = np.abs(fit.residuals) / np.sqrt(free)
        worst = int(scaled.argmax())
        others = fit.spread**2 * fit.spare - scaled[worst] ** 2
        limit = t_quantile(1.0 - chance / (2.0 * len(keep)), fit.spare - 1)
        if scaled[worst] <= limit * math.sqrt(max(others, 0.0) / (fit.spare - 1)) + 1e-12:
            break
        aside.append(int(keep[worst]))
        keep = np.delete(keep, worst)
    return np.array(aside, dtype=np.intp)


def t_quantile(share: float, spare: int) -> float:
    """Quantile of Student's t: the value that a share of all draws stays below.

    Expansion about the normal quantile (Abramowitz and Stegun, Handbook of Mathematical
    Functions, 26.7.5); from 5 degrees of freedom on within 0.1 % at 0.975.
    """
    z = normal_quantile(share)
    terms: Sequence[tuple[Sequence[float], float]] = (
        ((1, 1), 4.0),
        ((5, 16, 3), 96.0),
        ((3, 19, 17, -15), 384.0),
        ((79, 776, 1482, -1920, -945), 92160.0),
    )
    total = z
    for order, (factors, divisor) in enumerate(terms, 1):
        powers = range(2 * order + 1, 0, -2)
        part = sum(f * z**p for f, p in zip(factors, powers, strict=True))
        total += part / divisor / spare**order
    return total


def normal_quantile(share: float) -> float:
    """Value that a share of all normal draws stays below."""
    return NormalDist().inv_cdf(share)
