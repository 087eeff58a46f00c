"""What a names run has done, on disk, so that a run that was stopped goes on where it was.

One line of JSON a name, written as soon as its batch is done; a line that was cut short by a
crash is passed over. At the end the ledger is written anew with what the run needed, and put in
place in one step. A name counts as done if its digest is known and its files are as long as they
were.
"""

import json
import os
from collections.abc import Iterable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import Any, TextIO

from pathgen.errors import OutputError
from pathgen.orders.batch import Done
from pathgen.writers.locking import alone_in

__all__ = ["Ledger", "replaced"]

FILE = "names.state.jsonl"


class Ledger:
    """Results by the digest of their name; figures are kept as text, which takes least room."""

    def __init__(self, folder: Path) -> None:
        """Read what an earlier run has left."""
        self.path = folder / FILE
        self.shapes: dict[str, str] = {}
        self._lines: dict[str, str] = {}
        self._file: TextIO | None = None
        if not self.path.is_file():
            return
        with self._told(), self.path.open(encoding="utf-8", errors="replace") as file:
            for line in file:
                self._take(line.rstrip("\n"))

    @contextmanager
    def _told(self) -> Iterator[None]:
        """Name the file where the disk refuses it."""
        try:
            yield
        except OSError as error:
            reason = (error.strerror or "unknown reason").lower()
            msg = f"{self.path}, which tells what is done, cannot be used: {reason}"
            raise OutputError(msg) from error

    def _take(self, line: str) -> None:
        """Remember a line that is whole."""
        with suppress(ValueError, KeyError, TypeError):
            found = json.loads(line)
            if "shape" in found:
                self.shapes[str(found["shape"])] = str(found["data"])
            elif _is_whole(found):
                self._lines[found["key"]] = line

    def __contains__(self, key: str) -> bool:
        return key in self._lines

    def done(self, key: str) -> Done:
        """What came of a name."""
        found = json.loads(self._lines[key])
        return Done(
            key=key, cells=found["cells"], sizes=tuple(found["sizes"]), drawing=found["drawing"]
        )

    def forget(self, key: str) -> None:
        """Take a name for not done."""
        self._lines.pop(key, None)

    def add(self, results: Iterable[Done]) -> None:
        """Keep results, and write them down before anything else happens."""
        lines = []
        for done in results:
            for shape, data in done.shapes:
                if self.shapes.setdefault(shape, data) is data:
                    lines.append(json.dumps({"shape": shape, "data": data}))
            lines.append(self._lines.setdefault(done.key, _line(done)))
        with self._told():
            if self._file is None:
                self._file = self.path.open("a", encoding="utf-8", newline="\n")
                self._file.write("\n")  # ends a line that a crash may have cut short
            self._file.write("".join(f"{line}\n" for line in lines))
            self._file.flush()

    def close(self) -> None:
        """Let go of the file."""
        if self._file is not None:
            self._file.close()
            self._file = None

    def keep_only(self, keys: Iterable[str]) -> None:
        """Write the ledger anew with the results of these names alone."""
        self.close()
        kept = [key for key in keys if key in self._lines]
        drawn = {word for key in kept for word in self.done(key).drawing.split()}
        shapes = {name: data for name, data in self.shapes.items() if name in drawn}
        with replaced(self.path) as write:
            for name, data in shapes.items():
                write((json.dumps({"shape": name, "data": data}) + "\n").encode())
            for key in kept:
                write((self._lines[key] + "\n").encode())


def _line(done: Done) -> str:
    """A result as a line."""
    said = {"key": done.key, "cells": done.cells, "sizes": done.sizes, "drawing": done.drawing}
    return json.dumps(said, separators=(",", ":"))


def _is_whole(found: Any) -> bool:
    """Whether a line of the ledger holds what it should."""
    kinds = {"key": str, "cells": str, "sizes": list, "drawing": str}
    return all(isinstance(found[name], kind) for name, kind in kinds.items())


@contextmanager
def replaced(path: Path) -> Iterator[Any]:
    """Write a file piece by piece; it takes its place at the end, or not at all.

    Raises
    ------
    OutputError
        If it cannot be written.
    """
    beside = path.with_name(f".pathgen-{os.getpid()}-{path.name}.part")
    try:
        with alone_in(path.parent):  # what a killed run left is swept up
            try:
                with beside.open("wb") as file:
                    yield file.write
                    file.flush()
                    os.fsync(file.fileno())
                os.replace(beside, path)
            finally:
                with suppress(OSError):
                    beside.unlink()
    except OSError as error:
        reason = (error.strerror or "unknown reason").lower()
        msg = f"{path} could not be written: {reason}; choose a folder with free space"
        raise OutputError(msg) from error
