"""Put what the first command prints and draws today into README.md, and its pictures into out/.

python tests/refresh_readme.py
"""

import re
import shlex
import shutil
import tempfile
from pathlib import Path

from click.testing import CliRunner
from readme_figure import how_it_works
from readme_runs import PANEL, rerun
from reference import placed

from pathgen.cli import main as pathgen
from pathgen.orders.learning import learn
from pathgen.orders.trial import trial, trial_files

ROOT = Path(__file__).parents[1]

# Every small letter and figure, in a text of our own.
SPECIMEN = (
    "Six jumbo figs, very",
    "crisp quay waffles",
    "& dozen hotcakes",
    "Pier 49, 06.35–17.28",
)
# Face, thread and height of capitals of each specimen.
SPECIMENS = (("fairlead-plain", "40", "5"), ("tholepin", "60", "3"))

# What the picture of the lettering as thread is made with.
SEWN = shlex.split(
    'plot "Net Loft" --thread 60 --height 3 --face tholepin --colour white --sewn '
    "--cloth-colour navy"
)


def main():
    """Run the commands and write all."""
    with tempfile.TemporaryDirectory() as out:
        result = CliRunner().invoke(
            pathgen, ["plot", "Harbour Bakery", "--height", "5", "--out", out]
        )
        shutil.copy(Path(out) / "harbour-bakery.svg", ROOT / "out" / "readme-harbour-bakery.svg")
        for face, thread, height in SPECIMENS:
            asked = ["--face", face, "--thread", thread, "--height", height]
            name = f"readme-specimen-{face}"
            CliRunner().invoke(pathgen, ["plot", *SPECIMEN, *asked, "--name", name, "--out", out])
            shutil.copy(Path(out) / f"{name}.svg", ROOT / "out")
        CliRunner().invoke(pathgen, [*SEWN, "--name", "readme-net-loft", "--out", out])
        shutil.copy(Path(out) / "readme-net-loft.sewn.svg", ROOT / "out")
        learn([ROOT / "out" / PANEL], Path(out))
        shutil.copy(Path(out) / "pique.learnt.svg", ROOT / "out" / "readme-learnt.svg")
        figure = ROOT / "out" / "readme-how-it-works.svg"
        figure.write_text(how_it_works(), encoding="utf-8")
        form = trial_files(trial("pique-40", asked={"cloth": "pique"}))["pique-40.form.svg"]
        (ROOT / "out" / "readme-trial-form.svg").write_bytes(form)
    lines = result.stdout.replace(out, "out").rstrip().split("\n")[:-1]
    readme = ROOT / "README.md"
    text = readme.read_text(encoding="utf-8")
    block = "```text\n" + "\n".join(lines) + "\n```"
    text = re.sub(r"```text\nHarbour Bakery\n.*?```", lambda _: block, text, flags=re.DOTALL)
    text = placed(text)
    with tempfile.TemporaryDirectory() as folder:
        readme.write_text(rerun(text, folder), encoding="utf-8")


if __name__ == "__main__":
    main()
