"""Prints how many wrong lines of a sample the tests catch, and those that none caught.

`python -m tests.mutation --seed 1 --mutants 100`, with `--record` also as a line of docs/mutation.csv.
"""

import argparse
import sys
import tempfile
from pathlib import Path

from tests.mutation.record import keep, latest_words, run_of
from tests.mutation.report import table
from tests.mutation.rooms import TESTS
from tests.mutation.trial import Tried, try_all


def main() -> int:
    """Run the sample and print the table; 1 where a named line was not caught."""
    parser = argparse.ArgumentParser(prog="python -m tests.mutation", description=__doc__)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--mutants", type=int, default=100, help="the named ones among them, which are always tried")
    parser.add_argument("--record", action="store_true", help="keep the run in docs/mutation.csv")
    parser.add_argument("--watched", type=Path, help="a folder that keeps which tests run which line, for a next run")
    parser.add_argument("--at-once", type=int, default=2, help="how many rooms at once")
    parser.add_argument(
        "--room", choices=list(TESTS), default="", help="only those of a whole run that are in this room"
    )
    asked = parser.parse_args()
    if asked.record and asked.room:
        parser.error("what is kept is a whole run")
    with tempfile.TemporaryDirectory() as folder:
        tried = try_all(asked.seed, asked.mutants, asked.watched or Path(folder), _say, asked.at_once, asked.room)
    print(table(tried))
    if asked.room:
        return 0
    run = run_of(asked.seed, tried)
    print(latest_words(run))
    if asked.record:
        keep(run)
    return int(any(one.is_named and not one.is_caught for one in tried))


def _say(tried: Tried) -> None:
    print("caught  " if tried.is_caught else "SURVIVED", tried.mutant, f"({tried.tests} tests)", flush=True)


if __name__ == "__main__":
    sys.exit(main())
