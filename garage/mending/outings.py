"""A whole outing that was otherwise: another day, another hour, another water."""

from collections.abc import Sequence
from datetime import UTC, date, datetime, timedelta

from sqlmodel import Session

from garage.errors import Conflict
from garage.logs.store import logs
from garage.mending.asked import runs_of_day, the_outing
from garage.mending.operation import Ask, Operation, Planned
from garage.mending.run_steps import StatesThen, by_hand_notes, listed, run_start_steps, started
from garage.mending.steps import Put, Step
from garage.moments import Moment, day_text
from garage.units import DisplayUnits
from garage.waters.outing_store import began
from garage.waters.store import water, waters
from garage.waters.tables import Outing
from garage.web.fields import Reader


def _asks_day(session: Session, outing_id: int, _units: DisplayUnits) -> Sequence[Ask]:
    stands = began(the_outing(session, outing_id))
    hint = "every run goes along and keeps its clock, typed or not"
    return [Ask("day", "The day it really was", "date", hint, value=stands.date(), required=True)]


def _plan_day(session: Session, reader: Reader, outing_id: int, _now: Moment) -> Planned:
    day = reader.date("day", required=True)
    kept = the_outing(session, outing_id)
    stands = began(kept)
    if day == stands.date():
        reader.fail("day", f"{stands.day()} is what stands there already.")
    reader.finish()
    shift = days_between(stands, day)
    moved, states = on_day(stands, shift), StatesThen(session)
    runs = runs_of_day(session, outing_id)
    starts = [(run, on_day(started(run), shift)) for run in runs]
    steps: list[Step] = [began_step(kept, moved), *run_start_steps(session, starts, states)]
    notes = ["Every run keeps its clock, on the other day."] if runs else []
    notes += by_hand_notes(runs, states) + _log_notes(session, outing_id, day)
    return Planned(f"The day was {day_text(day)}, not {stands.day()}", steps, notes)


def began_step(kept: Outing, moment: Moment) -> Put:
    """An outing began at another time."""
    old = {"started_at": kept.started_at, "offset_min": kept.offset_min}
    return Put("outing", kept.id, old, {"started_at": moment.utc, "offset_min": moment.offset_min})


def days_between(stands: Moment, day: str) -> timedelta:
    """How far another day is from that of a moment."""
    return date.fromisoformat(day) - date.fromisoformat(stands.date())


def on_day(moment: Moment, shift: timedelta) -> Moment:
    """The same clock so many days later, with the offset that this place has then."""
    if moment.is_of_here:
        # The clock on the wall, by summer or winter time as it was then.
        return Moment.of((moment.local().replace(tzinfo=None) + shift).astimezone())
    return Moment.of(moment.local() + shift)


def _log_notes(session: Session, outing_id: int, day: str) -> list[str]:
    """What the logs of the day say by their own clocks, where that is another day."""
    said: dict[str, list[str]] = {}
    for log in logs(session, outing_id=outing_id):
        if log.start_unix_s and not log.set_aside_at:
            began_on = Moment.of(datetime.fromtimestamp(log.start_unix_s, UTC).astimezone())
            said.setdefault(began_on.date(), []).append(log.name)
    return [
        f"{'The log' if len(names) == 1 else 'The logs'} {listed(names)} {'says' if len(names) == 1 else 'say'}"
        f" {day_text(other)} by {'its' if len(names) == 1 else 'their'} own clock."
        for other, names in said.items()
        if other != day
    ]


def _asks_began(session: Session, outing_id: int, _units: DisplayUnits) -> Sequence[Ask]:
    stands = began(the_outing(session, outing_id))
    return [Ask("began", "When it began", "moment", "no later than its first run", value=stands.local_text())]


def _plan_began(session: Session, reader: Reader, outing_id: int, _now: Moment) -> Planned:
    kept = the_outing(session, outing_id)
    stands = began(kept)
    begins = reader.moment("began", required=True, was=stands)
    if begins and begins.date() != stands.date():
        reader.fail("began", f"The outing was on {stands.day()}: another day is put right by itself, with its runs.")
    first = min(map(started, runs_of_day(session, outing_id)), default=None)
    if begins and first and begins.utc > first.utc:
        reader.fail("began", f"Its first run was at {first.clock()}: the outing began no later than that.")
    reader.finish()
    assert begins is not None
    if begins == stands:
        raise Conflict("That is what stands there already.")
    return Planned(f"It began at {begins.clock()}, not {stands.clock()}", [began_step(kept, begins)])


def _asks_water(session: Session, outing_id: int, _units: DisplayUnits) -> Sequence[Ask]:
    listed = [(str(one.id), one.name) for one in waters(session)]
    return [Ask("water", "The water it really was", "choice", options=listed, required=True)]


def _plan_water(session: Session, reader: Reader, outing_id: int, _now: Moment) -> Planned:
    kept = the_outing(session, outing_id)
    chosen = reader.choice("water", [str(one.id) for one in waters(session)], required=True)
    reader.finish()
    if int(chosen) == kept.water_id:
        raise Conflict("That is the water that stands there already.")
    there, other = water(session, kept.water_id), water(session, int(chosen))
    step = Put("outing", outing_id, {"water_id": there.id}, {"water_id": other.id})
    return Planned(f"The water was {other.name}, not {there.name}", [step])


OPERATIONS = (
    Operation("outing", "day", "It was another day", "every run goes along with its clock", _asks_day, _plan_day),
    Operation("outing", "began", "It began at another time", "the runs stay where they are", _asks_began, _plan_began),
    Operation("outing", "water", "It was another water", "the runs go along", _asks_water, _plan_water),
)
