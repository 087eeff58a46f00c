"""The same input gives the same bytes in any process, locale, time zone, folder and umask."""

import hashlib
import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
RUNS = """
import sys
from pathgen.cli import main
for args in (
    ["plot", "Quay & Söhne", "est. 1974", "--height", "4", "--thread", "60", "--json"],
    ["plot", "Net Loft", "--arc", "40", "--align", "centre", "--name", "loft"],
    ["faces"],
):
    main(args, standalone_mode=False)
"""


def printed_and_written(folder, **changed):
    """Digest of what some runs print, and of each file that they write."""
    folder.mkdir()
    env = {"PYTHONPATH": str(ROOT), "PATH": os.environ["PATH"], "LC_ALL": "C.UTF-8", **changed}
    umask = int(env.pop("UMASK", "022"), 8)
    done = subprocess.run(
        [sys.executable, "-X", "utf8", "-c", RUNS],
        cwd=folder, env=env, check=True, capture_output=True, umask=umask,
    )  # fmt: skip
    digest = {"": done.stdout, **{p.name: p.read_bytes() for p in (folder / "out").iterdir()}}
    return {name: hashlib.sha256(data).hexdigest() for name, data in digest.items()}


@pytest.fixture(scope="module")
def usual(tmp_path_factory):
    found = printed_and_written(tmp_path_factory.mktemp("usual") / "a", PYTHONHASHSEED="0")
    assert len(found) == 7
    return found


@pytest.mark.parametrize(
    "changed",
    [
        {"PYTHONHASHSEED": "1"},
        {"PYTHONHASHSEED": "4294967295"},
        {"TZ": "Pacific/Kiritimati"},
        {"TZ": "America/St_Johns", "SOURCE_DATE_EPOCH": "1"},
        {"UMASK": "077"},
        {"LC_ALL": "POSIX", "LANG": "C"},
        {"OPENBLAS_NUM_THREADS": "1", "OMP_NUM_THREADS": "1"},
        {"OPENBLAS_CORETYPE": "Nehalem"},
        {"PYTHONOPTIMIZE": "2"},
        {"COLUMNS": "40", "TERM": "dumb", "NO_COLOR": "1"},
    ],
    ids=lambda changed: " ".join(f"{k}={v}" for k, v in changed.items()),
)
def test_surroundings_change_no_byte(changed, usual, tmp_path):
    assert printed_and_written(tmp_path / "another folder", **changed) == usual


@pytest.mark.parametrize("locale", ["de_DE", "tr_TR"])
def test_locale_changes_no_byte(locale, usual, tmp_path):
    """German writes 1,5 for 1.5; Turkish has another small letter for I."""
    if not shutil.which("localedef") or not Path("/usr/share/i18n/locales", locale).is_file():
        pytest.skip(f"localedef, or its source of {locale}, is not on this machine")
    made = tmp_path / "locales"
    made.mkdir()
    subprocess.run(
        ["localedef", "-i", locale, "-f", "UTF-8", str(made / f"{locale}.UTF-8")],
        check=False, capture_output=True,
    )  # fmt: skip
    env = {"LOCPATH": str(made), "LC_ALL": f"{locale}.UTF-8", "LANG": f"{locale}.UTF-8"}
    taken = subprocess.run(
        [sys.executable, "-c", "import locale; print(locale.setlocale(locale.LC_ALL, ''))"],
        env={**os.environ, **env}, check=True, capture_output=True, text=True,
    )  # fmt: skip
    assert locale in taken.stdout

    assert printed_and_written(tmp_path / "there", **env) == usual


def test_a_change_of_input_changes_the_bytes(usual, tmp_path, monkeypatch):
    """The comparison itself: another height is seen in every file of its run."""
    monkeypatch.setitem(globals(), "RUNS", RUNS.replace('"4", "--thread"', '"4.01", "--thread"'))
    changed = printed_and_written(tmp_path / "a")

    assert {name for name in usual if changed[name] != usual[name]} == {
        "",
        *(name for name in usual if name.startswith("quay")),
    }
