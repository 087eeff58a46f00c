"""What each check costs: share of the whole review, cold (letters never seen) and warm.

    python tests/bench/review.py

Times are CPU, the median of several runs in one process; shares are what counts. The whole warm
review knows what was found in each letter; a check alone looks at the whole table each time, so
that its warm share is what it would cost without that.
"""

import statistics
import time

from pathgen import plan
from pathgen.review import bays, closing, growth, touching, underlay
from pathgen.review.bays import closing_bays
from pathgen.review.bulk import thread_heaps
from pathgen.review.checks import _shapes, asked_for, reviewed
from pathgen.review.close import close_penetrations
from pathgen.review.closing import closing_counters
from pathgen.review.cover import ground_in_columns
from pathgen.review.crowding import crowded_places
from pathgen.review.density import crowded_needle
from pathgen.review.holes import holes_of
from pathgen.review.narrow import narrow_columns
from pathgen.review.short import short_stitches
from pathgen.review.stitches import long_stitches
from pathgen.review.touching import touching_letters, touching_parts
from pathgen.review.travel import exposed_travel
from pathgen.review.uncovered import uncovered_ink
from pathgen.review.underlay import underlay_showing
from pathgen.stitching.route import sew

KEPT = (
    bays.bays_of,
    closing._discs,
    growth.usual_widths_mm,
    touching._between,
    touching._between_parts,
    underlay._rungs,
)
"""What is kept of each letter's shape."""


def forget():
    """Forget every letter."""
    _shapes.forget()
    touching._gaps.forget()
    for kept in KEPT:
        kept.cache_clear()


def median_ms(work, *, cold, runs=9):
    """Median CPU time of some work in milliseconds."""
    times = []
    for _ in range(runs):
        if cold:
            forget()
        start = time.process_time()
        work()
        times.append(1000.0 * (time.process_time() - start))
    return statistics.median(times)


def checks(made):
    """Each check as work on one plan."""
    letters, needles, by = made.letters, made.needles, made.settings
    holes = holes_of(needles, by)
    xy = holes.xy_mm
    return {
        "what is asked for": lambda: list(asked_for(by)),
        "near neighbours": lambda: holes_of(needles, by),
        "counters": lambda: list(closing_counters(letters, by)),
        "bays": lambda: list(closing_bays(letters, by)),
        "uncovered": lambda: list(uncovered_ink(letters)),
        "crowded needle": lambda: list(crowded_needle(needles, holes)),
        "heaps": lambda: list(crowded_places(needles, holes)),
        "narrow columns": lambda: list(narrow_columns(letters, by)),
        "touching parts": lambda: list(touching_parts(letters, by)),
        "touching letters": lambda: list(touching_letters(letters, by)),
        "underlay": lambda: list(underlay_showing(letters, needles, xy, by)),
        "bulk": lambda: list(thread_heaps(needles, xy, by)),
        "long stitches": lambda: list(long_stitches(needles, by)),
        "short stitches": lambda: list(short_stitches(needles, xy, by)),
        "close penetrations": lambda: list(close_penetrations(needles, holes, by)),
        "sparse bends": lambda: list(ground_in_columns(needles, xy, by)),
        "travel": lambda: list(exposed_travel(needles, letters, by)),
    }


def main():
    """Print one row a check."""
    made = plan("Harbour Bakery", height_mm=5.0)
    sewing = sew(made.letters, made.settings)
    # A table without its stretches is taken apart and looked at anew.
    whole = {True: None, False: sewing}
    by_state = {
        cold: median_ms(
            lambda known=known: reviewed(made.letters, made.needles, made.settings, None, known),
            cold=cold,
        )
        for cold, known in whole.items()
    }
    print(f"{'whole review':<20}{by_state[True]:7.2f} ms cold{by_state[False]:7.2f} ms warm")
    for name, work in checks(made).items():
        cold, warm = median_ms(work, cold=True), median_ms(work, cold=False)
        shares = f"{cold / by_state[True]:7.1%}{cold:9.2f} ms{warm / by_state[False]:9.1%}"
        print(f"{name:<20}{shares}{warm:9.2f} ms")


if __name__ == "__main__":
    main()
