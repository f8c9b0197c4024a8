"""A whole day that was otherwise: another day, another water."""

from collections.abc import Sequence
from datetime import date, timedelta

from sqlmodel import Session

from garage.errors import Conflict
from garage.mending.operation import Ask, Operation, Planned
from garage.mending.run_steps import run_start_steps
from garage.mending.steps import Put
from garage.moments import Moment, day_text
from garage.runs.store import runs_of_outing
from garage.units import DisplayUnits
from garage.waters.outing_store import began, outing
from garage.waters.store import water, waters
from garage.web.fields import Reader

_MOST_RUNS = 400
WITH_THE_DAY, AS_TYPED = "with the day", "as typed"


def _asks_day(session: Session, outing_id: int, _units: DisplayUnits) -> Sequence[Ask]:
    stands = began(outing(session, outing_id))
    return [Ask("day", "The day it really was", "date", value=stands.date(), required=True)]


def _plan_day(session: Session, reader: Reader, outing_id: int, _now: Moment) -> Planned:
    day = reader.date("day", required=True)
    kept = outing(session, outing_id)
    stands = began(kept)
    if day == stands.date():
        reader.fail("day", f"{stands.day()} is what stands there already.")
    reader.finish()
    shift = date.fromisoformat(day) - date.fromisoformat(stands.date())
    moved = on_day(stands, shift)
    old = {"started_at": kept.started_at, "offset_min": kept.offset_min}
    steps: list = [Put("outing", outing_id, old, {"started_at": moved.utc, "offset_min": moved.offset_min})]
    runs = runs_of_outing(session, outing_id, limit=_MOST_RUNS)
    starts = [(run, on_day(Moment(run.started_at, run.offset_min), shift)) for run in runs]
    steps += run_start_steps(session, starts)
    notes = ["Every run keeps its clock, on the other day."] if runs else []
    return Planned(f"The day was {day_text(day)}, not {stands.day()}", steps, notes)


def on_day(moment: Moment, shift: timedelta) -> Moment:
    """The same clock so many days later, with the offset that this place has then."""
    if moment.is_of_here:
        # The clock on the wall, by summer or winter time as it was then.
        return Moment.of((moment.local().replace(tzinfo=None) + shift).astimezone())
    return Moment.of(moment.local() + shift)


def _asks_water(session: Session, outing_id: int, _units: DisplayUnits) -> Sequence[Ask]:
    listed = [(str(one.id), one.name) for one in waters(session)]
    return [Ask("water", "The water it really was", "choice", options=listed, required=True)]


def _plan_water(session: Session, reader: Reader, outing_id: int, _now: Moment) -> Planned:
    kept = outing(session, outing_id)
    chosen = reader.choice("water", [str(one.id) for one in waters(session)], required=True)
    reader.finish()
    if int(chosen) == kept.water_id:
        raise Conflict("That is the water that stands there already.")
    there, other = water(session, kept.water_id), water(session, int(chosen))
    step = Put("outing", outing_id, {"water_id": there.id}, {"water_id": other.id})
    return Planned(f"The water was {other.name}, not {there.name}", [step])


OPERATIONS = (
    Operation("outing", "day", "It was another day", "every run goes along with its clock", _asks_day, _plan_day),
    Operation("outing", "water", "It was another water", "the runs go along", _asks_water, _plan_water),
)
