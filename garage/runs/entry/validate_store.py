"""What a run as written goes against: its own time, its hull, its packs, another run at the same time."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta

from sqlmodel import Session, col, select

from garage.db.in_ids import in_
from garage.hulls.store import hull as hull_by_id
from garage.moments import Moment, day_text
from garage.packs.store import packs_by_ids
from garage.packs.tables import Pack, PackLog
from garage.runs.fields import LONGEST_RUN_S
from garage.runs.form_data import PackUse, RunFormData
from garage.runs.tables import Run, RunPack
from garage.states.store import current_state, state_at
from garage.states.tables import BuildState
from garage.waters.outing_store import outing

# No run lasts longer (the table refuses it), so a run that is still going began at most so long before.
LONGEST_RUN = timedelta(seconds=LONGEST_RUN_S)


# The field of a tick beside the message that a boat was not built yet: she was, and the day is moved.
BUILT_THEN = "built_then"


@dataclass(frozen=True)
class Looked:
    """A run looked at before it is written: when it began, the build state its hull was in then, and messages by field
    (`started`, `built_then`, `pack`, `prop`), none when nothing is wrong."""

    start: Moment
    state: BuildState | None
    problems: dict[str, str]


def look_at(session: Session, form: RunFormData, start: Moment, at: Moment, run_id: int | None = None) -> Looked:
    """What a run goes against. `run_id` is the run itself when one already written is changed. Raises NotFound for a
    hull or an outing that is not there."""
    state = state_at(session, form.hull_id, start.utc)
    return Looked(start, state, _problems(session, form, start, state, at, run_id))


def _problems(
    session: Session, form: RunFormData, start: Moment, state: BuildState | None, at: Moment, run_id: int | None
) -> dict[str, str]:
    found: dict[str, str] = {}
    found |= _wrong_time(session, form, start, state, at)
    found |= _wrong_parts(session, form)
    if form.started:
        found |= {
            name: words for name, words in _contradictions(session, form, start, run_id).items() if name not in found
        }
    return found


def _wrong_time(
    session: Session, form: RunFormData, start: Moment, state: BuildState | None, at: Moment
) -> dict[str, str]:
    hull = hull_by_id(session, form.hull_id)
    day = outing(session, form.outing_id)
    day_began = Moment(day.started_at, day.offset_min)
    if hull.built_on and start.date() < hull.built_on:
        return {BUILT_THEN: f"{hull.name} was built on {day_text(hull.built_on)}; this run would be before that."}
    if form.started and start.utc > at.utc and start.date() > at.date():
        return {"started": f"{start.day()} is still to come."}
    if form.started and start.date() != day_began.date():
        return {"started": f"The outing was on {day_began.day()}, this is {start.day()}."}
    if state is None and current_state(session, form.hull_id):
        return {"started": f"{hull.name} has no build state as early as {start.day()}, {start.clock()}."}
    return {}


def _wrong_parts(session: Session, form: RunFormData) -> dict[str, str]:
    if len({use.place for use in form.props}) < len(form.props):
        return {"prop": "There are two props at one place."}
    ids = [use.pack_id for use in form.packs]
    known = set(packs_by_ids(session, ids))
    if len(set(ids)) < len(ids):
        return {"pack": "The same pack is in there twice."}
    return {} if known == set(ids) else {"pack": "There is no such pack in this notebook."}


def _contradictions(session: Session, form: RunFormData, start: Moment, run_id: int | None) -> dict[str, str]:
    """Runs that were going on while this one was: with one of its packs, or with the same hull."""
    first, last = span(start.utc, form.facts["duration_s"])
    going = [
        other
        for other in _runs_about(session, form, first, last)
        if other.id != run_id and overlap((first, last), span(other.started_at, other.duration_s))
    ]
    if not going:
        return {}
    for run in going:
        for code in _shared_packs(session, run, form.packs):
            words = f"Pack {code} was in run {run.number} at {_clock(run)} already"
            return {"pack": f"{words}: a pack is in one boat at a time."}
    same_hull = [run for run in going if run.hull_id == form.hull_id]
    if same_hull:
        return {"started": f"Run {same_hull[0].number} of this boat was going on at {_clock(same_hull[0])}."}
    return {}


def _runs_about(session: Session, form: RunFormData, first: datetime, last: datetime) -> Iterable[Run]:
    low, high = (utc_text(moment) for moment in (first - LONGEST_RUN, last))
    counts = (
        Run.started_at >= low,
        Run.started_at <= high,
        Run.start_time_known,
        col(Run.set_aside_at).is_(None),
    )
    packs = [use.pack_id for use in form.packs]
    by_hull = select(Run.id).where(Run.hull_id == form.hull_id, Run.started_at >= low, Run.started_at <= high)
    by_pack = select(PackLog.run_id).where(in_(PackLog.pack_id, packs), PackLog.at >= low, PackLog.at <= high)
    either = col(Run.id).in_(by_hull) | col(Run.id).in_(by_pack)
    found = select(Run).where(either, *counts).order_by(col(Run.hull_id) != form.hull_id, col(Run.id))
    return session.exec(found).all()


def _shared_packs(session: Session, run: Run, packs: Iterable[PackUse]) -> list[str]:
    ids = [use.pack_id for use in packs]
    shared = select(Pack.code).join(RunPack, col(RunPack.pack_id) == Pack.id)
    return list(session.exec(shared.where(RunPack.run_id == run.id, in_(RunPack.pack_id, ids))))


def span(utc: str, duration_s: float | None) -> tuple[datetime, datetime]:
    """From when to when a run went on; a second where its length is not known."""
    first = datetime.fromisoformat(utc.replace("Z", "+00:00"))
    return first, first + timedelta(seconds=max(duration_s or 0, 1))


def overlap(one: tuple[datetime, datetime], other: tuple[datetime, datetime]) -> bool:
    """Whether two spans have a moment in common."""
    return one[0] < other[1] and other[0] < one[1]


def utc_text(moment: datetime) -> str:
    """A moment in UTC, as it is stored."""
    return moment.strftime("%Y-%m-%dT%H:%M:%SZ")


def _clock(run: Run) -> str:
    return Moment(run.started_at, run.offset_min).clock()
