"""What an order costs: stitches, machine time, hooping, thread, and the shop's rates.

The price of a piece is the greatest of its stitches at the band's rate, its time at the hourly
rate where the card has one, and the minimum; it is rounded once, and the order follows from it
exactly: pieces times price, plus set-up, raised to the least order. Tax and the all-in price of a
piece are each rounded once. Amounts are exact until then, so that a half is a true half.

A run of the machine sews one piece on each head. Time of a run: stitches at the speed, trims,
thread changes. Thread: the lockstitch takes as much needle thread as the path is long and once
through the cloth at each stitch (`count`); bobbin thread is a share of that.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import ROUND_CEILING, ROUND_HALF_EVEN, ROUND_HALF_UP, Context, Decimal, localcontext
from fractions import Fraction

from pathgen.model import Plan
from pathgen.pricing import Band, Charge, JointQuote, Quote, RateCard, Stretch, ThreadUse, Work

__all__ = ["MOST_PIECES", "quoted", "quoted_together", "work_of"]

MOST_PIECES = 1_000_000
"""Largest order that is reckoned."""

_EXACT = Context(prec=60)
"""Enough digits for every product of a card's figures with any count."""

_RULES = {"half-up": ROUND_HALF_UP, "half-even": ROUND_HALF_EVEN}


def work_of(plan: Plan) -> Work:
    """What a plan has sewn on one piece; thread to the whole mm."""
    lines = [count for count in plan.counts if count.scope == "line"]
    threads = [count for count in plan.counts if count.scope == "thread"]
    return Work(
        title=" / ".join(plan.lines),
        stretches=_stretches(
            Stretch(
                stitches=count.stitches,
                speed_spm=Decimal(repr(line.settings.speed_spm)),
                origin=line.settings.origins.get("speed_spm", "default"),
            )
            for count, line in zip(lines, plan.by_line, strict=True)
        ),
        trims=plan.whole.trims,
        changes=plan.changes,
        threads=tuple(
            ThreadUse(label=thread.name, needle_m=Decimal(round(count.thread_mm)).scaleb(-3))
            for count, thread in zip(threads, plan.threads, strict=True)
        ),
    )


def _stretches(each: Iterable[Stretch]) -> tuple[Stretch, ...]:
    """Stretches of the same speed and origin joined, in order of appearance."""
    stitches: dict[tuple[Decimal, str], int] = {}
    for stretch in each:
        key = (stretch.speed_spm, stretch.origin)
        stitches[key] = stitches.get(key, 0) + stretch.stitches
    return tuple(
        Stretch(stitches=n, speed_spm=speed, origin=origin)
        for (speed, origin), n in stitches.items()
    )


def quoted(
    work: Work,
    card: RateCard,
    quantities: Sequence[int],
    *,
    repeat: bool = False,
    together: int = 0,
) -> Quote:
    """Price of a work at several quantities.

    Parameters
    ----------
    work : Work
        What is sewn on one piece.
    card : RateCard
        What the shop asks.
    quantities : sequence of int
        Pieces, each 1 to `MOST_PIECES`.
    repeat : bool
        Whether the order was set up before; then set-up costs nothing.
    together : int
        Pieces of the whole order that these are part of, whose band counts; 0 for none.

    Returns
    -------
    Quote
        One charge a quantity, in the order given.
    """
    with localcontext(_EXACT):
        stretches = _stretches(_paced(stretch, card) for stretch in work.stretches)
        sewing = sum(
            (Fraction(60 * s.stitches) / Fraction(s.speed_spm) for s in stretches), Fraction()
        )
        trims_s, changes_s = work.trims * card.trim_s, work.changes * card.change_s
        waste = 1 + card.waste_share
        each = _Piece(
            run_s=sewing + Fraction(trims_s + changes_s),
            stitches=work.stitches,
            threads=tuple((use.label, use.needle_m * waste) for use in work.threads),
        )
        return Quote(
            work=work,
            card=card,
            stretches=stretches,
            sewing_s=_decimal(sewing),
            trims_s=trims_s,
            changes_s=changes_s,
            needle_m=each.needle_m,
            bobbin_m=each.needle_m * card.bobbin_share,
            charges=tuple(
                _charge(each, card, pieces, _band(card, together or pieces), repeat)
                for pieces in quantities
            ),
            repeat=repeat,
        )


def _paced(stretch: Stretch, card: RateCard) -> Stretch:
    """A stretch at the card's speed, unless the user asked for one."""
    if card.speed_spm is None or stretch.origin not in _GIVING_WAY:
        return stretch
    return Stretch(stitches=stretch.stitches, speed_spm=card.speed_spm, origin="rate card")


_GIVING_WAY = ("default", "recipe")


def _decimal(exact: Fraction) -> Decimal:
    """A fraction, divided."""
    return Decimal(exact.numerator) / Decimal(exact.denominator)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Piece:
    """One piece, as an order multiplies it: a run's time in s, and metres of each thread."""

    run_s: Fraction
    stitches: int
    threads: tuple[tuple[str, Decimal], ...]

    @property
    def needle_m(self) -> Decimal:
        """Of all threads."""
        return sum((metres for _, metres in self.threads), Decimal(0))


def _band(card: RateCard, pieces: int) -> Band:
    """The band that an order of so many pieces falls into."""
    return max((b for b in card.bands if b.pieces <= pieces), key=lambda b: b.pieces)


def _charge(each: _Piece, card: RateCard, pieces: int, band: Band, repeat: bool) -> Charge:
    """An order of so many pieces."""
    runs = -(-pieces // card.heads)
    heads = min(card.heads, pieces)
    hooping_s = pieces * card.hooping_s
    order_s = runs * each.run_s + Fraction(hooping_s)
    claims = {
        "minimum": card.minimum_piece,
        "stitches": band.per_thousand * each.stitches / 1000,
    }
    if card.per_hour is not None:
        claims["time"] = _decimal(Fraction(card.per_hour) * order_s / (3600 * pieces))
    decided = max(claims, key=lambda name: claims[name])
    piece = rounded(claims[decided], card)
    sewing = pieces * piece
    return Charge(
        pieces=pieces,
        per_thousand=band.per_thousand,
        by_stitches=claims["stitches"],
        by_time=claims.get("time"),
        decided=decided,
        piece=piece,
        sewing=sewing,
        **_sums(sewing, pieces, card, repeat),
        heads=heads,
        runs=runs,
        machine_s=_decimal(runs * each.run_s),
        hooping_s=hooping_s,
        needle_m=pieces * each.needle_m,
        bobbin_m=pieces * each.needle_m * card.bobbin_share,
        cones=tuple(
            (label, heads * _full(runs * metres, card.cone_m)) for label, metres in each.threads
        ),
        bobbins=heads * _full(runs * each.needle_m * card.bobbin_share, card.bobbin_m),
    )


def _sums(sewing: Decimal, pieces: int, card: RateCard, repeat: bool) -> dict[str, Decimal]:
    """What an order comes to beside its sewing, by the names of `Charge` and `JointQuote`."""
    setup = Decimal(0) if repeat else card.setup
    total = max(sewing + setup, card.minimum_order)
    return {
        "setup": setup,
        "raised": total - sewing - setup,
        "total": total,
        "tax": rounded(total * card.tax_percent / 100, card),
        "all_in": rounded(total / pieces, card),
    }


def quoted_together(
    title: str, works: Sequence[tuple[Work, int]], card: RateCard, *, repeat: bool = False
) -> JointQuote:
    """Price of an order of different works, such as names, each with its number of pieces.

    Each work is priced by itself, at the rate of the band that all pieces together fall into;
    set-up, the least order and tax are of the whole. Pieces that are alike are sewn on all heads
    at once, different ones after one another.

    Parameters
    ----------
    title : str
        What the order is called.
    works : sequence of (Work, int)
        At least one.
    card, repeat : as for `quoted`
    """
    pieces = sum(count for _, count in works)
    parts = tuple(quoted(work, card, [count], together=pieces) for work, count in works)
    with localcontext(_EXACT):
        charges = [part.charges[0] for part in parts]
        sewing = sum((charge.sewing for charge in charges), Decimal(0))
        heads = max(charge.heads for charge in charges)
        waste = 1 + card.waste_share
        by_label: dict[str, Decimal] = {}
        for part, charge in zip(parts, charges, strict=True):
            for use in part.work.threads:
                before = by_label.get(use.label, Decimal(0))
                by_label[use.label] = before + charge.runs * use.needle_m * waste
        busiest_m = sum(by_label.values(), Decimal(0))
        return JointQuote(
            title=title,
            card=card,
            parts=parts,
            pieces=pieces,
            sewing=sewing,
            **_sums(sewing, pieces, card, repeat),
            machine_s=sum((charge.machine_s for charge in charges), Decimal(0)),
            hooping_s=sum((charge.hooping_s for charge in charges), Decimal(0)),
            needle_m=sum((charge.needle_m for charge in charges), Decimal(0)),
            bobbin_m=sum((charge.bobbin_m for charge in charges), Decimal(0)),
            cones=tuple(
                (label, heads * _full(metres, card.cone_m)) for label, metres in by_label.items()
            ),
            bobbins=heads * _full(busiest_m * card.bobbin_share, card.bobbin_m),
            repeat=repeat,
        )


def rounded(amount: Decimal, card: RateCard) -> Decimal:
    """An amount in whole steps of the card, a half by its rule."""
    steps = (amount / card.round_to).quantize(Decimal(1), _RULES[card.round_rule])
    return steps * card.round_to


def _full(needed_m: Decimal, holds_m: Decimal) -> int:
    """Cones or bobbins that hold a length; the busiest head needs so many."""
    return int((needed_m / holds_m).to_integral_value(ROUND_CEILING))
