"""Every figure that a released program said of its own garage is still said by this one, page by page."""

import json
from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from starlette.testclient import TestClient

from garage.db.restore import restore
from tests.durability.pages import CLOCK, DESK

RELEASED = Path(__file__).parents[1] / "db" / "released"


def figures(data: Any) -> Iterator[tuple[float, str]]:
    """Each number with its unit within a representation; the last digits of a mean depend on the order of its sum."""
    if isinstance(data, dict):
        if {"value", "unit"} <= data.keys() and isinstance(data["value"], int | float):
            yield _told(data["value"]), data["unit"]
        data = list(data.values())
    if isinstance(data, list):
        for one in data:
            yield from figures(one)


def _told(value: float) -> float:
    return float(f"{value:.12g}")


def test_every_figure_that_the_first_edition_said_of_its_garage_is_said_of_it_now(make_app, tmp_path: Path):
    restore(RELEASED / "0001.zip", tmp_path / "garage", CLOCK)
    client = TestClient(make_app(tmp_path / "garage", clock=lambda: CLOCK), client=DESK)
    said = json.loads((RELEASED / "0001-figures.json").read_text())
    assert sum(map(len, said.values())) > 1000
    missing = {}
    for address, then in said.items():
        now = Counter(figures(client.get(address).json()))
        if gone := Counter((_told(value), unit) for value, unit in then) - now:
            missing[address] = dict(gone)
    assert missing == {}
