"""Where letters begin to be read: a logistic curve through read and not read.

The curve is fitted by Newton steps on Firth's penalised likelihood, which has less bias in small
tables than the plain one and stays finite where read and not read do not overlap at all: D. Firth,
"Bias reduction of maximum likelihood estimates", Biometrika 80 (1993); G. Heinze and M. Schemper,
"A solution to the problem of separation in logistic regression", Statistics in Medicine 21 (2002).
"""

import math
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

__all__ = ["Curve", "curve_through"]

Floats = NDArray[np.float64]

MOST_STEPS = 500
NEAR_ENOUGH = 1e-8


class Curve(NamedTuple):
    """Chance of being read, ``1 / (1 + exp(-steepness (x - middle)))``.

    Attributes
    ----------
    at, steepness : float
        Intercept at x = 0 and slope, on the scale of log odds.
    covariance : (2, 2) float
        Of the two.
    """

    at: float
    steepness: float
    covariance: Floats

    def place(self, chance: float) -> float:
        """Place at which letters are read with this chance."""
        return (_odds(chance) - self.at) / self.steepness

    def error(self, chance: float) -> float:
        """Standard error of `place`, to first order."""
        slope = np.array([-1.0, -self.place(chance)]) / self.steepness
        return math.sqrt(max(0.0, float(slope @ self.covariance @ slope)))


def curve_through(x: Floats, read: NDArray[np.bool_]) -> Curve:
    """Logistic curve of being read over x.

    Parameters
    ----------
    x : (N,) float
        At least two different values.
    read : (N,) bool
        What came of each.

    Raises
    ------
    ValueError
        If x does not vary, or the steps find no end.
    """
    if len(x) < 3 or np.ptp(x) <= 0.0:
        msg = "a curve needs three letters at two places"
        raise ValueError(msg)
    # Steps are taken on x about its mean, by its spread: the same curve, better conditioned.
    mean, spread = float(x.mean()), float(x.std())
    design = np.column_stack([np.ones(len(x)), (x - mean) / spread])
    wanted = read.astype(np.float64)
    values = np.zeros(2)
    best = _penalised(design, wanted, values)
    for _ in range(MOST_STEPS):
        chance = _chance(design @ values)
        weight = chance * (1.0 - chance)
        information = (design * weight[:, None]).T @ design
        inverse = np.linalg.inv(information)
        hat = weight * ((design @ inverse) * design).sum(axis=1)
        step = inverse @ (design.T @ (wanted - chance + hat * (0.5 - chance)))
        while (better := _penalised(design, wanted, values + step)) < best - 1e-12:
            step /= 2.0
        values, best = values + step, better
        if float(np.abs(step).max()) < NEAR_ENOUGH:
            turn = np.array([[1.0, -mean / spread], [0.0, 1.0 / spread]])
            at, steep = turn @ values
            return Curve(float(at), float(steep), turn @ inverse @ turn.T)
    msg = "the curve finds no end"
    raise ValueError(msg)


def _penalised(design: Floats, wanted: Floats, values: Floats) -> float:
    """Log likelihood plus half the log of the information's determinant."""
    height = design @ values
    likely = float((wanted * height - np.logaddexp(0.0, height)).sum())
    chance = _chance(height)
    information = (design * (chance * (1.0 - chance))[:, None]).T @ design
    sign, size = np.linalg.slogdet(information)
    return likely + 0.5 * float(size) if sign > 0 else -math.inf


def _chance(height: Floats) -> Floats:
    """Logistic function, without overflow."""
    out: Floats = np.exp(-np.logaddexp(0.0, -height))
    return out


def _odds(chance: float) -> float:
    return math.log(chance / (1.0 - chance))
