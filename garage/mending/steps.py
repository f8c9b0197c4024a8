"""What a mending does, step by step, as data: written down with it, and done backwards to take it back."""

import hashlib
import json
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import asdict, dataclass, replace
from typing import Any

from garage.runs.moves import Move


@dataclass(frozen=True)
class Put:
    """Columns of one row, each from what stood there to what stands there now. What a row of `owner` said is kept as
    corrections."""

    owner: str
    row_id: int
    old: Mapping[str, Any]
    new: Mapping[str, Any]


@dataclass(frozen=True)
class Overlaid:
    """What a frozen row should have said: a correction on top of it, and nothing else."""

    owner: str
    row_id: int
    field: str
    old: str
    new: str


@dataclass(frozen=True)
class Handed:
    """Rows of one table that belong to something else now: `column` of each from one to another. What they say stays,
    so there is nothing to correct. `rows` are their ids, of members of a set those of the sets."""

    table: str
    rows: Sequence[int]
    column: str
    old: int | str
    new: int | str


@dataclass(frozen=True)
class Same:
    """Whether the thing `gone_id` is the same as `kept_id`, before and after."""

    kind: str
    gone_id: int
    kept_id: int
    old: bool
    new: bool


@dataclass(frozen=True)
class Visited:
    """A visit to the workshop in a boat's history, from what was said of it to what is: None for no such visit. It
    stands in the state of that id, or in what took its place since; `runs` are those that a person put on the state of
    the visit that is gone, to be put there again with it. What is kept of a visit: `histories.visit_told`."""

    hull_id: int
    state_id: int | None
    old: Mapping[str, Any] | None
    new: Mapping[str, Any] | None
    runs: Sequence[int] = ()


# Each goes from `old` to `new`, so that the way back is the same about. What a run rests on moves as its ledger has it.
Step = Move | Put | Overlaid | Handed | Same | Visited
_KINDS: dict[str, type[Step]] = {
    "run": Move, "put": Put, "overlay": Overlaid, "handed": Handed, "same": Same, "visit": Visited,
}  # fmt: skip
_NAMES = {kind: name for name, kind in _KINDS.items()}


def steps_text(steps: Iterable[Step]) -> str:
    """Steps as a mending keeps them."""
    return json.dumps([{"step": _NAMES[type(step)]} | asdict(step) for step in steps], ensure_ascii=False)


def steps_of_text(kept: str) -> list[Step]:
    """What `steps_text` kept."""
    return [
        _KINDS[told["step"]](**{name: value for name, value in told.items() if name != "step"})
        for told in json.loads(kept)
    ]


# When a row is set aside is not the same when it is looked at and when it is saved.
_BY_THE_CLOCK = "set_aside_at"


def mark_of(steps: Iterable[Step]) -> str:
    """A short text that is another one as soon as something else would be done."""
    told = json.loads(steps_text(steps))
    for step in told:
        for side in ("old", "new"):
            if isinstance(step[side], dict) and step[side].get(_BY_THE_CLOCK):
                step[side][_BY_THE_CLOCK] = "set aside"
    return hashlib.sha256(json.dumps(told, sort_keys=True).encode()).hexdigest()[:32]


def backwards(steps: Sequence[Step]) -> list[Step]:
    """The steps that take these back."""
    return [_back(step) for step in reversed(steps)]


def _back(step: Any) -> Step:
    return replace(step, old=step.new, new=step.old)
