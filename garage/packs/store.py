"""Queries and writes of packs: what they are, and how they stand at a moment."""

import json
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import product
from string import ascii_uppercase
from typing import NamedTuple

from sqlalchemy import ColumnElement, Integer, func, literal_column, text
from sqlmodel import Session, col, select

from garage.db.in_ids import in_, rows_by_ids
from garage.db.many import add_many
from garage.db.taken import bearers
from garage.errors import NotFound
from garage.inventory.store import bearer_of, rows_of, standing_for
from garage.moments import Moment
from garage.packs.break_in import Standing, standing
from garage.packs.fields import MOST_BREAK_IN
from garage.packs.forms import DamageFormData, kept_volts
from garage.packs.kinds import PACKS
from garage.packs.tables import Pack, PackLog, PackSet, PackSetMember

LATER_THAN_ALL = "9999-12-31T23:59:59Z"
_ALL = -1
# How often the row `pack` of a query was discharged before a moment, counted up to `most`. The log is counted inside
# the index on pack, moment, kind and set_aside_at, without a look at its rows.
_DISCHARGES = """pack.charges_before + (
        SELECT count(*) FROM (
            SELECT 1 FROM pack_log AS entry
            WHERE entry.pack_id = pack.id AND entry.at < {utc}
              AND entry.kind IN ('run', 'bench', 'capacity') AND entry.set_aside_at IS NULL
            LIMIT {most})
    )"""
_COUNT = text(f"""
    SELECT asked.value ->> 0 AS pack_id, asked.value ->> 1 AS utc,
    {_DISCHARGES.format(utc="asked.value ->> 1", most=_ALL)} AS discharges, pack.break_in_charges, pack.retired_on
    FROM json_each(:asked) AS asked JOIN pack ON pack.id = asked.value ->> 0
""")


@dataclass(frozen=True)
class PackText:
    """A pack as other pages name it; `text` is like `J · 3S 4 000 mAh`."""

    id: int
    code: str
    name: str
    cells_s: int
    cells_p: int
    capacity_mah: float
    text: str


@dataclass(frozen=True)
class SetText:
    """A set of packs as other pages name it; `packs` are its members by code."""

    id: int
    name: str
    wiring: str
    packs: list[PackText]


def pack(session: Session, pack_id: int) -> Pack:
    """One pack. Raises NotFound."""
    found = session.get(Pack, pack_id)
    if found is None:
        raise NotFound("There is no such pack in this notebook.")
    return found


def packs(session: Session, *, retired: bool = False, limit: int = 50, offset: int = 0) -> list[Pack]:
    """Packs in use, or those retired, by code."""
    return rows_of(session, PACKS, retired=retired, limit=limit, offset=offset)


def packs_in_use(session: Session, *, limit: int = 100) -> list[PackText]:
    """Packs that are not retired, by code."""
    return [pack_text(row) for row in packs(session, limit=limit)]


def pack_texts(session: Session, ids: Iterable[int]) -> dict[int, PackText]:
    """How some packs are named, by id."""
    return {pack_id: pack_text(row) for pack_id, row in packs_by_ids(session, ids).items()}


def packs_by_ids(session: Session, ids: Iterable[int]) -> dict[int, Pack]:
    """Some packs by id."""
    return rows_by_ids(session, Pack, ids)


def packs_by_codes(session: Session, typed: Sequence[str]) -> list[Pack | None]:
    """The pack of each code, upper or lower case, or the one that it is the same as; None where there is none."""
    found = bearers(session, Pack, "code", typed)
    return [one and (standing_for(session, PACKS, one) or one) for one in found]


def pack_by_code(session: Session, typed: str) -> Pack | None:
    """The pack with that code, upper or lower case; None if there is none."""
    found: Pack | None = bearer_of(session, PACKS, typed)
    return found


def pack_text(row: Pack) -> PackText:
    """How a pack is named."""
    capacity = f"{row.capacity_mah:,.0f}".replace(",", "\u202f")
    cells = f"{row.cells_s}S" + (f"{row.cells_p}P" if row.cells_p > 1 else "")
    words = f"{row.code} · {cells} {capacity} mAh"
    return PackText(row.id, row.code, row.name, row.cells_s, row.cells_p, row.capacity_mah, words)


def suggest_code(session: Session) -> str:
    """The first letter, or pair of letters, that no pack bears yet."""
    taken = set(session.exec(select(func.upper(Pack.code)).where(func.length(Pack.code) <= 2)))
    pairs = ("".join(pair) for pair in product(ascii_uppercase, repeat=2))
    return next((code for code in (*ascii_uppercase, *pairs) if code not in taken), "")


def note_damage(session: Session, pack_id: int, form: DamageFormData, day: str) -> Pack:
    """Say what is wrong with a pack. What was said before moves to its notes, with the day. Raises
    NotFound."""
    kept = pack(session, pack_id)
    if kept.damage and kept.damage != form.damage:
        why = f" ({form.why})" if form.why else ""
        line = f"Damage noted until {day}: {kept.damage}{why}"
        kept.notes = f"{kept.notes}\n{line}".strip()
    kept.damage = form.damage
    session.add(kept)
    return kept


def discharges_before(session: Session, pack_ids: Iterable[int], utc: str) -> dict[int, int]:
    """How many discharges each pack had before `utc`, those counted at its purchase included."""
    return {pack_id: found.discharges for pack_id, found in pack_standings(session, pack_ids, utc).items()}


def pack_standings(
    session: Session, asked: Mapping[int, str] | Iterable[int], utc: str = LATER_THAN_ALL
) -> dict[int, Standing]:
    """How packs stand: each at a moment of its own (`asked` maps id to UTC text), or all at `utc`."""
    moments = dict(asked) if isinstance(asked, Mapping) else dict.fromkeys(asked, utc)
    return {pack_id: found for (pack_id, _), found in counted_at(session, moments.items()).items()}


def counted_at(session: Session, asked: Iterable[tuple[int, str]]) -> dict[tuple[int, str], Standing]:
    """How packs stood, for any pairs of pack id and UTC text, in one query, with all their discharges counted."""
    pairs = json.dumps([list(pair) for pair in set(asked)])
    rows = session.execute(_COUNT, {"asked": pairs})
    return {
        (pack_id, utc): standing(discharges, rule, retired_on, utc[:10])
        for pack_id, utc, discharges, rule, retired_on in rows
    }


def discharges_until(utc: str) -> ColumnElement[int]:
    """A column for a query that has `pack` in it: the discharges of that pack before `utc`, a column of the query too.

    They are counted only as far as any break-in goes, so that a long list costs the same however much its packs have
    been used: flag and text of the standing made of it are exact.
    """
    return literal_column(_DISCHARGES.format(utc=utc, most=MOST_BREAK_IN), Integer)


class AfterRun(NamedTuple):
    """What is read off a pack after a run: charge put back, temperature, resting volts of its cells."""

    charge_mah: float | None = None
    temperature_c: float | None = None
    volts: Sequence[float] = ()


def enter_run_discharges(
    session: Session,
    run_id: int,
    at: Moment,
    packs: Mapping[int, AfterRun],
    *,
    gone: Collection[int] = (),
    gone_at: str = "",
    entries: Iterable[PackLog] | None = None,
) -> None:
    """Write a run's discharge into the log of each of its packs, by their ids, or write it anew when the run changed.
    Those of packs that are `gone` from it are set aside. `entries` are those of before, if they were read."""
    kept = run_entries(session, [run_id])[run_id] if entries is None else entries
    rows, new = {row.pack_id: row for row in kept}, []
    for pack_id in rows.keys() & set(gone):
        rows[pack_id].set_aside_at = gone_at
    for pack_id, read in packs.items():
        if pack_id not in rows:
            rows[pack_id] = PackLog(pack_id=pack_id, run_id=run_id, kind="run", at=at.utc, created_at=at.utc)
            new.append(rows[pack_id])
        row = rows[pack_id]
        row.at, row.offset_min, row.set_aside_at = at.utc, at.offset_min, None
        row.charge_mah, row.temperature_c, row.volts = read.charge_mah, read.temperature_c, kept_volts(read.volts)
    if new:
        add_many(session, new)


def run_entries(session: Session, run_ids: Iterable[int]) -> dict[int, list[PackLog]]:
    """What some runs entered into the logs of their packs, by run; what was set aside among it."""
    found: dict[int, list[PackLog]] = {run_id: [] for run_id in run_ids}
    for row in session.exec(select(PackLog).where(in_(PackLog.run_id, found))):
        found[row.run_id or 0].append(row)
    return found


def set_aside_run_discharges(
    session: Session, run_id: int, at: str | None, pack_ids: Iterable[int] | None = None
) -> None:
    """Take a run's discharges out of the count (of all its packs, or of some), or bring them back with `at`
    None."""
    entries = select(PackLog).where(PackLog.run_id == run_id)
    if pack_ids is not None:
        entries = entries.where(in_(PackLog.pack_id, pack_ids))
    for row in session.exec(entries):
        row.set_aside_at = at


def pack_sets(session: Session, *, limit: int = 50, offset: int = 0) -> list[SetText]:
    """Sets in use with their members, by name."""
    wanted = select(PackSet).where(PackSet.retired_on == "").order_by(PackSet.name).limit(limit).offset(offset)
    sets = list(session.exec(wanted))
    members = session.exec(
        select(PackSetMember.set_id, Pack)
        .join(Pack, col(Pack.id) == col(PackSetMember.pack_id))
        .where(col(PackSetMember.set_id).in_([row.id for row in sets]))
        .order_by(func.length(Pack.code), Pack.code)
    )
    texts: dict[int, list[PackText]] = {}
    for set_id, row in members:
        texts.setdefault(set_id, []).append(pack_text(row))
    return [SetText(row.id, row.name, row.wiring, texts.get(row.id, [])) for row in sets]
