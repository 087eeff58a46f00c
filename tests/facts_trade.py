"""Facts of the trade: yarn counts, thread, needles, how much thread stitches take, prices."""

from decimal import Decimal

from facts import MEMORY, fact
from rate_cards import card, work
from shapes import bar, plain_settings

from pathgen.geometry import length
from pathgen.shop.price import quoted
from pathgen.shop.stock import needle_named, thread_named
from pathgen.stitching.zigzag import zigzag
from pathgen.units import MM_PER_UNIT, parse_length_mm
from pathgen.yarncount import NE_TEX, counts, tex_of

_ISO = "ISO 1144:2016"
_TABLE = "yarn count conversion tables (polytechnichub; textilelearner 2012)"
_TICKET = "ticket number tables (onlineclothingstudy 2013; garmentsmerchandising)"


def _count(written, tex, tolerance, source):
    fact("Thread", f"tex of {written}", tex, tolerance, source)(lambda: tex_of(written))


for _written, _tex in (("25 tex", 25.0), ("250 dtex", 25.0), ("225 den", 25.0)):
    _count(_written, _tex, 1e-9, _ISO)
for _written, _tex, _off in (
    ("Nm 40", 25.0, 1e-9),
    ("Nm 60/2", 100.0 / 3.0, 1e-9),
    ("Ne 20", 29.5, 0.09),
    ("Ne 40/2", 29.5, 0.09),
    ("Ne 30", 19.7, 0.06),
):
    _count(_written, _tex, _off, _TABLE)
for _written, _tex, _off in (
    ("tkt 75", 40.0, 1e-9),
    ("tkt 120", 25.0, 1e-9),
    ("cotton tkt 60", 29.5, 0.09),
):
    _count(_written, _tex, _off, _TICKET)

fact("Thread", "tex times cotton number", 590.54125, 6e-3, "inch-pound definitions (computed)")(
    lambda: NE_TEX
)
for _name, _value, _off in (("den", 240.0, 1e-9), ("nm", 37.5, 1e-9), ("ne", 22.15, 0.01)):
    fact("Thread", f"{_name} of 26.667 tex", _value, _off, _TABLE)(
        lambda name=_name: counts(240.0 / 9.0)[name]
    )
fact(
    "Thread", "denier of a 40 wt filament thread", 240.0, 20.0, 'booklet "A Thread of Truth", p. 7'
)(lambda: thread_named("40").counts()["den"])
fact("Thread", "denier of a 60 wt filament thread", 150.0, 12.0, MEMORY)(
    lambda: thread_named("60").counts()["den"]
)
_FORM = "4 tex / 1000 = pi rho phi d^2; rho: Morton and Hearle, table 5.1; phi 0.60 after Peirce"
for _label, _d in (("40", 0.2018), ("60", 0.1595), ("40 viscose", 0.1949)):
    fact(
        "Thread",
        f"diameter of {_label} wt, mm".replace(" viscose wt", " wt viscose"),
        _d,
        1e-4,
        _FORM,
    )(lambda label=_label: thread_named(label).diameter_mm)
fact("Thread", "40 wt over 60 wt in diameter", 1.2649, 1e-4, "square root of 26.667 / 16.667 tex")(
    lambda: thread_named("40").diameter_mm / thread_named("60").diameter_mm
)
fact(
    "Thread",
    "spacing at which 40 wt closes the ground, mm",
    0.4036,
    2e-4,
    "two diameters (computed)",
)(lambda: thread_named("40").ideal_spacing_mm)

_JIS = "JIS B 9012:2000, table 1"
for _number, _blade, _eye in ((8, 0.62, 0.25), (9, 0.67, 0.26), (11, 0.77, 0.30), (14, 0.92, 0.36)):
    fact("Needles", f"blade of number {_number}, mm", _blade, 1e-9, _JIS)(
        lambda n=_number: needle_named(str(n)).table_blade_mm
    )
    fact("Needles", f"thread hole of number {_number}, mm", _eye, 1e-9, _JIS)(
        lambda n=_number: needle_named(str(n)).eye_mm
    )
for _number, _size in ((8, 60), (9, 65), (10, 70), (11, 75), (12, 80), (16, 100)):
    fact(
        "Needles",
        f"metric size of number {_number}",
        _size,
        0,
        "needle number tables: 60 + 5 (n - 8)",
    )(lambda n=_number: needle_named(str(n)).size)
fact("Needles", "nominal blade of size 75, mm", 0.75, 1e-9, "DIN 5325:1953: 100 times the blade")(
    lambda: needle_named("75").blade_mm
)
fact(
    "Needles", "finest needle that takes 40 wt", "75/11", 0, "eye 1.4 threads wide; sizing tables"
)(lambda: _finest("40"))
fact("Needles", "finest needle that takes 60 wt", "60/8", 0, "eye 1.4 threads wide; sizing tables")(
    lambda: _finest("60")
)


def _finest(thread: str) -> str:
    from pathgen.shop.stocking import bundled

    return next(n.label for n in bundled().needles if n.takes(thread_named(thread)))


_LOCK = "lockstitch 301: a stitch takes its length and the thickness sewn (textilecalculations)"


def _thread_of(bar_mm: float, width: float, spacing: float, thick: float) -> float:
    """Needle thread of the zigzag of a bar, mm a stitch."""
    sewn = zigzag(bar(bar_mm, width), plain_settings(spacing_mm=spacing)).xy_mm
    return (length(sewn) + thick * (len(sewn) - 1)) / (len(sewn) - 1)


fact("Stitches", "thread a stitch: throw 2, advance 0.2, cloth 0.5 mm", 2.50998, 1e-5, _LOCK)(
    lambda: _thread_of(10.0, 2.0, 0.4, 0.5)
)
fact("Stitches", "50 stitches of throw 2 and advance 0.2, mm", 100.498756, 1e-6, "Pythagoras")(
    lambda: length(zigzag(bar(10.0, 2.0), plain_settings(spacing_mm=0.4)).xy_mm)
)
fact("Stitches", "8 stitches of throw 0.75 and advance 1, mm", 10.0, 1e-9, "the 3-4-5 triangle")(
    lambda: length(zigzag(bar(8.0, 0.75), plain_settings(spacing_mm=2.0)).xy_mm)
)
fact(
    "Stitches", "points on a bar of 10 mm at 0.4 mm", 51, 0, "10 / 0.4 = 25 pitches of two, and one"
)(lambda: len(zigzag(bar(10.0, 1.0), plain_settings(spacing_mm=0.4)).xy_mm))

fact("Units", "millimetres to the inch", 25.4, 0, "international yard and pound agreement, 1959")(
    lambda: MM_PER_UNIT["in"]
)
fact("Units", "points to the inch", 72.0, 1e-9, "CSS Values and Units, section 6.2")(
    lambda: MM_PER_UNIT["in"] / MM_PER_UNIT["pt"]
)
fact("Units", "18 pt in mm", 6.35, 1e-9, "18 / 72 of 25.4 mm")(lambda: parse_length_mm("18pt"))

_SUM = "worked by hand; the card's figures are invented"
fact("Price", "5,000 stitches at 800 a minute, 12 trims of 6 s: minutes", 7.45, 0, _SUM)(
    lambda: float(quoted(work(), card(), [1]).run_s / 60)
)
fact("Price", "5 thousand stitches at 2 a thousand", 10, 0, _SUM)(
    lambda: float(quoted(work(), card(), [10]).charges[0].by_stitches)
)
fact("Price", "ten pieces of 10 and a set-up of 20", 120, 0, _SUM)(
    lambda: float(quoted(work(changes=2), card(per_hour="60"), [10]).charges[0].total)
)
fact("Price", "1,701 s at 60 an hour over ten pieces", "2.835", 0, _SUM)(
    lambda: str(Decimal(quoted(work(changes=2), card(per_hour="60"), [10]).charges[0].by_time))
)
