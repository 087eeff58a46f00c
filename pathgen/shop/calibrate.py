"""What sewn samples teach: pull, overhang, allowance, and from which margin on letters read.

The model, all a side: between needle points that lie ``n`` apart a bar is sewn ``n - 2 pull`` wide
from hole to hole, and ``n - 2 pull + 2 overhang`` from edge to edge of the thread. So half of
``n`` less the width measured is the pull, less the overhang where edges were measured: a straight
fit. Pull may be less over underlay, and may differ with direction: ``pull + turn cos(2 angle)``.
"""

import math
from collections.abc import Iterator, Sequence
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from pathgen.shop.leastsquares import Straight, fitted, outlying, t_quantile
from pathgen.trials import Estimate, Outlier, Residual, Sample, ThreadLesson

__all__ = ["BARS_LEAST", "HOLES_LEAST", "thread_lesson"]

BARS_LEAST = 12
"""Fewest measured widths that a pull is fitted from: below, its error is as large as itself."""

HOLES_LEAST = 6
"""Fewest widths from hole to hole, and from edge to edge, that tell pull from overhang."""

GROUP_LEAST = 4
"""Fewest widths of either kind that directions, or underlay or none, are told apart by."""

SURE = 0.95
"""Share of tables whose interval holds the truth."""

MM_PER_INCH = 25.4


class _Row(NamedTuple):
    """One measured width of a bar; ``half_mm`` is half of what it is short of its needle points."""

    sample: Sample
    holes: bool
    half_mm: float

    @property
    def over_run(self) -> bool:
        return self.sample.underlay != "none"

    @property
    def turn(self) -> float:
        """1 for a bar across the cloth, -1 for one along it, 0 where that is not known."""
        angle = self.sample.direction_deg
        return 0.0 if math.isnan(angle) else math.cos(2.0 * math.radians(angle))


class _Model(NamedTuple):
    """Names of the values and the design that goes with them."""

    names: tuple[str, ...]
    design: NDArray[np.float64]

    def weights(self, **of: float) -> tuple[float, ...]:
        """Weights of a sum of values, by their names."""
        return tuple(of.get(name, 0.0) for name in self.names)


def thread_lesson(samples: Sequence[Sample], *, keep_all: bool = False) -> ThreadLesson:
    """What the bars and rings of one thread on one cloth teach.

    Parameters
    ----------
    samples : sequence of Sample
        At least one; letters among them are passed over.
    keep_all : bool
        Whether outliers are fitted like the rest; they are named all the same.

    Returns
    -------
    ThreadLesson
        Without values where there is too little; ``lacking`` says how much is missing.
    """
    first = samples[0]
    rows, left = _one_kind(list(_rows(samples)))
    rings = _rings(samples)
    if len(rows) < BARS_LEAST:
        said = (
            f"pull: {len(rows)} measured widths of bars, {BARS_LEAST - len(rows)} more are needed"
        )
        return ThreadLesson(thread=first.thread, tex=first.tex, **rings, lacking=(*left, said))
    model, lacking = _model(rows)
    halves = np.array([row.half_mm for row in rows])
    aside = outlying(model.design, halves)
    used = np.arange(len(rows)) if keep_all else np.delete(np.arange(len(rows)), aside)
    fit = fitted(model.design[used], halves[used])
    whole = fitted(model.design, halves)
    return ThreadLesson(
        thread=first.thread,
        tex=first.tex,
        **_values(model, fit, [rows[i] for i in used]),
        over_run_only=all(row.over_run for row in rows),
        with_all=_allowance(model, whole) if len(aside) else math.nan,
        spread_mm=fit.spread,
        by_width=_by_width(model, halves, used, rows),
        counters=_counters(samples, model, fit),
        **rings,
        outliers=tuple(_outlier(rows[i], model.design[i] @ fit.values) for i in aside),
        residuals=tuple(
            Residual(
                needle_mm=row.sample.needle_mm,
                off_mm=float(row.half_mm - model.design[i] @ fit.values),
                direction_deg=row.sample.direction_deg,
                holes=row.holes,
                aside=i in aside,
            )
            for i, row in enumerate(rows)
        ),
        lacking=(*left, *lacking),
    )


def _rings(samples: Sequence[Sample]) -> dict[str, Any]:
    """Widest counter that closed and narrowest that stayed open, as drawn."""
    rings = [s for s in samples if s.kind == "ring" and not math.isnan(s.drawn_mm)]
    return {
        "closed_mm": max((s.drawn_mm for s in rings if s.counter_mm == 0.0), default=math.nan),
        "open_mm": min((s.drawn_mm for s in rings if s.counter_mm > 0.0), default=math.nan),
    }


def _rows(samples: Sequence[Sample]) -> Iterator[_Row]:
    """Every measured width."""
    for sample in samples:
        if sample.kind == "bar":
            for holes, width_mm in ((False, sample.edge_mm), (True, sample.holes_mm)):
                if not math.isnan(width_mm):
                    yield _Row(sample, holes, (sample.needle_mm - width_mm) / 2.0)


def _one_kind(rows: list[_Row]) -> tuple[list[_Row], list[str]]:
    """Rows without those over underlay, or without those that are not, where they are too few."""
    over = [row for row in rows if row.over_run]
    bare = [row for row in rows if not row.over_run]
    few, many = sorted((over, bare), key=len)
    if not few or len(few) >= GROUP_LEAST:
        return rows, []
    kind = "over underlay" if few is over else "without underlay"
    return many, [f"underlay: {len(few)} widths {kind}; {GROUP_LEAST} are needed"]


def _model(rows: Sequence[_Row]) -> tuple[_Model, list[str]]:
    """The values that the rows can tell apart, and what they lack for others."""
    columns: dict[str, list[float]] = {}
    lacking = []
    over = [row.over_run for row in rows]
    if 0 < sum(over) < len(rows):
        columns["bare"] = [float(not run) for run in over]
        columns["run"] = [float(run) for run in over]
    else:
        columns["bare"] = [1.0] * len(rows)
    holes = sum(row.holes for row in rows)
    if holes >= HOLES_LEAST and len(rows) - holes >= HOLES_LEAST:
        columns["overhang"] = [0.0 if row.holes else -1.0 for row in rows]
    else:
        lacking.append(
            f"overhang: {holes} widths from hole to hole and {len(rows) - holes} from edge to"
            f" edge; {HOLES_LEAST} of each are needed to tell it from pull"
        )
    turns = [row.turn for row in rows]
    along, across = sum(t < -0.5 for t in turns), sum(t > 0.5 for t in turns)
    if min(along, across) >= GROUP_LEAST:
        columns["turn"] = turns
    else:
        lacking.append(
            f"direction: {along} widths of bars along the cloth and {across} across it;"
            f" {GROUP_LEAST} of each are needed"
        )
    return _independent(columns, lacking)


def _independent(columns: dict[str, list[float]], lacking: list[str]) -> tuple[_Model, list[str]]:
    """A model without those columns that the others already tell."""
    for name in ("turn", "overhang", "run"):
        design = np.column_stack(list(columns.values()))
        if np.linalg.matrix_rank(design) == len(columns):
            break
        if columns.pop(name, None) is not None:
            lacking.append(f"{name}: the bars do not tell it from the rest; measure more of them")
    return _Model(tuple(columns), np.column_stack(list(columns.values()))), lacking


def _values(model: _Model, fit: Straight, rows: Sequence[_Row]) -> dict[str, Any]:
    """The estimates that a model carries."""

    def estimate(samples: int = len(rows), **of: float) -> Estimate:
        weights = model.weights(**of)
        value = sum(w * float(v) for w, v in zip(weights, fit.values, strict=True))
        return _estimate(value, fit.error(*weights), fit.spare, samples)

    over = sum(row.over_run for row in rows)
    told = "overhang" in model.names
    both = "run" in model.names
    out: dict[str, Any] = {
        "pull": estimate(len(rows) - over if both else len(rows), bare=1.0) if told else None,
        "overhang": estimate(overhang=1.0) if told else None,
        "allowance": estimate(bare=1.0, overhang=-1.0),
        "allowance_over": estimate(run=1.0, overhang=-1.0) if both else None,
    }
    if told and both:
        out["over_underlay"] = _share(model, fit, over)
    if "turn" in model.names and told:
        turn = estimate(turn=1.0)
        if abs(turn.value) > turn.within:
            out["along"] = estimate(bare=1.0, turn=-1.0)
            out["across"] = estimate(bare=1.0, turn=1.0)
    return out


def _estimate(value: float, error: float, spare: int, samples: int) -> Estimate:
    within = t_quantile((1.0 + SURE) / 2.0, spare) * error
    return Estimate(value=value, error=error, within=within, samples=samples)


def _share(model: _Model, fit: Straight, samples: int) -> Estimate | None:
    """Pull over a run as a share of pull without; None where either is not surely above 0."""
    values = dict(zip(model.names, fit.values.tolist(), strict=True))
    bare, run = values["bare"], values["run"]
    if bare <= 3.0 * fit.error(*model.weights(bare=1.0)) or run < 0.0:
        return None
    error = fit.error(*model.weights(run=1.0 / bare, bare=-run / bare**2))
    return _estimate(run / bare, error, fit.spare, samples)


def _allowance(model: _Model, fit: Straight) -> float:
    return float(np.array(model.weights(bare=1.0, overhang=-1.0)) @ fit.values)


def _by_width(
    model: _Model, halves: NDArray[np.float64], used: NDArray[np.intp], rows: Sequence[_Row]
) -> Estimate | None:
    """Change of pull for each mm of width; None where there is none to be seen."""
    widths = np.array([rows[i].sample.needle_mm for i in used])
    design = np.column_stack([model.design[used], widths - widths.mean()])
    if np.ptp(widths) == 0.0 or len(design) <= design.shape[1] + 1:
        return None
    fit = fitted(design, halves[used])
    weights = (0.0,) * len(model.names) + (1.0,)
    slope = _estimate(float(fit.values[-1]), fit.error(*weights), fit.spare, len(used))
    return slope if abs(slope.value) > slope.within else None


def _counters(samples: Sequence[Sample], model: _Model, fit: Straight) -> Estimate | None:
    """How much more open counters are than bars foretell: mean over the rings that are open."""
    allowance = _allowance(model, fit)
    off = np.array(
        [
            s.counter_mm - (s.needle_mm + 2.0 * allowance)
            for s in samples
            if s.kind == "ring" and s.counter_mm > 0.0
        ]
    )
    if len(off) < 3:
        return None
    error = float(off.std(ddof=1)) / math.sqrt(len(off))
    return _estimate(float(off.mean()), error, len(off) - 1, len(off))


def _outlier(row: _Row, half_mm: float) -> Outlier:
    """An outlier, and what may have happened to it."""
    sample = row.sample
    measured_mm = sample.holes_mm if row.holes else sample.edge_mm
    expected_mm = sample.needle_mm - 2.0 * half_mm
    near = 0.15 * expected_mm
    guess = ""
    if abs(measured_mm * MM_PER_INCH - expected_mm) < near:
        guess = "inches written as mm?"
    elif abs(measured_mm / MM_PER_INCH - expected_mm) < near:
        guess = "mm written as inches?"
    elif abs(measured_mm / 10.0 - expected_mm) < near or abs(measured_mm * 10 - expected_mm) < near:
        guess = "a decimal point out of place?"
    return Outlier(
        file=sample.file,
        row=sample.row,
        field="holes" if row.holes else "edge",
        measured_mm=measured_mm,
        expected_mm=expected_mm,
        guess=guess,
    )
