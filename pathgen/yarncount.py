"""Counts of thread: every system that a cone may state, to and from tex.

tex is grams per 1,000 m, dtex per 10,000 m, denier per 9,000 m (ISO 1144). Nm is metres to the
gram. Ne is hanks of 840 yards to the pound. The metric ticket is three times Nm, the cotton
ticket three times Ne, both of the finished thread.
"""

import re

__all__ = ["COUNT_NAMES", "NE_TEX", "counts", "tex_of"]

GRAMS_PER_POUND, METRES_PER_HANK = 453.59237, 840 * 0.9144
"""International pound and yard."""

NE_TEX = 1000.0 * GRAMS_PER_POUND / METRES_PER_HANK
"""tex times Ne: 590.54; some mills use other figures (583.1, 588), which count moisture in."""

_DIRECT = {"tex": 1.0, "dtex": 0.1, "den": 1.0 / 9.0}
_INVERSE = {"nm": 1000.0, "ne": NE_TEX, "tkt": 3000.0, "cotton tkt": 3.0 * NE_TEX}

COUNT_NAMES = (*_DIRECT, *_INVERSE)
"""The systems, as they are written and shown."""

_UNIT = r"(?P<{0}>dtex|tex|denier|den|nm|ne|cotton\s*tkt|tkt)"
_COUNT = re.compile(
    rf"(?:{_UNIT.format('before')}\s*)?(?P<number>\d+(?:\.\d+)?)\s*"
    rf"(?:{_UNIT.format('after')}\s*)?(?:[/x×]\s*(?P<plies>\d+))?\s*{_UNIT.format('last')}?",
    re.IGNORECASE,
)


def tex_of(written: str) -> float | None:
    """Tex of a count such as ``27tex``, ``120 den x 2``, ``Nm 60/2`` or ``tkt 120``.

    Plies are counted in for tex, dtex, denier, Nm and Ne; a ticket is of the finished thread.

    Returns
    -------
    float or None
        None if the text is not a number with exactly one of the units, or has no thickness.

    Examples
    --------
    >>> tex_of("Ne 40/2") == tex_of("Ne 20")
    True
    >>> tex_of("60 wt") is None
    True
    """
    match = _COUNT.fullmatch(written.strip())
    units = [u for u in (match["before"], match["after"], match["last"]) if u] if match else []
    if match is None or len(units) != 1 or len(match["number"]) > 20:
        return None
    unit = " ".join(units[0].lower().replace("tkt", " tkt").split())
    unit = "den" if unit == "denier" else unit
    number, plies = float(match["number"]), int((match["plies"] or "1")[:3])
    if number == 0.0 or plies == 0 or (match["plies"] and "tkt" in unit):
        return None
    return number * _DIRECT[unit] * plies if unit in _DIRECT else _INVERSE[unit] * plies / number


def counts(tex: float) -> dict[str, float]:
    """A thread's count in every system, by `COUNT_NAMES`.

    Examples
    --------
    >>> counts(40.0)["tkt"]
    75.0
    """
    direct = {name: tex / share for name, share in _DIRECT.items()}
    return direct | {name: constant / tex for name, constant in _INVERSE.items()}
