"""A hull's states read as one line of time, and written anew from where a visit was otherwise."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from sqlmodel import Session

from garage.corrections.store import corrections_of_each
from garage.corrections.tables import Correction
from garage.db.many import add_many
from garage.errors import Conflict
from garage.moments import Moment
from garage.states.change_store import parts_elsewhere
from garage.states.mending_store import mended_values
from garage.states.past import Written
from garage.states.past_store import written_states
from garage.states.query_store import changes_of, live_states_after, state
from garage.states.rewriting import Ahead, Rewriting, Wish, rewriting, unchanged
from garage.states.tables import BuildState, Change
from garage.states.wording import part_name
from garage.states.write_store import supersede, write_changes, write_state


@dataclass(frozen=True)
class NewState:
    """A state that was written for a wish, with its changes."""

    wish: Wish
    state: BuildState
    changes: list[Change]


def line_of(session: Session, hull_id: int) -> list[Written]:
    """All states of a hull that have not given way, in the order of time."""
    return written_states(session, live_states_after(session, hull_id, ""))


def rewriting_of(session: Session, line: Sequence[Written], wishes: Sequence[Wish]) -> Rewriting:
    """What makes the states of `line` those of `wishes`. Raises Conflict where they do not fit."""
    stays = unchanged(line, wishes)
    mended = {one.id: mended_values(session, one.id) for one in line[:stays][-1:]}
    plan = rewriting(line, wishes, mended)
    if plan.problem:
        raise Conflict(plan.problem)
    return plan


def write_rewriting(session: Session, hull_id: int, plan: Rewriting, why: str, now: Moment) -> list[NewState]:
    """Write the states of a plan; those that give way say to which. One that was taken out gives way to the state it
    was made from. Raises Conflict if a part was in another boat at that time."""
    _refuse_parts_elsewhere(session, hull_id, plan.ahead)
    written: list[NewState] = []
    parent_id = plan.kept[-1].id if plan.kept else None
    for one in plan.ahead:
        new = write_state(session, hull_id, parent_id, one.content, one.wish.made, now, one.wish.note)
        written.append(NewState(one.wish, new, write_changes(session, new.id, one.changes, now)))
        parent_id = new.id
    instead = {one.wish.old.id: one.state.id for one in written if one.wish.old}
    first = plan.kept[0].id if plan.kept else written[0].state.id
    for old in plan.gone:
        supersede(session, old.id, instead.get(old.id) or state(session, old.id).parent_id or first, now, why)
    _carry_corrections(session, written)
    return written


def _refuse_parts_elsewhere(session: Session, hull_id: int, ahead: Iterable[Ahead]) -> None:
    for one in ahead:
        if one.wish.old and one.wish.changes == one.wish.old.changes and one.wish.made == one.wish.old.made:
            continue
        installed = {change.part_id: change for change in one.changes if change.kind == "install"}
        elsewhere = parts_elsewhere(session, hull_id, [part for part in installed if part], one.wish.made.utc)
        for part_id, name in elsewhere.items():
            told = part_name(installed[part_id].detail)
            raise Conflict(f"{told} was in {name} on {one.wish.made.day()}: it cannot have been put in here then.")


def _carry_corrections(session: Session, written: Iterable[NewState]) -> None:
    """What was mended in the words and changes that new states stem from is mended in these."""
    written = list(written)
    of_old = changes_of(session, [one.wish.old.id for one in written if one.wish.old])
    pairs: list[tuple[str, int, int]] = []
    for one in written:
        wish = one.wish
        sources: Sequence[int | None] = wish.sources
        note_source = wish.note_source
        if wish.old and not sources and note_source is None:
            sources, note_source = [row.id for row in of_old.get(wish.old.id, [])], wish.old.id
        if note_source is not None:
            pairs.append(("state", note_source, one.state.id))
        pairs += [("change", old, new.id) for old, new in zip(sources, one.changes, strict=True) if old is not None]
    known = corrections_of_each(session, {
        owner: [old for of, old, _ in pairs if of == owner] for owner in ("state", "change")
    })  # fmt: skip
    rows = [
        Correction(owner=owner, owner_id=new, field=row.field, old=row.old, new=row.new, why=row.why, at=row.at)
        for owner, old, new in pairs
        for row in known[owner].get(old, [])
    ]
    if rows:
        add_many(session, rows)
