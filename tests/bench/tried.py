"""How many examples each property has tried, from what pytest said by night.

    python -m pytest -m property --hypothesis-show-statistics ... > night.log
    python tests/bench/tried.py night.log [NUMBER]

names those that tried fewer than so many, with hypothesis's own reason; exit code 1 if one of them
had more to try.
"""

import re
import sys
from pathlib import Path

_PASSED = re.compile(r"^ +- (\d+) passing", re.MULTILINE)
_REASON = re.compile(r"^ +- Stopped because (.*)$", re.MULTILINE)
ALL_TRIED = "nothing left to do"


def tried(said: str) -> dict[str, tuple[int, str]]:
    """Property to the number of its examples, and why there were no more."""
    pieces = re.split(r"^(tests/\S+::\S+):\n", said, flags=re.MULTILINE)[1:]
    return {
        name: (sum(map(int, _PASSED.findall(told))), _REASON.findall(told)[0])
        for name, told in zip(pieces[::2], pieces[1::2], strict=True)
    }


def main() -> int:
    """Name those that tried fewer."""
    asked = int(sys.argv[2]) if len(sys.argv) > 2 else 10_000
    found = tried(Path(sys.argv[1]).read_text(encoding="utf-8"))
    few = {name: told for name, told in found.items() if told[0] < asked}
    print(f"{len(found)} properties, {len(few)} with fewer than {asked} examples")
    for name, (count, reason) in few.items():
        print(f"{count:6d}  {name}: {reason}")
    return int(not found or any(reason != ALL_TRIED for _, reason in few.values()))


if __name__ == "__main__":
    sys.exit(main())
