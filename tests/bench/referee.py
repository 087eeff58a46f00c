"""A reader from outside, tesseract, reads the lettering as thread; does it agree with the verdict?

    python tests/bench/referee.py [FACE ...]

Thirty invented words are planned in both threads at 2 to 6 mm, pictured as thread, one page a
setting, and read without a dictionary. Printed: character error rate (edit distance over letters)
beside the tool's figures; their rank correlation (Spearman); the letters on which they differ; and
the table of the first twenty words by face. tesseract reads best at capitals of about 30 px.
"""

import os
import shutil
import subprocess
import sys
import tempfile
from collections import Counter
from pathlib import Path

import numpy as np
from invented_words import WORDS
from PIL import Image

from pathgen import plan, read
from pathgen.bands import sewn_bands
from pathgen.review.raster import Window, pictures

FACES = (
    "fairlead-plain",
    "tholepin",
    "/usr/share/fonts/truetype/dejavu/DejaVuSans.ttf",
    "/usr/share/fonts/truetype/liberation/LiberationSans-Regular.ttf",
)
THREADS, HEIGHTS = ("40", "60"), (2.0, 2.5, 3.0, 3.5, 4.0, 5.0, 6.0)
TOLD_HEIGHTS = (2.0, 3.0, 4.0, 5.0, 6.0)
CAPITAL_PX, ROW_PX, MARGIN_PX, WIDE_PX = 32, 80, 40, 640
FEWER = 20
LETTERS = "".join(chr(n) for n in (*range(65, 91), *range(97, 123)))


def picture(made):
    """Grey picture of a plan's thread, dark on white."""
    corners = sewn_bands(made.needles, made.settings).corners_mm
    corners = corners * (CAPITAL_PX / made.settings.height_mm)
    edges = np.stack([corners, np.roll(corners, -1, axis=1)], axis=2).reshape(-1, 2, 2)
    window = Window(-MARGIN_PX, -(ROW_PX - CAPITAL_PX) // 2, WIDE_PX, ROW_PX)
    cover = pictures(edges, np.zeros(len(edges), dtype=np.int64), 1, window)[0]
    return 255.0 * (1.0 - cover[::-1])


def seen_by_tesseract(rows):
    """Text that is read in each row of a page."""
    page = np.concatenate([np.full((MARGIN_PX, WIDE_PX), 255.0), *rows])
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "page.png"
        Image.fromarray(page.astype(np.uint8)).save(path, dpi=(200, 200))
        options = ["--psm", "6", "-c", "load_system_dawg=0", "-c", "load_freq_dawg=0"]
        options += ["-c", f"tessedit_char_whitelist={LETTERS}", "tsv"]
        told = subprocess.run(
            ["tesseract", str(path), "-", *options],
            check=True,
            capture_output=True,
            text=True,
            env={**os.environ, "OMP_THREAD_LIMIT": "1"},
        ).stdout
    found = [""] * len(rows)
    for line in told.splitlines()[1:]:
        cells = line.split("\t")
        if len(cells) == 12 and cells[11].strip():
            middle = int(cells[7]) + int(cells[9]) / 2.0 - MARGIN_PX
            row = min(max(int(middle // ROW_PX), 0), len(rows) - 1)
            found[row] += cells[11].strip()
    return found


def aligned(asked, told):
    """Edit distance, and the pairs of letters that a shortest edit puts together."""
    table = np.zeros((len(asked) + 1, len(told) + 1), dtype=int)
    table[:, 0], table[0] = np.arange(len(asked) + 1), np.arange(len(told) + 1)
    for i, a in enumerate(asked, 1):
        for j, b in enumerate(told, 1):
            table[i, j] = min(
                table[i - 1, j] + 1, table[i, j - 1] + 1, table[i - 1, j - 1] + (a != b)
            )
    pairs, i, j = [], len(asked), len(told)
    while i or j:
        if i and j and table[i, j] == table[i - 1, j - 1] + (asked[i - 1] != told[j - 1]):
            i, j = i - 1, j - 1
            pairs.append((asked[i], told[j]))
        elif i and table[i, j] == table[i - 1, j] + 1:
            i -= 1
            pairs.append((asked[i], ""))
        else:
            j -= 1
    return int(table[-1, -1]), pairs


def error_rate(words, told):
    """Errors a letter; case does not count, as many letters differ by size alone."""
    errors = sum(aligned(a.lower(), b.lower())[0] for a, b in zip(words, told, strict=True))
    return errors / sum(map(len, words))


def ranks(values):
    """Ranks, equal values sharing theirs."""
    values = np.asarray(values, dtype=float)
    return np.array([(values < v).sum() + ((values == v).sum() - 1) / 2.0 for v in values])


def spearman(a, b):
    return float(np.corrcoef(ranks(a), ranks(b))[0, 1])


def tried(face, thread, height):
    """Error rates, the tool's figures and the pairs of letters of one setting."""
    plans = [plan(word, face=face, thread=thread, height_mm=height) for word in WORDS]
    letters = [row for made in plans for row in read(made).letters]
    told = seen_by_tesseract([picture(made) for made in plans])
    margins = np.array([row.margin for row in letters])
    drawn = np.array([row.drawn_margin for row in letters])
    pairs = [p for a, b in zip(WORDS, told, strict=True) for p in aligned(a.lower(), b.lower())[1]]
    return {
        "face": Path(face).stem,
        "thread": thread,
        "height": height,
        "cer": error_rate(WORDS, told),
        "fewer": error_rate(WORDS[:FEWER], told[:FEWER]),
        "margin": margins.mean(),
        "kept": margins.mean() / drawn.mean(),
        "low": np.sort(margins)[len(margins) // 10],
        "likeness": np.mean([row.likeness for row in letters]),
        "pairs": Counter(p for p in pairs if p[0] != p[1]),
        "tool": Counter((r.text, r.looks_like) for r in letters if r.margin < 0.02),
    }


def main():
    """Run all settings and print the tables."""
    if not shutil.which("tesseract"):
        sys.exit("tesseract is not installed")
    rows = []
    print(f"{'face':24}thread   mm    CER  margin  share kept  lowest tenth  likeness")
    for face in sys.argv[1:] or FACES:
        for thread in THREADS:
            for height in HEIGHTS:
                row = tried(face, thread, height)
                rows.append(row)
                print(
                    f"{row['face']:24}{thread:>6}{height:5.1f}  {row['cer']:5.3f}  "
                    f"{row['margin']:6.3f}  {row['kept']:10.2f}  {row['low']:12.3f}  "
                    f"{row['likeness']:8.3f}",
                    flush=True,
                )
    rates = [row["cer"] for row in rows]
    faces = list(dict.fromkeys(row["face"] for row in rows))
    for name in ("margin", "kept", "low", "likeness"):
        found = spearman(rates, [row[name] for row in rows])
        one_by_one = [
            spearman(*zip(*((r["cer"], r[name]) for r in rows if r["face"] == face), strict=True))
            for face in faces
        ]
        print(
            f"Spearman of error rate and {name}: {found:+.2f} over {len(rows)} settings;"
            " face by face " + " ".join(f"{one:+.2f}" for one in one_by_one)
        )
    print("\nLetters that tesseract took for others, and what the tool names (all settings):")
    seen, named = (sum((row[of] for row in rows), Counter()) for of in ("pairs", "tool"))
    for (a, b), count in seen.most_common(20):
        ours = [f"{y} {n}" for (x, y), n in named.most_common() if x.lower() == a][:3]
        print(f"  {a} as {b or 'nothing':8}{count:4}   tool: {', '.join(ours) or 'not close'}")
    print(f"\nError rate of the first {FEWER} words, by face")
    for thread in THREADS:
        print(f"{thread} wt{'':20}" + "".join(f"{h:>7.0f} mm" for h in TOLD_HEIGHTS))
        for face in faces:
            cells = [
                r["fewer"]
                for r in rows
                if (r["face"], r["thread"]) == (face, thread) and r["height"] in TOLD_HEIGHTS
            ]
            print(f"  {face:22}" + "".join(f"{cell:10.3f}" for cell in cells))


if __name__ == "__main__":
    main()
