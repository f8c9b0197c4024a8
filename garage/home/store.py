"""Bounded queries of what stands on Home: the latest outings and what hangs on them, never the whole book."""

import json
from collections.abc import Collection, Mapping
from dataclasses import dataclass

from sqlalchemy import bindparam, text
from sqlmodel import Session, col, select

from garage.db.in_ids import in_
from garage.home.pack_attention import READ_EVERY, PackFacts
from garage.moments import Moment, day_text
from garage.packs.care import Reminder, reminders, why_blocked
from garage.packs.care_store import Care, care_of
from garage.packs.log.cycles_store import packs_at_hand_and
from garage.packs.retirement import Verdict
from garage.packs.store import pack_standings, pack_text
from garage.packs.tables import Pack
from garage.packs.verdict_store import verdicts
from garage.runs.fields import MAY_SPOIL, MAY_SPOIL_CAUSES
from garage.runs.tables import Run
from garage.shelf.tables import LENDABLE
from garage.things import Thing, Things
from garage.waters.tables import Outing, Water

RECENT_OUTINGS = 8
_MOST_RUNS = 160
_NEWEST_PACKS = 12
_MOST_AT_HAND = 60
MOST_COUNTED = 99
# So many of the latest incidents are looked through for speeds that they may have spoiled.
_MOST_INCIDENTS = 200

_ANY = text("""
SELECT EXISTS (SELECT 1 FROM hull), EXISTS (SELECT 1 FROM pack), EXISTS (SELECT 1 FROM prop),
    EXISTS (SELECT 1 FROM run), EXISTS (SELECT 1 FROM pack_reading WHERE set_aside_at IS NULL),
    (SELECT json_group_array(json_array(id, name)) FROM (SELECT id, name FROM log_file
        WHERE read_at IS NULL AND set_aside_at IS NULL ORDER BY id DESC LIMIT :most_logs)),
    (SELECT count(*) FROM (SELECT 1 FROM attachment WHERE owner = '' AND set_aside_at IS NULL LIMIT :most)),
    (SELECT json_group_array(json_array(id, started_at, offset_min, name, waiting)) FROM (
        SELECT outing.id, outing.started_at, outing.offset_min, water.name, (SELECT count(*) FROM run
            WHERE run.waiting = 1 AND run.outing_id = outing.id AND run.set_aside_at IS NULL) AS waiting
        FROM outing JOIN water ON water.id = outing.water_id
        WHERE outing.closed_at IS NULL AND outing.set_aside_at IS NULL ORDER BY outing.started_at LIMIT :most)),
    (SELECT json_group_array(json_array(id, number, name, started_at, offset_min, kind)) FROM (
        SELECT run.id, run.number, hull.name, run.started_at, run.offset_min, happened.kind
        FROM (SELECT run_id, kind, cause FROM incident WHERE set_aside_at IS NULL ORDER BY id DESC LIMIT :incidents)
            AS happened JOIN run ON run.id = happened.run_id JOIN hull ON hull.id = run.hull_id
        WHERE run.speed_counts = '' AND run.speed_kmh IS NOT NULL AND run.set_aside_at IS NULL
            AND (happened.kind IN :may_spoil OR happened.cause IN :causes)
            AND NOT EXISTS (SELECT 1 FROM incident WHERE incident.run_id = run.id AND incident.spoiled_speed = 1
                AND incident.set_aside_at IS NULL)
        GROUP BY run.id ORDER BY run.started_at DESC LIMIT :most_logs))
""").bindparams(bindparam("may_spoil", expanding=True), bindparam("causes", expanding=True))
_WAITING = text("""
WITH RECURSIVE waiting(outing_id) AS (
    SELECT (SELECT outing_id FROM run WHERE waiting = 1 ORDER BY outing_id DESC LIMIT 1)
    UNION ALL
    SELECT (SELECT run.outing_id FROM run WHERE run.waiting = 1 AND run.outing_id < waiting.outing_id
            ORDER BY run.outing_id DESC LIMIT 1) FROM waiting WHERE outing_id IS NOT NULL LIMIT :most)
SELECT outing.id, outing.started_at, outing.offset_min, water.name,
    (SELECT count(*) FROM run
     WHERE run.waiting = 1 AND run.outing_id = outing.id AND run.set_aside_at IS NULL)
FROM waiting JOIN outing ON outing.id = waiting.outing_id JOIN water ON water.id = outing.water_id
""")
_OF_RUNS_OR_NEW_OR_DAMAGED = col(Pack.id).in_(
    text("""
SELECT pack_id FROM run_pack WHERE run_id IN (SELECT value FROM json_each(:runs))
UNION SELECT * FROM (SELECT id FROM pack WHERE retired_on = '' ORDER BY id DESC LIMIT :newest)
UNION SELECT * FROM (SELECT id FROM pack WHERE damage <> '' AND retired_on = '' ORDER BY id DESC LIMIT :newest)
""")
)
_READINGS = text("""
SELECT pack.id, latest.at, (SELECT count(*) FROM (SELECT 1 FROM pack_log WHERE pack_log.pack_id = pack.id
    AND pack_log.at > coalesce(latest.at, '') AND pack_log.kind IN ('run', 'bench', 'capacity')
    AND pack_log.set_aside_at IS NULL LIMIT :most))
FROM pack LEFT JOIN (SELECT pack_id, max(at) AS at FROM pack_reading WHERE set_aside_at IS NULL
    AND pack_id IN :ids GROUP BY pack_id) AS latest ON latest.pack_id = pack.id
WHERE pack.id IN :ids
""").bindparams(bindparam("ids", expanding=True))
# The row of the least place stands for its group, and is the next step where none of it was done.
_STEPS = text("""
SELECT modification_id, done_at IS NOT NULL, count(*), action, what, min(printf('%010d %010d', position, id))
FROM step WHERE modification_id IN :ids AND set_aside_at IS NULL GROUP BY modification_id, done_at IS NOT NULL
""").bindparams(bindparam("ids", expanding=True))

_OUT_OF_USE = " OR ".join(
    f"loan.owner = '{owner}' AND (SELECT retired_on FROM {owner} WHERE {owner}.id = loan.owner_id) <> ''"
    for owner in LENDABLE
)
_OF_THE_SHELF = text(f"""
SELECT * FROM (SELECT owner, owner_id, '' AS lent_to, '' AS lent_until FROM shelf_entry WHERE low = 1
    ORDER BY id DESC LIMIT :most)
UNION ALL SELECT * FROM (SELECT owner, owner_id, lent_to, lent_until FROM loan
    WHERE back_on = '' AND set_aside_at IS NULL AND lent_until <> '' AND lent_until < :today AND NOT ({_OUT_OF_USE})
    ORDER BY lent_until, id LIMIT :most)
""")


@dataclass(frozen=True)
class Begun:
    """What there is already of hulls, packs, props, runs and readings of packs; logs by number and name whose columns
    nobody named yet; how many notes from the water are not sorted yet, up to 99; the outings that are open, oldest
    first, as many at most; and the latest speeds of which nobody said yet whether they count."""

    hulls: bool
    packs: bool
    props: bool
    runs: bool
    readings: bool
    logs: list[tuple[int, str]]
    unsorted: int
    open_outings: list["OpenOuting"]
    asked_speeds: list["AskedSpeed"]


@dataclass(frozen=True)
class AskedSpeed:
    """A run in which something happened that may have spoiled its speed, and nobody said whether that counts."""

    run_id: int
    number: int
    hull: str
    at: Moment
    kind: str


@dataclass(frozen=True)
class OpenOuting:
    """An outing that nobody closed, and how many of its runs wait for details."""

    id: int
    at: Moment
    water: str
    waiting: int


def begun(session: Session, most_logs: int) -> Begun:
    """Whether there is any of each."""
    asked = {"may_spoil": MAY_SPOIL, "causes": MAY_SPOIL_CAUSES, "incidents": _MOST_INCIDENTS}
    row = session.execute(_ANY, {"most": MOST_COUNTED, "most_logs": most_logs, **asked}).one()
    *found, logs, unsorted, still_open, asked_speeds = row
    hulls, packs, props, runs, readings = map(bool, found)
    named = [(number, name) for number, name in json.loads(logs)]
    outings = [
        OpenOuting(number, Moment(utc, offset), water, waiting)
        for number, utc, offset, water, waiting in json.loads(still_open)
    ]
    speeds = [
        AskedSpeed(number, of_day, hull, Moment(utc, offset), kind)
        for number, of_day, hull, utc, offset, kind in json.loads(asked_speeds)
    ]
    return Begun(hulls, packs, props, runs, readings, named, unsorted, outings, speeds)


def recent_outings(session: Session) -> list[tuple[Outing, Water]]:
    """The latest outings with their waters, newest first."""
    query = select(Outing, Water).join(Water, col(Water.id) == Outing.water_id)
    latest = query.where(col(Outing.set_aside_at).is_(None)).order_by(col(Outing.started_at).desc())
    return list(session.exec(latest.limit(RECENT_OUTINGS)))


def runs_of(session: Session, outing_ids: list[int]) -> list[Run]:
    """The runs of some outings, newest first, without those set aside."""
    # Those set aside are few, and asking for the others here would make SQLite look through them all.
    query = select(Run).where(in_(Run.outing_id, outing_ids))
    rows = session.exec(query.order_by(col(Run.started_at).desc(), col(Run.id).desc()).limit(_MOST_RUNS))
    return [row for row in rows if row.set_aside_at is None]


def waiting(session: Session, most: int) -> list[tuple[int, str, int, str, int]]:
    """Outings whose runs wait for details, latest written first: id, utc, offset, water, runs waiting."""
    return [tuple(row) for row in session.execute(_WAITING, {"most": most}) if row[4]]  # type: ignore[misc]


@dataclass(frozen=True)
class ShelfWants:
    """What is low on the shelf, whether there is more than that, and what should be back by now, with who has it."""

    low: list[Thing]
    low_more: bool
    lent: list[tuple[Thing, str]]


def shelf_wants(session: Session, things: Things, today: str, most: int) -> ShelfWants:
    """What the shelf wants by `today`. Nobody waits for a lent thing that is out of use."""
    rows = session.execute(_OF_THE_SHELF, {"most": most + 1, "today": today}).all()
    low = [(row.owner, row.owner_id) for row in rows if not row.lent_to]
    lent = [row for row in rows if row.lent_to][:most]
    found = things.several(session, [*low[:most], *((row.owner, row.owner_id) for row in lent)])
    away = zip(
        found[len(low[:most]) :],
        (f"lent to {row.lent_to}, was due back {day_text(row.lent_until)}" for row in lent),
        strict=True,
    )
    return ShelfWants(found[: len(low[:most])], len(low) > most, list(away))


@dataclass(frozen=True)
class InHand:
    """What is known of packs that want a look; `retire` has the verdict in words on them and on any asked for, '' for
    none."""

    facts: list[PackFacts]
    retire: Mapping[int, str]


def packs_in_hand(session: Session, run_ids: list[int], also: Collection[int], now_utc: str, are_read: bool) -> InHand:
    """The packs of the latest runs, the newest ones, those noted as damaged, and those that were measured to be done
    among the ones at hand; none that is retired. The verdict on the packs `also` is told too. Where
    nobody reads resistance (`are_read`), none is asked for."""
    asked = {"runs": json.dumps(run_ids), "newest": _NEWEST_PACKS}
    at_hand, others = packs_at_hand_and(session, _MOST_AT_HAND, _OF_RUNS_OR_NEW_OR_DAMAGED, **asked)
    found = verdicts(session, {*others, *also, *(pack.id for pack in at_hand)})
    wanted = others | {pack.id: pack for pack in at_hand if found[pack.id].measured_words}
    rows = dict(sorted(wanted.items()))
    return InHand(
        _pack_facts(session, rows, found, now_utc, are_read), {one: each.words for one, each in found.items()}
    )


def _pack_facts(
    session: Session, rows: Mapping[int, Pack], found: Mapping[int, Verdict], now_utc: str, are_read: bool
) -> list[PackFacts]:
    if not rows:
        return []
    standings, care = pack_standings(session, list(rows), now_utc), care_of(session, list(rows))
    readings = {
        pack_id: (read_at, since)
        for pack_id, read_at, since in session.execute(_READINGS, {"ids": sorted(rows), "most": READ_EVERY})
    }
    return [
        PackFacts(
            pack_id,
            pack_text(row).text,
            standings[pack_id].flag,
            standings[pack_id].text,
            row.damage,
            readings[pack_id][0] is not None,
            readings[pack_id][1] if are_read else 0,
            why_blocked("", care[pack_id].temperature_c),
            found[pack_id].measured_words,
            tuple(one.text for one in _due(care[pack_id], now_utc[:10]) if not one.doubtful),
        )
        for pack_id, row in rows.items()
    ]


def _due(care: Care, today: str) -> list[Reminder]:
    return reminders(care.last, care.rested.at.date() if care.rested else "", today)


@dataclass(frozen=True)
class Progress:
    """How many steps of a modification were done, of how many, and the next one in words; '' for none."""

    done: int = 0
    count: int = 0
    following: str = ""


def progress_of(session: Session, modification_ids: list[int]) -> dict[int, Progress]:
    """How far some modifications have come; one without steps is missing."""
    found: dict[int, Progress] = {}
    for one, is_done, count, action, what, _ in session.execute(_STEPS, {"ids": modification_ids}):
        was = found.get(one, Progress())
        done, following = (count, was.following) if is_done else (was.done, f"{action} {what}".strip())
        found[one] = Progress(done, was.count + count, following)
    return found
