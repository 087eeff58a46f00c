"""Everything odd that can be named as a font file, written into a folder."""

import os
from collections.abc import Iterator
from itertools import chain
from pathlib import Path

from odd_outlines import odd_composites, odd_contours, odd_points
from odd_tables import (
    cut_short,
    flipped,
    odd_charstrings,
    odd_features,
    odd_heads,
    odd_kinds,
    odd_maps,
)
from odd_webfonts import odd_webfonts
from outside import font_file

TOO_BIG = 500_000_000


def odd_fonts(folder: Path) -> dict[str, Path]:
    """Path of each odd font, by what is odd about it."""
    paths = {}
    for number, (name, data) in enumerate(_all_bytes()):
        paths[name] = folder / f"{number}.ttf"
        paths[name].write_bytes(data)
    return paths | dict(_odd_paths(folder))


def _all_bytes() -> Iterator[tuple[str, bytes]]:
    whole = font_file("DejaVuSans.ttf").read_bytes()
    return chain(
        odd_contours(),
        odd_composites(),
        odd_points(),
        odd_heads(),
        odd_maps(),
        odd_kinds(),
        odd_charstrings(),
        odd_features(),
        odd_webfonts(),
        cut_short(whole, 12),
        flipped(whole, "DejaVu Sans"),
    )


def _odd_paths(folder: Path) -> Iterator[tuple[str, Path]]:
    """Paths that are no plain files."""
    special = folder / "special"
    special.mkdir()
    os.mkfifo(special / "pipe.ttf")
    (special / "loop.ttf").symlink_to("loop.ttf")
    (special / "gone.ttf").symlink_to("nowhere.ttf")
    (special / "pipe-link.ttf").symlink_to("pipe.ttf")
    with open(special / "sparse.ttf", "wb") as file:
        file.write(b"\0\1\0\0")
        file.truncate(TOO_BIG)
    with open(special / "nearly.ttf", "wb") as file:
        file.write(b"\0\1\0\0")
        file.truncate(99_000_000)
    yield "folder", special
    yield "named pipe", special / "pipe.ttf"
    yield "link to a named pipe", special / "pipe-link.ttf"
    yield "link to itself", special / "loop.ttf"
    yield "link to nowhere", special / "gone.ttf"
    yield "sparse file of 500 MB", special / "sparse.ttf"
    yield "sparse file of 99 MB", special / "nearly.ttf"
    yield "name of 5,000 letters", Path("x" * 5000 + ".ttf")
    yield "name with a line end", Path("a\nb.ttf")
    for device in ("/dev/zero", "/dev/null", "/dev/random", "/dev/stdin", "/proc/self/mem"):
        yield device, Path(device)
