"""`garage effect`: what did a change really gain, from a table of runs."""

import argparse
import json
import math
import sys
from pathlib import Path

from garage.api.effects import MOST_RUNS, SMALLEST_PERCENT, answered, as_json, as_lines
from garage.arguments import Arguments
from garage.errors import GarageError

_LARGEST_FILE_MB = 50
COLUMNS = """columns of the table (others are not used, and named); rows in the order of the runs:
  speed_kmh         or speed_mph, speed_ms
  outing            any text; runs with the same share a day
  pack, prop        any text
  pack_cycle        which discharge of the pack this run is, 1 the first; empty: broken in
  air_c, wind_ms    air in °C, strength of the wind in m/s
  headwind_ms       of runs one way: against the boat positive; empty: both ways
  cells             cells in series
  pack_start_c      pack at the start, °C
  rested_v          rested volts before the start, of a cell or of the pack
  passes            how many passes the speed is the best of
  how               log, display or eye
  and the changes (0 or 1) and settings (numbers) that are asked about"""


def effect(words: list[str]) -> int:
    """Answer on the standard output. GarageError, in words, for anything that cannot be used."""
    options = _parser().parse_args(words)
    smallest = _above_zero("--smallest", options.smallest)
    count = _whole("--next", options.next)
    found = answered(
        _text(options.table), options.of, also=_names(options.also), steps=_steps(options.step),
        smallest_percent=smallest, available=options.available, next_runs=count,
    )  # fmt: skip
    if options.json:
        print(json.dumps(as_json(found.given, found.following, found.table.ignored), indent=1, ensure_ascii=False))
        for note in (*found.table.notes, *found.given.design.notes):
            print(note, file=sys.stderr)
    else:
        print("\n".join(as_lines(found.given, found.following, found.table.ignored, found.table.notes)))
    return 0


def _parser() -> argparse.ArgumentParser:
    parser = Arguments(
        prog="garage effect",
        description="What a change really gained, from a table of runs (CSV).",
        epilog=COLUMNS,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    add = parser.add_argument
    add("table", metavar="RUNS.csv", help="the table of runs; - reads the standard input")
    add("--of", required=True, metavar="COLUMN", help="the change (0 or 1) or setting asked about")
    add("--also", default="", metavar="A,B", help="further changes or settings in the model")
    add("--step", action="append", default=[], metavar="SETTING=STEP", help="step of a setting (default 1)")
    smallest = "smallest difference that matters (default 1)"
    add("--smallest", default=str(SMALLEST_PERCENT), metavar="PERCENT", help=smallest)
    usable = 'what the next runs may use: "pack=A,B;prop=P1;tabs=1;pack_cycle=A:6" (default: every level seen)'
    add("--available", default="", metavar="WHAT", help=usable)
    add("--next", default="4", metavar="K", help=f"how many next runs, 1 to {MOST_RUNS} (default 4)")
    add("--json", action="store_true", help="answer in JSON")
    return parser


def _text(path: str) -> str:
    try:
        if path == "-":
            return sys.stdin.read()
        if Path(path).stat().st_size > _LARGEST_FILE_MB * 1_000_000:
            raise GarageError(f"{path} is larger than {_LARGEST_FILE_MB} MB: not a table of runs.")
        return Path(path).read_text(encoding="utf-8-sig")
    except OSError as error:
        raise GarageError(f"{path} cannot be read: {error.strerror}.") from error
    except UnicodeDecodeError as error:
        raise GarageError(f"{path} is not text in UTF-8.") from error


def _names(text: str) -> list[str]:
    return [name.strip() for name in text.split(",") if name.strip()]


def _steps(texts: list[str]) -> dict[str, float]:
    steps = {}
    for text in texts:
        name, _, step = text.partition("=")
        steps[name.strip()] = _above_zero(f"--step {name.strip()}", step)
    return steps


def _above_zero(name: str, text: str) -> float:
    try:
        value = float(text)
    except ValueError:
        value = math.nan
    if not (math.isfinite(value) and value > 0):
        raise GarageError(f"{name} must be a number above 0, not {text!r}.")
    return value


def _whole(name: str, text: str) -> int:
    if not text.isdecimal() or not 1 <= int(text) <= MOST_RUNS:
        raise GarageError(f"{name} must be a whole number from 1 to {MOST_RUNS}, not {text!r}.")
    return int(text)
