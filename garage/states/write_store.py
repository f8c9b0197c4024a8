"""Writing rows of build states and their changes; what they say is worked out elsewhere."""

import json
from collections.abc import Sequence

from sqlmodel import Session, select

from garage.db.many import add_many
from garage.moments import Moment
from garage.states.fold import ChangeFormData, Content, canonical, content_text, fingerprint
from garage.states.query_store import next_number_and_mark
from garage.states.tables import BuildState, Change, Fingerprint, Supersession


def read_change(change: Change) -> ChangeFormData:
    """A change as it was written down."""
    return ChangeFormData(
        change.kind,
        change.place,
        change.modification_id,
        change.part_id,
        change.setting,
        json.loads(change.detail),
        change.note,
    )


def write_state(
    session: Session,
    hull_id: int,
    parent_id: int | None,
    content: Content,
    made: Moment,
    now: Moment,
    note: str = "",
) -> BuildState:
    """Write down a hull's next state with its fingerprint and its mark."""
    told = fingerprint(content)
    number, mark = next_number_and_mark(session, hull_id, told)
    new = BuildState(
        hull_id=hull_id,
        number=number,
        parent_id=parent_id,
        made_at=made.utc,
        offset_min=made.offset_min,
        content=content_text(content),
        fingerprint=told,
        mark=mark,
        note=note,
        created_at=now.utc,
    )
    session.add(new)
    session.flush()
    _log_mark(session, new)
    return new


def write_changes(
    session: Session, state_id: int, forms: Sequence[ChangeFormData], now: Moment, first: int = 0
) -> list[Change]:
    """Write down the changes that made a state, from position `first` on."""
    rows = [
        Change(
            state_id=state_id,
            position=position,
            created_at=now.utc,
            **{**vars(form), "detail": canonical(form.detail)},
        )
        for position, form in enumerate(forms, start=first)
    ]
    add_many(session, rows)
    return rows


def supersede(session: Session, old_id: int, new_id: int, now: Moment, why: str) -> None:
    """Write down that a state gave way to another."""
    session.add(Supersession(old_state_id=old_id, new_state_id=new_id, at=now.utc, why=why))
    session.flush()


def rewrite_state(session: Session, found: BuildState, content: Content, note: str) -> None:
    """Write a state that nothing rests on anew; its earlier fingerprint and mark keep leading to it."""
    told = fingerprint(content)
    before = session.exec(
        select(Fingerprint.mark).where(Fingerprint.fingerprint == told, Fingerprint.state_id == found.id)
    ).first()
    found.content, found.fingerprint = content_text(content), told
    found.mark = before or next_number_and_mark(session, found.hull_id, told)[1]
    found.note = "\n".join(part for part in (found.note, note) if part)
    session.add(found)
    session.flush()
    if before is None:
        _log_mark(session, found)


def _log_mark(session: Session, found: BuildState) -> None:
    session.add(Fingerprint(fingerprint=found.fingerprint, state_id=found.id, mark=found.mark))
    session.flush()
