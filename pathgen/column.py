"""A stroke of a letter: two rails, and what is measured along them."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import accumulate, pairwise
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from pathgen.geometry import Lines, Points, along, along_each, middle, placed

__all__ = ["CentreLine", "CentreLines", "Column", "columns_placed", "frozen_points"]


def frozen_points(name: str, points: Points) -> Points:
    """Read-only (N, 2) float64 copy of ``points``.

    Raises
    ------
    ValueError
        If the shape is not (N, 2) or a coordinate is not finite.
    """
    copy = np.array(points, dtype=np.float64)
    if copy.ndim != 2 or copy.shape[1] != 2:
        msg = f"{name} has shape {copy.shape}; must be (N, 2)"
        raise ValueError(msg)
    if not np.isfinite(copy).all():
        msg = f"{name} has a coordinate that is not finite"
        raise ValueError(msg)
    return _locked(copy)


def _locked(values: NDArray[np.float64]) -> NDArray[np.float64]:
    """The same array, read-only."""
    values.flags.writeable = False
    return values


@dataclass(frozen=True, kw_only=True, eq=False)
class Column:
    """One stroke of a letter as two rails, paired point by point.

    Attributes
    ----------
    left, right : (N, 2) float
        Rails seen in sewing direction, N at least 2; rung i joins ``left[i]`` to
        ``right[i]``. Unit: that of the polygon that was split, or mm inside a `Letter`.
    closed : bool
        A ring, such as the letter O: the last rung is the first one again.
    """

    left: Points
    right: Points
    closed: bool = False

    def __post_init__(self) -> None:
        """Check the shapes and take read-only copies."""
        for name in ("left", "right"):
            object.__setattr__(self, name, frozen_points(name, getattr(self, name)))
        if len(self.left) != len(self.right) or len(self.left) < 2:
            msg = (
                f"rails must pair up and have two points at least: left has "
                f"{len(self.left)}, right has {len(self.right)}"
            )
            raise ValueError(msg)

    @cached_property
    def centre(self) -> Points:
        """Middle of each rung, (N, 2), read-only."""
        return _locked((self.left + self.right) / 2.0)

    @cached_property
    def where(self) -> NDArray[np.float64]:
        """How far along the centre line each rung is, (N,), read-only."""
        return _locked(along(self.centre))

    @cached_property
    def widths(self) -> NDArray[np.float64]:
        """Length of each rung, (N,), read-only."""
        across = self.left - self.right
        return _locked(np.hypot(across[:, 0], across[:, 1]))

    @cached_property
    def usual_width(self) -> float:
        """Width that half of the rungs do not exceed."""
        return middle(self.widths)

    @cached_property
    def mean_width(self) -> float:
        """Mean along the centre line; that of the rungs where it has no length."""
        total, widths = float(self.where[-1]), self.widths
        if total <= 0.0:
            return float(widths.mean())
        return float((widths[1:] + widths[:-1]) @ np.diff(self.where)) / (2.0 * total)


class CentreLine(NamedTuple):
    """Centre line of a column, as `Column` tells of it: for a ring begun at another rung."""

    centre: Points
    where: NDArray[np.float64]
    usual_width: float


def _rails(columns: Sequence[Column]) -> list[Points]:
    """Left rails of all columns, one after the other, and right rails."""
    return [np.concatenate([getattr(c, side) for c in columns]) for side in ("left", "right")]


def columns_placed(
    columns: Sequence[Column], scale: float, turn_rad: float, x: float, y: float
) -> Iterator[Column]:
    """Columns scaled, turned counter-clockwise about the origin, then moved.

    They are measured together: most have too few points for arrays to pay.
    """
    if not columns:
        return
    left, right = (placed(rail, scale, turn_rad, x, y) for rail in _rails(columns))
    centre, across = (left + right) / 2.0, left - right
    widths = np.hypot(across[:, 0], across[:, 1])
    sizes = [len(column.left) for column in columns]
    spans = [slice(*span) for span in pairwise(accumulate(sizes, initial=0))]
    for column, span, where in zip(columns, spans, along_each(centre, sizes), strict=True):
        out = Column(left=left[span], right=right[span], closed=column.closed)
        vars(out).update(
            centre=_locked(centre[span]),
            where=_locked(where),
            widths=_locked(widths[span]),
            usual_width=middle(widths[span]),
        )
        yield out


class CentreLines(Lines):
    """Centre lines of several columns, at least one; ``columns``."""

    def __init__(self, columns: Sequence[Column]) -> None:
        self.columns = columns
        super().__init__(
            np.concatenate([column.centre for column in columns]),
            [column.where for column in columns],
        )

    @cached_property
    def rails(self) -> NDArray[np.float64]:
        """Left and right rails of all columns, (N, 4), for `between`."""
        return np.hstack(_rails(self.columns))
