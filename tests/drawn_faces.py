"""The bundled faces as they were laid out, for the tests to hold the built fonts against."""

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from types import MappingProxyType
from typing import Any

FONTS = Path(__file__).parent.parent / "fonts"


@dataclass(frozen=True)
class DrawnFace:
    """A face's layout, font units.

    Attributes
    ----------
    name : str
        Stem of its files.
    stroke, cap, x : int
        Stroke width, cap height and x-height.
    proportions : tuple
        Least and most of stroke over cap height, then of x-height over cap height.
    round_axes : tuple
        Half axes of the centre line of O.
    areas : mapping
        By letter: areas of its strokes by hand, and what their overlaps take off.
    least_gap, least_mark_gap : int
        Between neighbours in kerned pairs, and from an accent to the next letter.
    least_counter : float
        Widest circle in the smallest counter of letters and figures, in cap heights.
    """

    name: str
    stroke: int
    cap: int
    x: int
    proportions: tuple[float, float, float, float]
    round_axes: tuple[float, float]
    areas: Mapping[str, tuple[list[int], int]]
    least_gap: int
    least_mark_gap: int
    least_counter: float

    @cached_property
    def path(self) -> Path:
        """The built font."""
        return FONTS / f"{self.name}.ttf"

    @cached_property
    def source(self) -> dict[str, Any]:
        """The drawing."""
        return tomllib.loads(self.path.with_suffix(".toml").read_text(encoding="utf-8"))


FAIRLEAD = DrawnFace(
    name="fairlead-plain",
    stroke=100,
    cap=700,
    x=560,
    proportions=(0.14, 0.15, 0.78, 0.82),
    round_axes=(290.0, 310.0),
    areas=MappingProxyType(
        {
            # stem: 100 x 700
            "I": ([100 * 700], 0),
            # stem 100 x 700; arm of 430 wide letter from 80: 350 x 100; overlap 20 x 100
            "L": ([100 * 700, 350 * 100], 20 * 100),
            # bar 540 x 100; stem up to 620: 100 x 620; overlap 100 x 20
            "T": ([540 * 100, 100 * 620], 20 * 100),
            # stems 100 x 700; bar from 80 to 480: 400 x 100; two overlaps of 20 x 100
            "H": ([100 * 700, 400 * 100, 100 * 700], 2 * 20 * 100),
        }
    ),
    least_gap=75,  # 0.43 mm at 4 mm capitals, more than the allowance on both sides
    least_mark_gap=60,  # 0.34 mm at 4 mm capitals
    least_counter=0.20,
)

THOLEPIN = DrawnFace(
    name="tholepin",
    stroke=92,
    cap=700,
    x=532,
    proportions=(0.13, 0.14, 0.72, 0.76),
    round_axes=(300.0, 316.0),
    areas=MappingProxyType(
        {
            # bars 300 x 92; stem from 72 to 628: 92 x 556; two overlaps of 92 x 20
            "I": ([300 * 92, 92 * 556, 300 * 92], 2 * 20 * 92),
            # stem 92 x 700; arm from 72 to 430: 358 x 92; overlap 20 x 92
            "L": ([92 * 700, 358 * 92], 20 * 92),
            # bar 560 x 92; stem up to 628: 92 x 628; overlap 92 x 20
            "T": ([560 * 92, 92 * 628], 20 * 92),
            # stems 92 x 700; bar from 72 to 510: 438 x 92; two overlaps of 20 x 92
            "H": ([92 * 700, 438 * 92, 92 * 700], 2 * 20 * 92),
        }
    ),
    # 0.35 mm at 2 mm capitals, once 0.1 mm of allowance has grown on both sides
    least_gap=193,
    least_mark_gap=100,  # 0.09 mm there
    # two threads of 0.16 mm at 2 mm capitals, once the allowance has grown on both sides
    least_counter=0.26,
)

FACES = (FAIRLEAD, THOLEPIN)
