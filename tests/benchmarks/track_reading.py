"""How long a GPX of 90,000 points takes from file to measures, against two yardsticks in the same run.

python -m tests.benchmarks.track_reading
"""

import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from xml.etree.ElementTree import iterparse

import gpxpy

from garage.calc.track.measure import look_at
from garage.logs.readers.reading import read_log
from tests.logs.made import gpx, there_and_back

POINTS = 90_000
ROUNDS = 5


def best_of_each(*acts: Callable[[], object]) -> list[float]:
    """The shortest of five of each, in seconds; taken in turn, so that a busy machine slows all alike."""
    took: list[list[float]] = [[] for _ in acts]
    for _ in range(ROUNDS):
        for times, act in zip(took, acts, strict=True):
            began = time.perf_counter()
            act()
            times.append(time.perf_counter() - began)
    return [min(times) for times in took]


def bare(path: Path) -> None:
    """Nothing but a pass over the file, each element emptied."""
    for _, element in iterparse(path):
        element.clear()


def main() -> None:
    """Print both ratios."""
    made = there_and_back(25, 25, rounds=POINTS * 25 / 25 / 534 + 1)
    track = made.track(place_sd=0.02, speed_sd=0.1).part(0, (POINTS - 1) / 25)
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "hour.gpx"
        path.write_text(gpx(track))
        ours, parse, passed = best_of_each(
            lambda: look_at(read_log(path).track), lambda: gpxpy.parse(path.read_text()), lambda: bare(path)
        )
    print(f"{len(track)} points: ours {ours:.2f} s, gpxpy's parse alone {parse:.2f} s, a bare pass {passed:.2f} s")
    print(f"{parse / ours:.1f} times faster than gpxpy's parse alone (at least 3)")
    print(f"{ours / passed:.2f} times the bare pass (at most 2)")


if __name__ == "__main__":
    main()
