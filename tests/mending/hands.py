"""Putting something right through its pages, and reading what they say before and after."""

import json
import sqlite3
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any
from urllib.parse import urlencode

from starlette.testclient import TestClient

from garage.paths import DATABASE_NAME

Typed = list[tuple[str, str]]
# What a run's data says, by what the preview calls it; what is told of how it came about is left out.
_SAYS = {
    "line.hull": {"boat"}, "line.started": {"day", "start"}, "line.water": {"water"},
    "line.number": {"place in the order"}, "line.outing_id": {"of the outing"}, "line.state_number": {"build state"},
    "line.mark": {"build state"}, "line.fingerprint": {"build state"}, "line.prop": {"prop"},
    "line.packs": {"packs"}, "line.cells_s": {"cells"}, "line.retire": {"packs", "pack now"},
    "line.flags": {"flags"}, "line.speed.caution": {"flags"}, "start_known": {"start"},
    "against": {"against her best", "against the run before"}, "flags": {"flags"}, "props": {"prop"},
    "packs": {"packs", "what was read off it", "how the pack stood", "pack now"}, "worked_out": {"worked out"},
    "temperatures": {"readings after", "warmer than the air"}, "services": {"service", "service that was due"},
    "missing": {"still missing"}, "waiting": {"still missing"},
}  # fmt: skip
_HOW_IT_CAME = ("corrections", "pins")


@dataclass
class Hands:
    """A client on a garage, and what is done with it."""

    client: TestClient

    @property
    def folder(self) -> Path:
        """Where the garage lies."""
        return self.client.app.state.settings.data_dir

    def ahead(self, kind: str, thing_id: int, name: str, typed: Typed) -> dict[str, Any]:
        """The sheet with what would come of it."""
        answer = self.client.get(f"/otherwise/{kind}/{thing_id}/{name}.json?{urlencode([('look', 'yes'), *typed])}")
        assert answer.status_code == 200
        return answer.json()

    def save(self, kind: str, thing_id: int, name: str, typed: Typed, why: str = "") -> int:
        """Look at what would come of it and save that; the number of the mending."""
        sheet = self.ahead(kind, thing_id, name, typed)
        assert sheet["ahead"], sheet["stands_against"] or sheet["wrong"]
        answer = self.post(kind, thing_id, name, typed, sheet["ahead"]["mark"], why)
        assert answer.status_code == 303, answer.text
        return self.rows("SELECT max(id) FROM mending")[0][0]

    def post(self, kind: str, thing_id: int, name: str, typed: Typed, seen: str, why: str = "") -> Any:
        """The form as it is sent."""
        data: dict[str, Any] = {"seen": seen, "why": why}
        for field, text in typed:
            data.setdefault(field, []).append(text)
        return self.client.post(f"/otherwise/{kind}/{thing_id}/{name}", data=data)

    def take_back(self, mending_id: int) -> Any:
        """Undo it."""
        return self.client.post(f"/otherwise/done/{mending_id}/back", data={"why": ""})

    def moved(self, mending_id: int) -> set[int]:
        """The runs that a mending moved."""
        steps = json.loads(self.rows("SELECT steps FROM mending WHERE id = ?", mending_id)[0][0])
        return {step["run_id"] for step in steps if step["step"] == "run"}

    def rows(self, sql: str, *values: Any) -> list[tuple]:
        """Any query on the file."""
        with sqlite3.connect(self.folder / DATABASE_NAME) as file:
            return file.execute(sql, values).fetchall()

    def runs(self, ids: Iterable[int]) -> dict[int, dict[str, Any]]:
        """What the data of some runs says, flat, without how it came about."""
        return {run_id: _flat_run(self.client.get(f"/runs/{run_id}.json").json()) for run_id in ids}


def _flat_run(sheet: dict[str, Any]) -> dict[str, Any]:
    return {path: value for path, value in flat(sheet) if not path.startswith(_HOW_IT_CAME)}


def flat(value: Any, path: str = "") -> Iterator[tuple[str, Any]]:
    """Every plain value of data, by where it stands."""
    if isinstance(value, dict):
        for name, part in value.items():
            yield from flat(part, f"{path}.{name}" if path else name)
    elif isinstance(value, list):
        yield f"{path}.#", len(value)
        for place, part in enumerate(value):
            yield from flat(part, f"{path}.{place}")
    else:
        yield path, value


def not_promised(before: dict, after: dict, things: list[dict], moved: set[int]) -> list[str]:
    """What reads otherwise in the data of runs and stands in no line of the preview; of runs that were not moved not
    every count since a service is told, but what was due."""
    missing = []
    for run_id, was in before.items():
        now = after[run_id]
        told = {line["what"] for one in things if f"/runs/{run_id}" in one["urls"] for line in one["lines"]}
        for path in sorted({*was, *now}):
            if path.startswith("services") and run_id not in moved and not path.endswith(".due"):
                continue
            if was.get(path) != now.get(path) and not _says(path) & told:
                missing.append(f"run {run_id}, {path}: {was.get(path)!r} → {now.get(path)!r}")
    return missing


def _says(path: str) -> set[str]:
    return next(
        (names for prefix, names in _SAYS.items() if path == prefix or path.startswith((prefix + ".", prefix + "_"))),
        set(),
    )
