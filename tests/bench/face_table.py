"""How the bundled faces read, sew and trim beside ordinary ones at the sizes they are made for.

    python tests/bench/face_table.py

All letters and digits, the recipe's settings, one word a letter class; verdicts letter by letter.
"""

import string

from pathgen import Verdict, plan, read

ORDINARY = (
    "/usr/share/fonts/truetype/dejavu/DejaVuSans.ttf",
    "/usr/share/fonts/truetype/liberation/LiberationSans-Regular.ttf",
)
AT = (("tholepin", "60", 2.0), ("fairlead-plain", "40", 4.0))
LINES = (string.ascii_uppercase, string.ascii_lowercase, string.digits)


def main():
    """Print one table for each bundled face."""
    for bundled, thread, height in AT:
        print(f"capitals {height:g} mm in {thread} wt: all 62 letters and digits")
        print(f"  {'face':28}well  borderline  not  likeness  text           stitches  trims")
        for face in (bundled, *ORDINARY):
            made = plan(LINES, face=face, thread=thread, height_mm=height)
            reading = read(made)
            counts = [sum(r.verdict is v for r in reading.letters) for v in reversed(Verdict)]
            print(
                f"  {made.face.name:28}{counts[0]:4}{counts[1]:12}{counts[2]:5}"
                f"{reading.likeness:10.3f}  {reading.verdict.word:14}"
                f"{made.whole.stitches:9}{made.whole.trims:7}"
            )
            failing = [r for r in reading.letters if r.verdict is Verdict.WILL_NOT_READ]
            for row in failing:
                print(
                    f"    {row.text} looks like {row.looks_like}: margin {row.margin:.3f} of"
                    f" {row.drawn_margin:.3f} drawn, likeness {row.likeness:.3f}"
                )


if __name__ == "__main__":
    main()
