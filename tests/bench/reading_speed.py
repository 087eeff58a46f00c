"""What a reading costs: CPU time a letter, beside planning the same letters.

python tests/bench/reading_speed.py
"""

import string
import time

from pathgen import plan, read

ALL = string.ascii_letters + string.digits


def ratios():
    """For `all.py`: a reading beside planning the same letters."""
    read(plan(ALL, height_mm=5.0))
    planned = reading = 0.0
    for n in range(8):
        start = time.process_time()
        made = plan(ALL, height_mm=4.0 + 0.13 * n)
        middle = time.process_time()
        read(made)
        planned, reading = planned + middle - start, reading + time.process_time() - middle
    yield "read a letter", "plan it", reading / planned


def main():
    """Warm up at one height, then time others, where no letter is known yet."""
    made = plan(ALL, height_mm=5.0)
    start = time.process_time()
    read(made)
    print(
        f"first reading, with the alphabet drawn: {1000.0 * (time.process_time() - start):.0f} ms"
    )
    planned = reading = 0.0
    heights = [4.0 + 0.13 * n for n in range(8)]
    for height in heights:
        start = time.process_time()
        made = plan(ALL, height_mm=height)
        middle = time.process_time()
        read(made)
        planned, reading = planned + middle - start, reading + time.process_time() - middle
    letters = len(heights) * len(ALL)
    again = time.process_time()
    read(made)
    again = time.process_time() - again
    print(f"planned {1000.0 * planned / letters:.2f} ms a letter")
    print(f"read    {1000.0 * reading / letters:.2f} ms a letter, ratio {reading / planned:.2f}")
    print(f"read again, letters known: {1000.0 * again / len(ALL):.3f} ms a letter")


if __name__ == "__main__":
    main()
