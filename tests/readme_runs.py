"""README's terminal blocks: each begins with ``$ pathgen ...`` and shows what that prints.

The blocks are run in their order, in one folder, as a reader would run them; ``> FILE`` keeps the
output in a file, ``| head -N`` shows the first lines of it.
"""

import re
import shlex
import shutil
from contextlib import chdir
from pathlib import Path

from click.testing import CliRunner

from pathgen.cli import main

ROOT = Path(__file__).parents[1]
PANEL = "readme-simulated-panel.csv"

JOB = re.compile(r"```toml\n# ([\w-]+\.toml)\n(.*?)```", re.DOTALL)
BLOCK = re.compile(r"```text\n(\$ pathgen .*?)```", re.DOTALL)


def rerun(readme, folder):
    """The text of README with all its terminal blocks run anew in a folder.

    It gets the simulated panel under the name that the README gives it, and every TOML block
    that begins with its file's name.
    """
    filled = Path(folder) / "out" / PANEL
    filled.parent.mkdir(exist_ok=True)
    shutil.copy(ROOT / "out" / PANEL, filled)
    for name, content in JOB.findall(readme):
        (Path(folder) / name).write_text(content, encoding="utf-8")
    with chdir(folder):
        return BLOCK.sub(lambda found: f"```text\n{_session(found[1])}```", readme)


def _session(block):
    """The commands of a block, each followed by what it prints."""
    said = []
    for line in re.findall(r"^\$ pathgen .*$", block, re.MULTILINE):
        command, _, file = line.removeprefix("$ pathgen ").partition(" > ")
        command, _, head = command.partition(" | head -")
        result = CliRunner().invoke(main, shlex.split(command))
        assert result.exit_code == 0, f"{line}: {result.output}"
        lines = result.stdout.splitlines(keepends=True)
        if file:
            with open(file, "w", encoding="utf-8") as out:
                out.write(result.stdout)
            lines = []
        said += [line + "\n", *lines[: int(head) if head else None]]
    return "".join(said)
