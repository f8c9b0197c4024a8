"""A line of a pack's log, or a resistance reading, that was otherwise: another pack, another time, something else."""

import json
from collections.abc import Sequence
from functools import partial
from typing import Any

from sqlmodel import Session, col, select

from garage.corrections.same_store import is_gone
from garage.errors import Conflict, NotFound
from garage.mending.operation import Ask, Operation, Planned
from garage.mending.steps import Put
from garage.moments import Moment
from garage.packs.fields import ENTRIES, READING_METHODS
from garage.packs.store import pack, pack_text
from garage.packs.tables import Pack, PackLog, PackReading
from garage.units import DisplayUnits
from garage.web.fields import Reader

# Told in a sentence: lines of a log, and readings.
_TABLES: dict[str, type[PackLog] | type[PackReading]] = {"pack_log": PackLog, "reading": PackReading}
_OF_A_RUN = "This discharge belongs to a run: put the run right, and it follows."


def line(session: Session, kind: str, row_id: int) -> Any:
    """A line of a log or a reading. Raises NotFound."""
    found = session.get(_TABLES[kind], row_id)
    if found is None:
        raise NotFound("There is no such entry in a pack’s log.")
    return found


def line_words(row: PackLog | PackReading) -> str:
    """What a line is, in a few words."""
    return dict(ENTRIES).get(row.kind, row.kind) if isinstance(row, PackLog) else "resistance reading"


def when(row: PackLog | PackReading) -> Moment:
    """When a line was."""
    return Moment(row.at, row.offset_min)


def _refused(kind: str, session: Session, row_id: int) -> str:
    row = line(session, kind, row_id)
    return _OF_A_RUN if isinstance(row, PackLog) and row.run_id is not None else ""


def _could_be(session: Session, kind: str, row: Any) -> list[Pack]:
    """The packs of which it could be: what was read cell by cell fits those alone with as many cells."""
    told = [json.loads(text) for text in (row.volts, getattr(row, "cells_mohm", "")) if text]
    query = select(Pack).where(Pack.id != row.pack_id, ~is_gone("pack", col(Pack.id)))
    return [one for one in session.exec(query.order_by(Pack.code)) if all(len(cells) == one.cells_s for cells in told)]


def _asks_pack(kind: str, session: Session, row_id: int, _units: DisplayUnits) -> Sequence[Ask]:
    listed = [(str(one.id), pack_text(one).text) for one in _could_be(session, kind, line(session, kind, row_id))]
    return [Ask("pack", "The pack it really was", "choice", "those with as many cells", listed, required=True)]


def _plan_pack(kind: str, session: Session, reader: Reader, row_id: int, _now: Moment) -> Planned:
    row = line(session, kind, row_id)
    could = {str(one.id): one for one in _could_be(session, kind, row)}
    chosen = reader.choice("pack", could, required=True)
    reader.finish()
    there, other = pack(session, row.pack_id), could[chosen]
    step = Put(kind, row_id, {"pack_id": there.id}, {"pack_id": other.id})
    return _planned(row, f"was of pack {other.code}, not {there.code}", step, other.id)


def _asks_time(kind: str, session: Session, row_id: int, _units: DisplayUnits) -> Sequence[Ask]:
    return [
        Ask("at", "When it really was", "moment", value=when(line(session, kind, row_id)).local_text(), required=True)
    ]


def _plan_time(kind: str, session: Session, reader: Reader, row_id: int, _now: Moment) -> Planned:
    row = line(session, kind, row_id)
    at = reader.moment("at", required=True, was=when(row))
    reader.finish()
    assert at is not None
    if at == when(row):
        raise Conflict("That is the time that stands there already.")
    step = Put(
        kind, row_id, {"at": row.at, "offset_min": row.offset_min}, {"at": at.utc, "offset_min": at.offset_min}
    )  # fmt: skip
    stood = when(row)
    return _planned(row, f"was on {at.day()}, {at.clock()}, not {stood.day()}, {stood.clock()}", step, row.pack_id)


def _asks_what(session: Session, row_id: int, _units: DisplayUnits) -> Sequence[Ask]:
    row = line(session, "pack_log", row_id)
    return [Ask("kind", "What it really was", "choice", options=list(ENTRIES), value=row.kind, required=True)]


def _plan_what(session: Session, reader: Reader, row_id: int, _now: Moment) -> Planned:
    row = line(session, "pack_log", row_id)
    chosen = reader.choice("kind", dict(ENTRIES), required=True)
    if chosen == "look" and not row.volts:
        reader.fail("kind", "Nobody wrote resting volts with it: it cannot be a look at them.")
    if chosen == "look" and (row.charge_mah is not None or row.current_a is not None):
        reader.fail("kind", "Looking at the volts moves no charge, and one stands with it.")
    if chosen == "capacity" and row.charge_mah is None:
        reader.fail("kind", "A capacity test is the charge that came out, and none stands with it.")
    reader.finish()
    if chosen == row.kind:
        raise Conflict("That is what stands there already.")
    step = Put("pack_log", row_id, {"kind": row.kind}, {"kind": chosen})
    return _planned(row, f"was “{dict(ENTRIES)[chosen]}”", step, row.pack_id)


def _asks_method(session: Session, row_id: int, _units: DisplayUnits) -> Sequence[Ask]:
    row = line(session, "reading", row_id)
    return [
        Ask(
            "method",
            "How it really was measured",
            "choice",
            "",
            [(one, one) for one in READING_METHODS],
            row.method,
            True,
        ),
        Ask("instrument", "With which instrument", value=row.instrument),
    ]


def _plan_method(session: Session, reader: Reader, row_id: int, _now: Moment) -> Planned:
    row = line(session, "reading", row_id)
    method = reader.choice("method", READING_METHODS, required=True)
    instrument = reader.text("instrument", most=80)
    reader.finish()
    new = {"method": method, "instrument": instrument}
    old = {"method": row.method, "instrument": row.instrument}
    if old == new:
        raise Conflict("That is what stands there already.")
    how = ", ".join(filter(None, (method, instrument)))
    return _planned(row, f"was measured by {how}", Put("reading", row_id, old, new), row.pack_id)


def _planned(row: Any, said: str, step: Put, pack_id: int) -> Planned:
    words = line_words(row)
    page = "log" if isinstance(row, PackLog) else "readings"
    said = f"{words[0].upper()}{words[1:]} of {when(row).day()} {said}"
    return Planned(said, [step], url=f"/packs/{pack_id}/{page}")


def _both(kind: str) -> tuple[Operation, ...]:
    return (
        Operation(
            kind, "pack", "It was another pack", "one with as many cells", partial(_asks_pack, kind),
            partial(_plan_pack, kind), partial(_refused, kind),
        ),
        Operation(
            kind, "time", "It was at another time", "another day, another hour", partial(_asks_time, kind),
            partial(_plan_time, kind), partial(_refused, kind),
        ),
    )  # fmt: skip


OPERATIONS = (
    *_both("pack_log"),
    Operation(
        "pack_log", "what", "It was something else", "a charge, not a discharge; volts looked at", _asks_what,
        _plan_what,        partial(_refused, "pack_log"),
    ),
    *_both("reading"),
    Operation("reading", "method", "It was measured otherwise", "method, instrument", _asks_method, _plan_method),
)  # fmt: skip
