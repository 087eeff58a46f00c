"""Find what the tests hold our work against: published fonts, programs, standards' files.

The Python packages of the ``test`` extra bring some of it; the rest comes from the system. What
is missing skips a test on a bare machine, and fails it where ``CI`` is set.
"""

import os
import shutil
from importlib.util import find_spec
from pathlib import Path

import pytest

_SYSTEM_FONTS = (Path("/usr/share/fonts"), Path("/usr/local/share/fonts"))


def font_file(name: str) -> Path:
    """Font file such as ``DejaVuSans.ttf`` (from matplotlib or Debian's fonts-dejavu-core) or
    ``LiberationSans-Regular.ttf`` (Debian's fonts-liberation)."""
    spec = find_spec("matplotlib")
    homes = [Path(spec.origin).parent / "mpl-data/fonts/ttf"] if spec and spec.origin else []
    for home in [*_SYSTEM_FONTS, *homes]:
        found = sorted(home.rglob(name)) if home.is_dir() else []
        if found:
            return found[0]
    return _missing(f"font {name}")


def program(name: str) -> str:
    """Path of a program such as ``chromium`` or ``rsvg-convert``."""
    return shutil.which(name) or _missing(f"program {name}")


def svg_dtd() -> Path:
    """The SVG 1.1 DTD of 16 August 2011 (Debian's w3c-sgml-lib)."""
    home = Path("/usr/share/xml/w3c-sgml-lib/schema/dtd/REC-SVG11-20110816")
    return home / "svg11.dtd" if home.is_dir() else _missing("the SVG 1.1 DTD")


def _missing(what: str) -> "Path":
    if os.environ.get("CI"):
        pytest.fail(f"{what} is missing; .ci/run installs it")
    pytest.skip(f"{what} is not on this machine")


def chromium(folder: Path, width: int, height: int) -> list[str]:
    """Command of a headless browser that asks nothing of the network.

    ``folder`` is for its own files; its window is given in CSS pixels.
    """
    return [
        program("chromium"),
        "--headless",
        "--no-sandbox",
        "--disable-gpu",
        "--disable-background-networking",
        "--disable-sync",
        "--no-first-run",
        f"--user-data-dir={folder / 'profile'}",
        f"--window-size={width},{height}",
    ]
