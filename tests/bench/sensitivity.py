"""What a change of 25 % of each fitted figure does to the trade's eight cases.

    python tests/bench/sensitivity.py

A likeness limit is changed by a quarter of what it leaves to 1. For each change the cases that
come out otherwise are named, over three faces; "-" where none does.
"""

import string
from dataclasses import fields, replace

from pathgen import Verdict, plan
from pathgen.legibility import _alphabet
from pathgen.lettering.bundled import face_path
from pathgen.lettering.kept import kept_face
from pathgen.review import likeness
from pathgen.review.alphabet import drawn_pictures, drawn_rows
from pathgen.review.reading import _drawn_likeness, _seen, read_letters
from pathgen.sewnlook import ReadingLimits

FACES = ("fairlead-plain", "tholepin", "/usr/share/fonts/truetype/dejavu/DejaVuSans.ttf")
CASES = (("40", 6), ("40", 5), ("40", 4), ("60", 4), ("60", 3), ("60", 2), ("40", 3), ("40", 2))
ALL = string.ascii_letters + string.digits
LOOK = ("width_mm", "pull_in_mm", "overhang_mm", "over_underlay")
SIGN = {Verdict.READS_WELL: "well", Verdict.BORDERLINE: "border", Verdict.WILL_NOT_READ: "not"}


def verdicts(plans, change):
    """Verdict of each plan with a changed look."""
    found = {}
    for (face, case), made in plans.items():
        settings = replace(made.settings, sewn_look=change(made.settings.sewn_look))
        drawings = _alphabet(kept_face(face_path(face)), ())
        reading = read_letters(made.letters, made.needles, settings, drawings, ())
        found[face, case] = reading.verdict
    return found


def told(name, plans, base, change):
    """Print what a change does."""
    cells = []
    for factor in (0.75, 1.25):
        found = verdicts(plans, lambda look, f=factor: change(look, f))
        other = {}
        for (face, case), verdict in found.items():
            if verdict is not base[face, case]:
                other.setdefault((case, verdict), []).append(face)
        cells.append(
            ", ".join(
                f"{t} wt {h} mm {SIGN[v]} ({len(f)} of {len(FACES)})"
                for ((t, h), v), f in other.items()
            )
            or "-"
        )
    print(f"{name:24}-25 %: {cells[0]}\n{'':24}+25 %: {cells[1]}", flush=True)


def smoothed(plans, base):
    """The same for the smoothing."""
    own = likeness._SMOOTH_PX

    def change(look, factor):
        likeness._SMOOTH_PX = own * factor
        for cached in (likeness._smoother, drawn_pictures, drawn_rows, _drawn_likeness, _seen):
            cached.cache_clear()
        return look

    told("smoothing", plans, base, change)
    change(None, 1.0)


def main():
    """Print the table."""
    plans = {
        (face, (thread, height)): plan(ALL, face=face, thread=thread, height_mm=float(height))
        for face in FACES
        for thread, height in CASES
    }
    base = verdicts(plans, lambda look: look)
    for face in FACES:
        print(
            f"{face[-14:]:15}"
            + ", ".join(f"{t} wt {h}: {SIGN[base[face, (t, h)]]}" for t, h in CASES)
        )
    for name in LOOK:
        told(name, plans, base, lambda k, f, n=name: replace(k, **{n: getattr(k, n) * f}))
    for item in fields(ReadingLimits):

        def change(look, factor, name=item.name):
            value = getattr(look.limits, name)
            near_one = "likeness" in name or name == "share_of_letters"
            new = 1.0 - (1.0 - value) * (2.0 - factor) if near_one else value * factor
            if name == "least_margin":
                new = (factor - 1.0) * look.limits.well_margin
            return replace(look, limits=replace(look.limits, **{name: new}))

        told(item.name, plans, base, change)
    smoothed(plans, base)


if __name__ == "__main__":
    main()
