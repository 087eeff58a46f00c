"""The work of a names run that any process can do: some names planned, their files written.

What goes in and what comes out is plain data that can be sent anywhere. A worker opens the
faces once and keeps them for the batches that follow. What is wrong with one name is told in its
result and stops no other.
"""

import hashlib
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from pathlib import Path
from typing import NamedTuple

from pathgen import __version__
from pathgen.errors import FontError, SettingsError, TextError
from pathgen.lettering.bundled import bundled_faces, face_path
from pathgen.lines import AskedLine, SewingField
from pathgen.model import Letter, LetterShape, Plan
from pathgen.orders.counting import NameCounter
from pathgen.orders.job import Job
from pathgen.pipeline import plan_files, plan_ready
from pathgen.polygons import rings_of
from pathgen.ready import ReadyLine, ready_line
from pathgen.writers.files import write_together
from pathgen.writers.totals_csv import measured_cells, measures_of

__all__ = ["Batch", "Done", "Task", "batch_of", "do_batch", "key_for"]

NAMES_FOLDER = "names"


@dataclass(frozen=True, slots=True, kw_only=True)
class Batch:
    """What all names of a run have in common.

    Attributes
    ----------
    key : str
        Digest of all that their results depend on: version, settings and bytes of the faces.
    lines : tuple of AskedLine
        Those of the job.
    field : SewingField or None
        What each must fit into.
    folder : str
        Where their files go; empty where only counts are asked for.
    """

    key: str
    lines: tuple[AskedLine, ...]
    field: SewingField | None
    folder: str


class Task(NamedTuple):
    """One name: its digest, the text of each line of the job, and the stem of its files."""

    key: str
    texts: tuple[str, ...]
    name: str


class Done(NamedTuple):
    """What came of a name.

    Attributes
    ----------
    key : str
        Digest of the name.
    fault : str
        Why it could not be planned; empty if it was.
    cells : str
        Its figures as cells of the totals table.
    sizes : tuple of int
        Bytes of its files.
    drawing : str
        Its letters: line of the job, shape, place and place, parted by spaces.
    shapes : tuple of (str, str)
        Name and path data of the shapes drawn.
    """

    key: str
    fault: str = ""
    cells: str = ""
    sizes: tuple[int, ...] = ()
    drawing: str = ""
    shapes: tuple[tuple[str, str], ...] = ()


def batch_of(job: Job, folder: Path | None) -> Batch:
    """Batch of a job; without a folder, names are only counted.

    Raises
    ------
    FontError, SettingsError
        If the job cannot be planned with.
    """
    lines = tuple(_anywhere(line) for line in job.lines)
    digest = hashlib.sha256(f"{__version__} {job.field!r}".encode())
    for line in lines:
        ready = ready_line(line)
        said = f"{line.text!r} {line.index} {sorted(line.axes.items())} {ready.settings!r}"
        digest.update(said.encode("utf-8", "surrogatepass"))
        digest.update(face_path(line.face).read_bytes())
    return Batch(
        key=digest.hexdigest(),
        lines=lines,
        field=job.field,
        folder="" if folder is None else str(folder.resolve()),
    )


def _anywhere(line: AskedLine) -> AskedLine:
    """A line whose files are found from any folder."""
    asked, face = dict(line.asked), line.face
    if str(asked.get("cloth", "")).lower().endswith(".toml"):
        asked["cloth"] = str(Path(asked["cloth"]).resolve())
    if face is not None and str(face) not in bundled_faces():
        face = str(Path(face).resolve())
    return replace(line, asked=asked, face=face)


def key_for(batch: Batch, texts: Sequence[str], name: str) -> str:
    """Digest of a name: the same for the same texts and file name in the same batch."""
    whole = "\0".join((batch.key, name, *texts))
    return hashlib.sha256(whole.encode("utf-8", "surrogatepass")).hexdigest()[:32]


def do_batch(batch: Batch, tasks: Sequence[Task]) -> list[Done]:
    """Plan each name and write its files.

    Raises
    ------
    OutputError
        If a file cannot be written.
    """
    ready, counter = _ready(_Keyed(batch))
    folder, done = Path(batch.folder) / NAMES_FOLDER, []
    for task in tasks:
        try:
            if batch.folder:
                done.append(_written(batch, folder, ready, task))
            else:
                done.append(Done(task.key, cells=measured_cells(counter.counted(task.texts))))
        except (FontError, SettingsError, TextError) as error:
            done.append(Done(key=task.key, fault=str(error)))
    return done


class _Keyed(NamedTuple):
    """A batch that is told by its key, so that what is ready for it is found again."""

    batch: Batch

    def __hash__(self) -> int:
        return hash(self.batch.key)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Keyed) and other.batch.key == self.batch.key


@lru_cache(maxsize=2)
def _ready(keyed: _Keyed) -> tuple[tuple[ReadyLine, ...], NameCounter]:
    ready = tuple(ready_line(line) for line in keyed.batch.lines)
    return ready, NameCounter(ready, keyed.batch.field)


def _written(batch: Batch, folder: Path, ready: Sequence[ReadyLine], task: Task) -> Done:
    """One name planned, its files written into a folder."""
    used = [n for n, text in enumerate(task.texts) if text.strip()]
    made = plan_ready([(task.texts[n], ready[n]) for n in used], batch.field)
    files = plan_files(made, task.name)
    write_together(folder, files, flushed=False)
    lines = [n for n in used for _ in task.texts[n].rstrip().splitlines()]
    drawing, shapes = _drawn(made, lines)
    return Done(
        key=task.key,
        cells=measured_cells(measures_of(made)),
        sizes=tuple(len(data) for data in files.values()),
        drawing=drawing,
        shapes=shapes,
    )


def _drawn(made: Plan, lines: Sequence[int]) -> tuple[str, tuple[tuple[str, str], ...]]:
    """Letters in their places, and what they look like."""
    letters, shapes = [], {}
    for letter in made.letters:
        name, data = _outline(letter.shape)
        shapes[name] = data
        letters.append(f"{lines[letter.line - 1]} {name} {_at(letter)}")
    return " ".join(letters), tuple(shapes.items())


def _at(letter: Letter) -> str:
    """Place on paper, y down, to a hundredth of a mm."""
    x, y = letter.at_mm
    return f"{x:.2f} {-y + 0.0:.2f}"


@lru_cache(maxsize=4096)
def _outline(shape: LetterShape) -> tuple[str, str]:
    """Name and path data of a letter's ink, y down, to a hundredth of a mm."""
    rings = [ring for polygon in shape.ink for ring in rings_of(polygon)]
    data = "".join(
        "M" + " ".join(f"{x:.2f} {-y + 0.0:.2f}" for x, y in ring.tolist()) + "Z" for ring in rings
    )
    return hashlib.sha256(data.encode()).hexdigest()[:10], data
