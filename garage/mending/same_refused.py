"""What shows that two things are two: both were somewhere at once."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from itertools import pairwise
from typing import Any

from sqlmodel import Session, col, select

from garage.errors import Conflict
from garage.hulls.store import hulls_by_ids
from garage.mending.same_kinds import SameKind
from garage.moments import Moment
from garage.packs.tables import PackSet, PackSetMember
from garage.props.tables import PropEdition
from garage.runs.store import runs_by_ids
from garage.runs.tables import Run, RunPack, RunProp
from garage.shelf.loan_store import open_loans
from garage.shelf.tables import LENDABLE
from garage.states.tables import BuildState, Change, Supersession


@dataclass(frozen=True)
class Stay:
    """Where a thing was, in `words`, from and until when."""

    words: str
    since: datetime
    until: datetime


def refuse_both_at_once(session: Session, kind: SameKind, gone: Any, kept: Any) -> None:
    """Raise Conflict, in words, if the two were in one run, in two boats at once, in one set, or are both lent now."""
    both = f"{kind.called(gone)} and {kind.called(kept)}"
    if kind.name in ("pack", "prop"):
        _refuse_in_runs(session, kind, gone, kept, both)
    if kind.name == "part":
        _refuse_on_boats(session, gone, kept)
    if kind.name == "pack":
        _refuse_in_a_set(session, gone, kept, both)
    if kind.name in LENDABLE and len(open_loans(session, kind.name, [gone.id, kept.id])) > 1:
        raise Conflict(f"{both} are both lent: write down first which of them came back.")


def run_ids_on(session: Session, kind: str, thing_id: int) -> set[int]:
    """The runs made with a pack or with any edition of a prop."""
    if kind == "pack":
        return set(session.exec(select(RunPack.run_id).where(RunPack.pack_id == thing_id)))
    editions = select(PropEdition.id).where(PropEdition.prop_id == thing_id)
    return set(session.exec(select(RunProp.run_id).where(col(RunProp.edition_id).in_(editions))))


def _refuse_in_runs(session: Session, kind: SameKind, gone: Any, kept: Any, both: str) -> None:
    of_gone, of_kept = run_ids_on(session, kind.name, gone.id), run_ids_on(session, kind.name, kept.id)
    runs = runs_by_ids(session, of_gone | of_kept)
    boats = {one.id: one.name for one in hulls_by_ids(session, {run.hull_id for run in runs.values()}).values()}
    if of_gone & of_kept:
        words = _run_words(runs[min(of_gone & of_kept)], boats)
        raise Conflict(f"{both} were both in {words}: they are two.")
    stays = [
        [
            _stay(runs[run_id], boats)
            for run_id in ids
            if runs[run_id].start_time_known and not runs[run_id].set_aside_at
        ]
        for ids in (of_gone, of_kept)
    ]
    if met := _at_once(*stays):
        raise Conflict(
            f"{kind.called(gone)} was in {met[0].words} and {kind.called(kept)} in {met[1].words} at the same time: "
            "they are two."
        )


def _run_words(run: Run, boats: dict[int, str]) -> str:
    began = Moment(run.started_at, run.offset_min)
    return f"{boats[run.hull_id]}, run {run.number} of {began.day()}, {began.clock()}"


def _stay(run: Run, boats: dict[int, str]) -> Stay:
    since = datetime.fromisoformat(run.started_at)
    return Stay(_run_words(run, boats), since, since + timedelta(seconds=max(run.duration_s or 0, 1)))


def _at_once(of_gone: Sequence[Stay], of_kept: Sequence[Stay]) -> tuple[Stay, Stay] | None:
    """The first two stays, one of each, that have a moment in common. Those of one thing have none."""
    in_order = sorted(
        [(stay.since, stay, True) for stay in of_gone] + [(stay.since, stay, False) for stay in of_kept],
        key=lambda each: each[0],
    )
    for (_, first, first_is_gone), (since, second, second_is_gone) in pairwise(in_order):
        if first_is_gone != second_is_gone and since < first.until:
            return (first, second) if first_is_gone else (second, first)
    return None


def _refuse_on_boats(session: Session, gone: Any, kept: Any) -> None:
    if met := _at_once(_installed(session, gone.id), _installed(session, kept.id)):
        raise Conflict(
            f"{gone.code} was on {met[0].words} and {kept.code} on {met[1].words} at the same time: they are two."
        )


def _installed(session: Session, part_id: int) -> list[Stay]:
    """Where a part was installed, from when to when; states that gave way do not count."""
    rows = session.exec(
        select(Change.kind, BuildState.made_at, BuildState.offset_min, BuildState.hull_id)
        .join(BuildState, col(Change.state_id) == BuildState.id)
        .where(Change.part_id == part_id, col(BuildState.id).not_in(select(Supersession.old_state_id)))
        .order_by(col(BuildState.made_at), col(Change.id))
    ).all()
    boats = {one.id: one.name for one in hulls_by_ids(session, {row[3] for row in rows}).values()}
    return list(_stays(rows, boats))


def _stays(rows: Iterable[tuple[str, str, int, int]], boats: dict[int, str]) -> Iterable[Stay]:
    since: tuple[str, str] | None = None
    for kind, made_at, offset_min, hull_id in rows:
        if kind == "install":
            since = (made_at, f"{boats[hull_id]} from {Moment(made_at, offset_min).day()}")
        elif kind == "take out" and since:
            yield Stay(since[1], datetime.fromisoformat(since[0]), datetime.fromisoformat(made_at))
            since = None
    if since:
        began = datetime.fromisoformat(since[0])
        yield Stay(since[1], began, datetime.max.replace(tzinfo=began.tzinfo))


def _refuse_in_a_set(session: Session, gone: Any, kept: Any, both: str) -> None:
    of_gone, of_kept = (
        set(session.exec(select(PackSetMember.set_id).where(PackSetMember.pack_id == pack_id)))
        for pack_id in (gone.id, kept.id)
    )
    for set_id in sorted(of_gone & of_kept):
        raise Conflict(f"{both} are both in the set {session.get_one(PackSet, set_id).name}: take that apart first.")
