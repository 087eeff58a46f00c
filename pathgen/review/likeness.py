"""How like two pictures of letters are.

Pictures have 24 pixels a capital height. Letters are told apart by their coarse shape, about three
cycles across a letter (Solomon and Pelli, Nature 369, 1994; from memory), so finer detail is
smoothed away first, down to 12 pixels. Likeness is the correlation coefficient of Pearson, the
best that is found when one picture is shifted by two pixels, or not, each way.
"""

from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from pathgen.review.raster import Window

__all__ = ["CAPITAL_PX", "WINDOW", "likeness", "smoothed", "standard", "window_for"]

CAPITAL_PX = 24
"""Pixels a capital height."""

WINDOW = Window(x=-22, y=-11, width=44, height=46)
"""What is pictured of most letters, from the middle of the letter on its baseline."""

# Standard deviation of the smoothing: half of the contrast is left at 3.6 cycles a capital height.
_SMOOTH_PX = 1.25


def window_for(left_px: float, foot_px: float, top_px: float) -> Window:
    """Window that holds a letter which reaches so far from the middle of its baseline.

    The usual one, or one so many times larger: likeness depends on the window, if a little.
    """
    for times in range(1, 100):
        x, y, width, height = (times * value for value in WINDOW)
        if left_px > x and foot_px > y and top_px < y + height:
            break
    return Window(x, y, width, height)


def smoothed(pictures: NDArray[np.float64]) -> NDArray[np.float64]:
    """Pictures (..., H, W) without their fine detail, as (..., H / 2, W / 2): two pixels in one."""
    high, wide = pictures.shape[-2:]
    out: NDArray[np.float64] = _smoother(high) @ pictures @ _smoother(wide).T
    return out


@lru_cache(maxsize=16)
def _smoother(size: int) -> NDArray[np.float64]:
    """Matrix (size / 2, size) that smooths by a bell curve; what leaves the picture is lost."""
    apart = np.arange(size)[:, None] - np.arange(size)
    bell = np.exp(-0.5 * (apart / _SMOOTH_PX) ** 2)
    bell /= bell[size // 2].sum()
    return (bell[::2] + bell[1::2]) / 2.0


def standard(pictures: NDArray[np.float64]) -> NDArray[np.float64]:
    """Pictures (N, H, W) as rows (N, H * W) with mean 0 and length 1; an even one becomes 0."""
    rows = pictures.reshape(len(pictures), -1)
    rows = rows - rows.mean(axis=1)[:, None]
    size = np.sqrt((rows * rows).sum(axis=1))[:, None]
    return np.divide(rows, size, out=np.zeros_like(rows), where=size > 0.0)


def likeness(picture: NDArray[np.float64], others: NDArray[np.float64]) -> NDArray[np.float64]:
    """Best correlation of a picture, shifted or not, with each of M others.

    Parameters
    ----------
    picture : (H, W) float
        Smoothed; shifted by one of its pixels or not, each way; what leaves it is lost.
    others : (M, H * W) float
        Smoothed, and as `standard` makes them.

    Returns
    -------
    (M,) float
        From -1 to 1; 0 where one is even.
    """
    around = np.pad(picture, 1)
    shifted = np.lib.stride_tricks.sliding_window_view(around, picture.shape)
    rows = standard(shifted.reshape(-1, *picture.shape))
    return np.asarray((rows @ others.T).max(axis=0))
