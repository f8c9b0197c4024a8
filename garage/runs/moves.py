"""What a run rests on, as the ledger of moved runs keeps it: texts that can be written back as they were."""

import json
from collections.abc import Iterable
from dataclasses import asdict, dataclass
from typing import Any

from garage.moments import Moment
from garage.runs.form_data import PackUse, PropUse


@dataclass(frozen=True)
class Move:
    """One thing that a run rests on, `what` of `tables.MOVED`, moved from one to another."""

    run_id: int
    what: str
    old: str
    new: str


@dataclass(frozen=True)
class Start:
    """When a run began, and whether somebody looked at the clock."""

    moment: Moment
    known: bool


def start_text(start: Start) -> str:
    """A start as the ledger keeps it."""
    return _text({"at": start.moment.utc, "offset_min": start.moment.offset_min, "known": start.known})


def start_of_text(kept: str) -> Start:
    """What `start_text` kept."""
    told = json.loads(kept)
    return Start(Moment(told["at"], told["offset_min"]), told["known"])


def packs_text(packs: Iterable[PackUse]) -> str:
    """Packs with all that was read off them, in the order of their numbers."""
    return _text([asdict(use) for use in sorted(packs, key=lambda use: use.pack_id)])


def packs_of_text(kept: str) -> tuple[PackUse, ...]:
    """What `packs_text` kept."""
    return tuple(PackUse(**{**told, "volts_after": tuple(told["volts_after"])}) for told in json.loads(kept))


def props_text(props: Iterable[PropUse]) -> str:
    """Prop editions by the place of the boat."""
    return _text([asdict(use) for use in sorted(props, key=lambda use: use.place)])


def props_of_text(kept: str) -> tuple[PropUse, ...]:
    """What `props_text` kept."""
    return tuple(PropUse(**told) for told in json.loads(kept))


def _text(value: Any) -> str:
    return json.dumps(value, sort_keys=True, ensure_ascii=False)
