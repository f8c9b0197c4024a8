"""What went through packs as of any date: discharges counted, charge taken out, and what is not known of it."""

import json
from collections.abc import Collection, Iterable
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from functools import cache
from typing import Any

from sqlalchemy import ColumnElement, func, literal, text
from sqlmodel import Session, col, select

from garage.db.in_ids import in_
from garage.packs.store import LATER_THAN_ALL
from garage.packs.tables import DISCHARGES, Pack, PackLog

_LATEST_ENTRIES = 300
_NO_OTHERS: ColumnElement[bool] = literal(False)
_USE = text("""
    SELECT asked.value AS pack_id, count(entry.id), coalesce(sum(entry.charge_mah), 0),
           coalesce(sum(entry.id IS NOT NULL AND entry.charge_mah IS NULL), 0), max(entry.at)
    FROM json_each(:ids) AS asked
    LEFT JOIN pack_log AS entry ON entry.pack_id = asked.value AND entry.at < :utc
         AND entry.kind IN ('run', 'bench', 'capacity') AND entry.set_aside_at IS NULL
    GROUP BY asked.value
""")


@dataclass(frozen=True)
class Use:
    """Discharges in the log of a pack before a moment: how many, the charge of those that say it in mAh, how
    many do not, and when the last was (UTC, '' for none)."""

    discharges: int
    charge_mah: float
    without_charge: int
    last: str


def use_before(session: Session, pack_ids: Iterable[int], utc: str = LATER_THAN_ALL) -> dict[int, Use]:
    """What the logs of some packs say of the time before `utc`. Discharges before the notebook are not in it."""
    rows = session.execute(_USE, {"ids": json.dumps(sorted(set(pack_ids))), "utc": utc})
    return {pack_id: Use(count, charge, without, last or "") for pack_id, count, charge, without, last in rows}


def packs_at_hand(session: Session, limit: int) -> list[Pack]:
    """Packs in use: those of the latest entries first, others by code to fill up to `limit`."""
    return packs_at_hand_and(session, limit, _NO_OTHERS)[0]


def packs_at_hand_and(
    session: Session, limit: int, also: ColumnElement[bool], **asked: Any
) -> tuple[list[Pack], dict[int, Pack]]:
    """The packs at hand, and by id those others in use that the condition `also` is true of, with what is `asked` in
    it by name."""
    found = session.exec(_at_hand(limit, also), params=asked).all()
    at_hand = [pack for pack, entry_id, other, _ in found if entry_id is not None or other][:limit]
    return at_hand, {pack.id: pack for pack, _, _, is_also in found if is_also}


@cache
def _at_hand(limit: int, also: ColumnElement[bool]) -> Any:
    written = select(PackLog.pack_id, PackLog.id).order_by(col(PackLog.id).desc()).limit(_LATEST_ENTRIES).subquery()
    last = select(written.c.pack_id, func.max(written.c.id).label("entry_id")).group_by(written.c.pack_id).subquery()
    by_code = select(Pack.id).where(Pack.retired_on == "").order_by(func.length(Pack.code), Pack.code).limit(limit)
    is_other = col(Pack.id).in_(by_code)
    return (
        select(Pack, last.c.entry_id, is_other, also)
        .outerjoin(last, last.c.pack_id == col(Pack.id))
        .where(last.c.entry_id.is_not(None) | is_other | also, Pack.retired_on == "")
        .order_by(last.c.entry_id.desc().nulls_last(), func.length(Pack.code), Pack.code)
    )


def day_after(day: str, offset_min: int = 0) -> str:
    """The UTC text that everything of the day `YYYY-MM-DD` comes before, by clocks `offset_min` minutes ahead of UTC;
    later than all for ''."""
    if not day:
        return LATER_THAN_ALL
    midnight = datetime.combine(date.fromisoformat(day) + timedelta(days=1), time())
    return f"{(midnight - timedelta(minutes=offset_min)).isoformat()}Z"


def discharge_times(session: Session, pack_ids: Collection[int]) -> dict[int, list[str]]:
    """When some packs were discharged, UTC, in order; read from the index alone."""
    kept = select(PackLog.pack_id, PackLog.at).where(
        in_(PackLog.pack_id, pack_ids),
        col(PackLog.kind).in_(DISCHARGES),
        col(PackLog.set_aside_at).is_(None),
    )
    times: dict[int, list[str]] = {pack_id: [] for pack_id in pack_ids}
    for pack_id, at in session.exec(kept.order_by(col(PackLog.at))):
        times[pack_id].append(at)
    return times
