"""The verdict on packs: what speaks for retiring them, for any number of packs in a fixed number of queries."""

import json
from collections.abc import Iterable, Mapping, Sequence
from typing import Any, NamedTuple

from sqlalchemy import text
from sqlmodel import Session

from garage.db.unchanged import each_while_unchanged
from garage.packs.ageing.capacity import share_of_first
from garage.packs.ageing.store import MOST_READINGS, MOST_TESTS, point_of
from garage.packs.ageing.trend import TIMES_FIRST, Point
from garage.packs.care import why_blocked
from garage.packs.care_store import CAME_BACK_C
from garage.packs.log.cycles_store import discharge_times
from garage.packs.retirement import Condition, Verdict, verdict_on
from garage.packs.store import PackText
from garage.packs.tables import Pack
from garage.packs.wear import Wear, may_be_worn, wear_of

# Volts before so many newer entries of a log say nothing of the pack as it is; it also bounds the look for them.
_NEWEST_ENTRIES = 400
_FACTS = text(f"""
    SELECT pack.id, pack.damage, pack.retired_on, pack.limit_mohm, pack.charges_before, {CAME_BACK_C} AS came_back_c, (
        SELECT json_array(entry.at, entry.volts) FROM (
            SELECT at, volts FROM pack_log WHERE pack_id = pack.id AND set_aside_at IS NULL
            ORDER BY at DESC LIMIT :entries) AS entry
        WHERE entry.volts <> '' LIMIT 1
    ) AS rested, (
        SELECT json_array(one.at, one.volts) FROM pack_reading AS one
        WHERE one.pack_id = pack.id AND one.set_aside_at IS NULL AND one.volts <> ''
        ORDER BY one.at DESC LIMIT 1
    ) AS rested_when_read, (
        SELECT json_group_array(test.charge_mah) FROM (
            SELECT charge_mah FROM pack_log WHERE pack_id = pack.id AND kind = 'capacity' AND set_aside_at IS NULL
                   AND charge_mah IS NOT NULL
            ORDER BY at DESC LIMIT :tests) AS test
    ) AS capacities, (
        SELECT json_group_array(json_array(
            one.at, one.offset_min, one.method, one.instrument, one.cells_mohm, one.temperature_c,
            one.state_of_charge_percent, one.rest_min, one.volts))
        FROM (
            SELECT * FROM pack_reading WHERE pack_id = pack.id AND set_aside_at IS NULL
            ORDER BY at DESC, id DESC LIMIT :readings) AS one
    ) AS readings
    FROM json_each(:ids) AS asked JOIN pack ON pack.id = asked.value
""")


class _Reading(NamedTuple):
    """A reading of a pack, as the query tells it."""

    at: str
    offset_min: int
    method: str
    instrument: str
    cells_mohm: str
    temperature_c: float | None
    state_of_charge_percent: float | None
    rest_min: float | None
    volts: str


def verdicts(session: Session, pack_ids: Iterable[int]) -> dict[int, Verdict]:
    """The verdict on each of some packs, by id."""
    return {pack_id: found for pack_id, (found, _) in _verdicts(session, pack_ids).items()}


def _verdicts(session: Session, pack_ids: Iterable[int]) -> dict[int, tuple[Verdict, float | None]]:
    """The same, each with how warm the pack came back if nobody looked at it since. A pack stands on page after page:
    what was found of it holds while nothing is written."""
    return each_while_unchanged(session, "verdicts", pack_ids, lambda wanted: _read(session, wanted))


def _read(session: Session, wanted: list[int]) -> dict[int, tuple[Verdict, float | None]]:
    most = {"entries": _NEWEST_ENTRIES, "tests": MOST_TESTS, "readings": MOST_READINGS}
    facts = session.execute(_FACTS, {"ids": json.dumps(wanted), **most}).all()
    points = _points(session, {row.id: row for row in facts})
    return {row.id: (_verdict(row, points.get(row.id, ())), row.came_back_c) for row in facts}


def retire_words(session: Session, pack_ids: Iterable[int]) -> dict[int, str]:
    """The verdict in words, as it stands beside a pack's name; a pack nothing speaks against is missing."""
    return {pack_id: found.words for pack_id, found in verdicts(session, pack_ids).items() if found.words}


def retire_word(session: Session, pack_id: int) -> str:
    """The same for one pack; '' if nothing speaks against it."""
    return retire_words(session, [pack_id]).get(pack_id, "")


def with_verdict(pack: PackText, retire: Mapping[int, str]) -> str:
    """A pack as a line names it, with the verdict of `retire` on it if there is one."""
    return f"{pack.text} · {retire[pack.id]}" if pack.id in retire else pack.text


def not_without_asking(session: Session, packs: Sequence[Pack]) -> dict[int, str]:
    """What stands against running with some of `packs`, by id: damage, heat, or the verdict. The others are missing."""
    found = _verdicts(session, [pack.id for pack in packs])
    against = {
        pack.id: [why_blocked(pack.damage, found[pack.id][1]), found[pack.id][0].measured_words] for pack in packs
    }
    return {pack_id: "; ".join(filter(None, words)) for pack_id, words in against.items() if any(words)}


def _points(session: Session, facts: dict[int, Any]) -> dict[int, tuple[Point, ...]]:
    """The readings of each pack's newest method and instrument, oldest first, where they give a reason to look closer:
    only there the discharges before each are counted, and the fits made."""
    read = {one: [_Reading(*each) for each in json.loads(row.readings)] for one, row in facts.items()}
    kept = {one: _of_newest_group(rows) for one, rows in read.items() if rows}
    worth = [
        one for one, readings in kept.items()
        if may_be_worn(((row.temperature_c, json.loads(row.cells_mohm)) for row in readings), facts[one].limit_mohm)
    ]  # fmt: skip
    times = discharge_times(session, worth) if worth else {}
    return {one: tuple(point_of(row, facts[one].charges_before, times[one]) for row in kept[one]) for one in worth}


def _of_newest_group(rows: Sequence[_Reading]) -> list[_Reading]:
    """Rows like the first in method and instrument, and read of as many cells; turned to oldest first."""
    newest = rows[0]
    method, instrument, cells = newest.method, newest.instrument.lower(), newest.cells_mohm.count(",")
    return [
        row for row in reversed(rows)
        if row.method == method and row.instrument.lower() == instrument and row.cells_mohm.count(",") == cells
    ]  # fmt: skip


def _verdict(row: Any, points: tuple[Point, ...]) -> Verdict:
    worn = wear_of(points, row.limit_mohm) if points else Wear()
    rested = max((json.loads(one) for one in (row.rested, row.rested_when_read) if one), default=None)
    condition = Condition(
        row.damage,
        worn.at_limit,
        "your limit" if row.limit_mohm else f"{TIMES_FIRST:g} times its first readings",
        worn.ratios,
        share_of_first(json.loads(row.capacities)[::-1]),
        json.loads(rested[1]) if rested else (),
    )
    return verdict_on(condition, retired=bool(row.retired_on))
