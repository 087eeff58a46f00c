"""Job files and rate cards that were made to do harm: one line, soon, and nothing left."""

import os
import sys

import pytest

if sys.platform == "win32":
    pytest.skip("processes are bounded by POSIX means", allow_module_level=True)

from bounded_runs import bounded_runs

HOSTILE = {
    "arrays in arrays": "a = " + "[" * 50_000 + "]" * 50_000,
    "tables in tables": "a = " + "{a=" * 5_000 + "1" + "}" * 5_000,
    "a name of 10,000 parts": ".".join("a" * 10_000) + " = 1",
    "a number of 100,000 digits": "height = " + "9" * 100_000,
    "a number of a million zeros": "height = 1e1000000",
    "5 MB": "# " + "x" * 5_000_000,
    "50,000 lines": '[[line]]\ntext = "a"\n' * 50_000,
    "text of 200,000 letters": f'[[line]]\ntext = "{"a" * 200_000}"\n',
    "face outside": '[[line]]\ntext = "a"\nface = "/dev/zero"\n',
    "face that is a folder": '[[line]]\ntext = "a"\nface = "/"\n',
    "fields in fields": '[[line]]\ntext = "{{{{{a}}}}}"\n',
    "name that climbs": 'name = "../../up"\n[[line]]\ntext = "a"\n',
    "noise": "\x01\x02\x03",
    "nothing": "",
}


@pytest.fixture(scope="module")
def ends(tmp_path_factory):
    home = tmp_path_factory.mktemp("jobs")
    cases = {}
    for number, (name, text) in enumerate(HOSTILE.items()):
        (home / f"{number}.toml").write_text(text, encoding="utf-8")
        cases[name] = ["plot", str(home / f"{number}.toml"), "--out", str(home / "out")]
        cases[f"rates: {name}"] = ["price", "a", "--rates", str(home / f"{number}.toml")]
    os.mkfifo(home / "pipe.toml")
    cases["named pipe"] = ["plot", str(home / "pipe.toml"), "--out", str(home / "out")]
    cases["rates: named pipe"] = ["price", "a", "--rates", str(home / "pipe.toml")]
    return bounded_runs(cases, home), home


@pytest.mark.parametrize(
    "name", [f"{kind}{name}" for name in [*HOSTILE, "named pipe"] for kind in ("", "rates: ")]
)
def test_a_hostile_file_is_refused_in_one_line(name, ends):
    found, home = ends
    end = found[name]

    assert (end.code, end.out) == (1, ""), end
    assert end.err.count("\n") == 1
    assert len(end.err) < 600
    assert end.cpu_s < 5.0
    assert not (home / "out").exists()
