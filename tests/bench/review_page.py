"""How long a step of the review page takes, at 60 letters and 10,000 stitches, in Chromium.

From the key press until all three canvases hold the new drawing (they are read back), and until
the next frame stands on the screen, with all layers on. Going nearer and farther moves the picture
at once and draws it anew when all is still: both are told. Chromium draws without a graphics
card here, which is slower than most desks. Wanted: at most 60 ms a step.

python tests/bench/review_page.py
"""

import sys
import tempfile
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

from browser import Browser

from pathgen import plan
from pathgen.writers.review_page import review_page

TEXT = "The Harbour Bakery, Net Loft and Chandlery of the Old Customs Quay etc"
WANTED_MS = 60

STEPS = """(async () => {
  const drawn = () => new Promise(ok => requestAnimationFrame(() => {
    const port = new MessageChannel();
    port.port1.onmessage = ok;
    port.port2.postMessage(0);
  }));
  const frame = document.getElementById('drawing');
  const took = [], worked = [];
  for (const key of KEYS) {
    await drawn();
    const start = performance.now();
    frame.dispatchEvent(new KeyboardEvent('keydown', { key }));
    for (const canvas of frame.children) {
      if (canvas.getContext) canvas.getContext('2d').getImageData(0, 0, 1, 1);
    }
    worked.push(performance.now() - start);
    await drawn();
    took.push(performance.now() - start);
  }
  return [took, worked];
})()"""

SHARP = """(async () => {
  const frame = document.getElementById('drawing');
  const moved = () => frame.querySelector('canvas').style.transform !== '';
  const still = async () => {
    while (moved()) await new Promise(ok => requestAnimationFrame(ok));
    await new Promise(ok => requestAnimationFrame(() => setTimeout(ok)));
  };
  await still();
  const took = [];
  for (const key of '+-+-+-+-') {
    const start = performance.now();
    frame.dispatchEvent(new KeyboardEvent('keydown', { key }));
    await still();
    took.push(performance.now() - start);
  }
  return took;
})()"""


def main():
    """Print one line a situation."""
    made = plan(TEXT, height_mm=12.0, spacing_mm=0.3)
    print(f"{len(made.letters)} letters, {made.whole.stitches} stitches; wanted {WANTED_MS} ms")
    with tempfile.TemporaryDirectory() as folder:
        page = Path(folder) / "page.html"
        page.write_text(review_page(made), encoding="utf-8")
        browser = Browser(Path(folder))
        try:
            browser.open(page.as_uri())
            for name, before, keys in (
                ("at the start, whole plan", ["Home", "0"], ["ArrowRight"] * 60),
                ("at the end, whole plan", ["0", "End"], ["ArrowLeft"] * 60),
                ("at the end, near", ["End", *"+" * 8], ["ArrowLeft"] * 60),
                ("going nearer and farther", ["0", "End"], list("+-" * 15)),
            ):
                browser.run(STEPS.replace("KEYS", str(before)))
                took, worked = browser.run(STEPS.replace("KEYS", str(keys)))
                took, worked = sorted(took), sorted(worked)
                middle = len(took) // 2
                print(
                    f"{name:<26} drawn after {worked[middle]:5.1f} ms (most {worked[-1]:5.1f}), "
                    f"on the screen after {took[middle]:5.1f} ms (most {took[-1]:5.1f})"
                )
            sharp = sorted(browser.run(SHARP))
            print(
                f"sharp again after {sharp[len(sharp) // 2]:.0f} ms"
                f" (most {sharp[-1]:.0f}), the wait for stillness counted in"
            )
        finally:
            browser.close()


if __name__ == "__main__":
    main()
