"""Put what the first command prints and draws today into README.md and its picture.

python tests/refresh_readme.py
"""

import re
import shutil
import tempfile
from pathlib import Path

from click.testing import CliRunner

from pathgen.cli import main as pathgen

ROOT = Path(__file__).parents[1]


def main():
    """Run the command and write both."""
    with tempfile.TemporaryDirectory() as out:
        result = CliRunner().invoke(
            pathgen, ["plot", "Harbour Bakery", "--height", "5", "--out", out]
        )
        shutil.copy(Path(out) / "harbour-bakery.svg", ROOT / "out" / "readme-harbour-bakery.svg")
    lines = result.stdout.replace(out, "out").rstrip().split("\n")[:-1]
    readme = ROOT / "README.md"
    text = readme.read_text(encoding="utf-8")
    block = "```text\n" + "\n".join(lines) + "\n```"
    readme.write_text(
        re.sub(r"```text\n.*?```", lambda _: block, text, flags=re.DOTALL), encoding="utf-8"
    )


if __name__ == "__main__":
    main()
