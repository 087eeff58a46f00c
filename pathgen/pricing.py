"""The data of a price: what is sewn, what the shop asks, and what comes of it.

Money, metres and seconds are `decimal.Decimal`: what a card says is kept to the last digit.
"""

from dataclasses import dataclass
from decimal import Decimal

__all__ = ["Band", "Charge", "JointQuote", "Quote", "RateCard", "Stretch", "ThreadUse", "Work"]


@dataclass(frozen=True, slots=True, kw_only=True)
class ThreadUse:
    """Needle thread of one colour that one piece takes, without waste."""

    label: str
    needle_m: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class Stretch:
    """Stitches that are sewn at one speed.

    Attributes
    ----------
    stitches : int
        Needle penetrations.
    speed_spm : Decimal
        Stitches a minute.
    origin : str
        Where the speed came from; ``default`` and ``recipe`` give way to the rate card's.
    """

    stitches: int
    speed_spm: Decimal
    origin: str = "default"


@dataclass(frozen=True, slots=True, kw_only=True)
class Work:
    """What is sewn on one piece.

    Attributes
    ----------
    title : str
        The lettering as written.
    stretches : tuple of Stretch
        Stitches and the speed of each, in sewing order.
    trims, changes : int
        Times the thread is cut; changes from one thread to the next.
    threads : tuple of ThreadUse
        In sewing order.
    """

    title: str
    stretches: tuple[Stretch, ...]
    trims: int
    changes: int
    threads: tuple[ThreadUse, ...]

    @property
    def stitches(self) -> int:
        """All needle penetrations."""
        return sum(stretch.stitches for stretch in self.stretches)


@dataclass(frozen=True, slots=True, kw_only=True)
class Band:
    """Rate for a thousand stitches from so many pieces on."""

    pieces: int
    per_thousand: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class RateCard:
    """What a shop asks, and how its machine works.

    Attributes
    ----------
    source : str
        The file, as the user named it.
    title, currency : str
        What the card calls itself; what stands behind an amount.
    shop, terms : tuple of str
        Lines for the head and the foot of a quote.
    bands : tuple of Band
        Fewest pieces first.
    setup, minimum_piece, minimum_order : Decimal
        Once an order; the least for a piece, and for an order.
    per_hour : Decimal or None
        For an hour of the machine and its hooping; None where time is not charged.
    heads : int
        Pieces that are sewn at once.
    speed_spm : Decimal or None
        Stitches a minute; None for the plan's.
    trim_s, change_s, hooping_s : Decimal
        For a trim, a thread change, and for hooping one piece.
    cone_m, bobbin_m : Decimal
        Thread on a full cone and a full bobbin.
    bobbin_share : Decimal
        Bobbin thread as a share of needle thread.
    waste_share : Decimal
        Added to both for tails, breaks and trials.
    round_to : Decimal
        Least step of an amount.
    round_rule : str
        ``half-up`` or ``half-even``.
    tax_name : str
        Empty where no tax is added.
    tax_percent : Decimal
        Of the total.
    """

    source: str
    title: str
    currency: str
    shop: tuple[str, ...]
    terms: tuple[str, ...]
    bands: tuple[Band, ...]
    setup: Decimal
    minimum_piece: Decimal
    minimum_order: Decimal
    per_hour: Decimal | None
    heads: int
    speed_spm: Decimal | None
    trim_s: Decimal
    change_s: Decimal
    hooping_s: Decimal
    cone_m: Decimal
    bobbin_m: Decimal
    bobbin_share: Decimal
    waste_share: Decimal
    round_to: Decimal
    round_rule: str
    tax_name: str
    tax_percent: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class Charge:
    """An order of so many pieces.

    Attributes
    ----------
    pieces : int
        How many.
    per_thousand : Decimal
        Rate of the band they fall in.
    by_stitches, by_time : Decimal
        A piece by either rate, not rounded; ``by_time`` is None where time is not charged.
    decided : str
        What sets the price of a piece: ``stitches``, ``time`` or ``minimum``.
    piece : Decimal
        Price of a piece, rounded.
    sewing, setup : Decimal
        All pieces; once an order.
    raised : Decimal
        Added to reach the least order.
    total, tax, all_in : Decimal
        Without tax; the tax; the total by pieces, rounded.
    heads, runs : int
        Heads that sew, and times that they start.
    machine_s, hooping_s : Decimal
        All runs; hooping all pieces.
    needle_m, bobbin_m : Decimal
        Thread of the order, waste included.
    cones : tuple of (str, int)
        Of each thread; every head has its own.
    bobbins : int
        Every head has its own.
    """

    pieces: int
    per_thousand: Decimal
    by_stitches: Decimal
    by_time: Decimal | None
    decided: str
    piece: Decimal
    sewing: Decimal
    setup: Decimal
    raised: Decimal
    total: Decimal
    tax: Decimal
    all_in: Decimal
    heads: int
    runs: int
    machine_s: Decimal
    hooping_s: Decimal
    needle_m: Decimal
    bobbin_m: Decimal
    cones: tuple[tuple[str, int], ...]
    bobbins: int

    @property
    def order_s(self) -> Decimal:
        """Machine and hooping; nothing is taken to go on at the same time."""
        return self.machine_s + self.hooping_s


@dataclass(frozen=True, slots=True, kw_only=True)
class Quote:
    """The price of a work at several quantities, with all that it was reckoned from.

    Attributes
    ----------
    work, card : Work, RateCard
        What is sewn and what is asked.
    stretches : tuple of Stretch
        Stitches and the speed that was reckoned with.
    sewing_s, trims_s, changes_s : Decimal
        One run of the machine; their sum is `run_s`.
    needle_m, bobbin_m : Decimal
        Thread of one piece, waste included.
    charges : tuple of Charge
        One for each quantity, as asked.
    repeat : bool
        Whether set-up was left out.
    """

    work: Work
    card: RateCard
    stretches: tuple[Stretch, ...]
    sewing_s: Decimal
    trims_s: Decimal
    changes_s: Decimal
    needle_m: Decimal
    bobbin_m: Decimal
    charges: tuple[Charge, ...]
    repeat: bool

    @property
    def run_s(self) -> Decimal:
        """One run of the machine."""
        return self.sewing_s + self.trims_s + self.changes_s


@dataclass(frozen=True, slots=True, kw_only=True)
class JointQuote:
    """The price of an order of different works, such as names.

    Attributes
    ----------
    title : str
        What the order is called.
    card : RateCard
        What is asked.
    parts : tuple of Quote
        Each work with one charge, of its pieces alone; its set-up and total do not count.
    pieces : int
        Of all works.
    sewing, setup, raised, total, tax, all_in : Decimal
        As of a `Charge`, of the whole order.
    machine_s, hooping_s, needle_m, bobbin_m : Decimal
        Of the whole order.
    cones : tuple of (str, int)
        Of each thread; every head has its own.
    bobbins : int
        Every head has its own.
    repeat : bool
        Whether set-up was left out.
    """

    title: str
    card: RateCard
    parts: tuple[Quote, ...]
    pieces: int
    sewing: Decimal
    setup: Decimal
    raised: Decimal
    total: Decimal
    tax: Decimal
    all_in: Decimal
    machine_s: Decimal
    hooping_s: Decimal
    needle_m: Decimal
    bobbin_m: Decimal
    cones: tuple[tuple[str, int], ...]
    bobbins: int
    repeat: bool

    @property
    def order_s(self) -> Decimal:
        """Machine and hooping."""
        return self.machine_s + self.hooping_s
