"""The newest entries of packs' logs, for what is due and what stands against picking them."""

import json
from collections.abc import Iterable
from dataclasses import dataclass
from statistics import fmean

from sqlalchemy import text
from sqlmodel import Session

from garage.db.unchanged import each_while_unchanged
from garage.moments import Moment
from garage.packs.care import LastKnown

# How warm a pack came back, unless it was looked at since: a look speaks for the pack as it is now.
CAME_BACK_C = """(
        SELECT CASE WHEN entry.kind = 'look' THEN NULL ELSE entry.temperature_c END
        FROM pack_log AS entry WHERE entry.pack_id = asked.value AND entry.set_aside_at IS NULL
             AND entry.kind IN ('run', 'bench', 'capacity', 'look')
        ORDER BY entry.at DESC LIMIT 1
    )"""
# What was done to a pack last: a look does nothing to it.
_LAST = text(f"""
    SELECT asked.value, (
        SELECT json_array(entry.kind, entry.at, entry.offset_min, entry.charge_mah)
        FROM pack_log AS entry WHERE entry.pack_id = asked.value AND entry.set_aside_at IS NULL
        ORDER BY entry.kind = 'look', entry.at DESC LIMIT 1
    ), (
        SELECT json_array(entry.at, entry.offset_min, entry.volts)
        FROM pack_log AS entry WHERE entry.pack_id = asked.value AND entry.set_aside_at IS NULL
             AND entry.volts <> ''
        ORDER BY entry.at DESC LIMIT 1
    ), {CAME_BACK_C}
    FROM json_each(:ids) AS asked
""")


@dataclass(frozen=True)
class Rested:
    """The latest resting volts of a pack, cell by cell."""

    at: Moment
    volts: list[float]


@dataclass(frozen=True)
class Care:
    """The newest of a pack's log: entry, resting volts, and the temperature it came back with."""

    last: LastKnown | None
    rested: Rested | None
    temperature_c: float | None


def care_of(session: Session, pack_ids: Iterable[int]) -> dict[int, Care]:
    """The newest entries of some packs, by id; they hold while nothing is written."""
    return each_while_unchanged(session, "care", pack_ids, lambda wanted: _read(session, wanted))


def _read(session: Session, wanted: list[int]) -> dict[int, Care]:
    rows = session.execute(_LAST, {"ids": json.dumps(wanted)})
    care = {}
    for pack_id, last, rest, warm in rows:
        rested = _rested(json.loads(rest)) if rest else None
        care[pack_id] = Care(_last(json.loads(last), rested) if last else None, rested, warm)
    return care


def _last(row: list, rested: Rested | None) -> LastKnown:
    kind, at, offset_min, charge = row
    seen_v = None
    # Volts written with a run were read before its charge was put back; with a charge or a look they are its end.
    if rested and (rested.at.utc > at or (rested.at.utc == at and kind in ("charge", "storage", "look"))):
        seen_v = fmean(rested.volts)
    return LastKnown(kind, Moment(at, offset_min).date(), kind == "run" and charge is not None, seen_v)


def _rested(row: list) -> Rested:
    at, offset_min, volts = row
    return Rested(Moment(at, offset_min), json.loads(volts))
