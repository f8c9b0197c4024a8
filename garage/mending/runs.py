"""A run that was otherwise: another boat, another outing, another start, another place in the order of its day."""

from collections.abc import Sequence

from sqlmodel import Session

from garage.errors import Conflict
from garage.hulls.store import hull, hulls
from garage.mending.asked import once, runs_of_day, the_outing, the_run
from garage.mending.operation import Ask, Operation, Planned
from garage.mending.order import OutOfOrder, numbers_after, put_among, starts_in_order
from garage.mending.outing_parts import logs_along
from garage.mending.outings import days_between, on_day
from garage.mending.run_steps import (
    StatesThen,
    begin_steps,
    by_hand_notes,
    listed,
    moving,
    not_known_steps,
    number_steps,
    placed,
    put_by_hand,
    run_start_steps,
    start_step,
    started,
    state_step,
)
from garage.mending.steps import Step
from garage.moments import Moment
from garage.runs.entry.write import places_of
from garage.runs.moves import Move
from garage.runs.store import props_of
from garage.runs.tables import Run
from garage.units import DisplayUnits
from garage.waters.outing_store import began, outings
from garage.waters.store import waters_by_id
from garage.waters.tables import Outing
from garage.web.fields import Reader

_MOST_OFFERED = 100


def _asks_boat(session: Session, run_id: int, _units: DisplayUnits) -> Sequence[Ask]:
    kept = the_run(session, run_id)
    hint = "props, packs and readings stay with the run; she gets the build state that the boat was in then"
    return [Ask("boat", "The boat it really was", "choice", hint, _boats(session, kept), required=True)]


def _boats(session: Session, kept: Run) -> list[tuple[str, str]]:
    return once(session, ("boats", kept.id), lambda: _read_boats(session, kept))


def _read_boats(session: Session, kept: Run) -> list[tuple[str, str]]:
    in_use = [(str(one.id), one.name) for one in hulls(session, limit=_MOST_OFFERED)]
    retired = [(str(one.id), f"{one.name}, retired") for one in hulls(session, retired=True, limit=_MOST_OFFERED)]
    return [one for one in (*in_use, *retired) if one[0] != str(kept.hull_id)]


def _boat_refused(session: Session, run_id: int) -> str:
    return "" if _boats(session, the_run(session, run_id)) else "There is no other boat in this notebook."


def _plan_boat(session: Session, reader: Reader, run_id: int, _now: Moment) -> Planned:
    kept = the_run(session, run_id)
    chosen = reader.choice("boat", [value for value, _ in _boats(session, kept)], required=True)
    reader.finish()
    boat, before = hull(session, int(chosen)), hull(session, kept.hull_id)
    state = StatesThen(session).at(boat.id, started(kept))
    notes = [f"The run stands on build state {state.number} of {boat.name} then."]
    places = {use.place for use in props_of(session, [run_id])[run_id]}
    if places - set(places_of(boat)):
        notes.append(f"Its props are written as {listed(sorted(places))}, where {boat.name} has none: they stay so.")
    if boat.retired_on and started(kept).date() > boat.retired_on:
        notes.append(f"{boat.name} was retired before that day.")
    steps: list[Step] = [Move(run_id, "boat", str(before.id), str(boat.id)), state_step(kept, state)]
    steps += not_known_steps(kept, known=["state"])
    return Planned(f"Run {kept.number} was {boat.name}’s, not {before.name}’s", steps, notes)


def _asks_outing(session: Session, run_id: int, _units: DisplayUnits) -> Sequence[Ask]:
    options = _outing_choices(session, the_run(session, run_id))
    hint = "the run goes to that day and keeps its clock, its place is by its start"
    return [Ask("outing", "The outing it was of", "choice", hint, options, required=True)]


def _outing_choices(session: Session, kept: Run) -> list[tuple[str, str]]:
    return once(session, ("outings", kept.id), lambda: _read_outing_choices(session, kept))


def _read_outing_choices(session: Session, kept: Run) -> list[tuple[str, str]]:
    found = [one for one in outings(session, limit=_MOST_OFFERED) if one.id != kept.outing_id]
    names = waters_by_id(session, {one.water_id for one in found})
    return [(str(one.id), f"{began(one).day()}, {began(one).clock()}, {names[one.water_id].name}") for one in found]


def _outing_refused(session: Session, run_id: int) -> str:
    others = _outing_choices(session, the_run(session, run_id))
    return "" if others else "There is no other outing: begin it first, or say that its outing was two."


def _plan_outing(session: Session, reader: Reader, run_id: int, _now: Moment) -> Planned:
    kept = the_run(session, run_id)
    chosen = reader.choice("outing", [value for value, _ in _outing_choices(session, kept)], required=True)
    reader.finish()
    here, there = the_outing(session, kept.outing_id), the_outing(session, int(chosen))
    shift, states = days_between(started(kept), began(there).date()), StatesThen(session)
    start = on_day(started(kept), shift) if shift else started(kept)
    left = [one for one in runs_of_day(session, here.id) if one.id != run_id]
    others = runs_of_day(session, there.id)
    order = put_among([placed(one) for one in others], [placed(kept, start)])
    numbers = _numbers_there(order, run_id, others)
    numbers |= numbers_after({one.id: one.number for one in [*left, kept]}, [run_id])
    moves = [Move(run_id, "outing", str(here.id), str(there.id)), *number_steps([kept, *left, *others], numbers)]
    steps: list[Step] = [*moving(moves), *run_start_steps(session, [(kept, start)], states)]
    logs, notes = logs_along(session, here.id, there.id, {run_id})
    notes += by_hand_notes([kept], states) if shift else []
    if shift:
        notes.append(f"It keeps its clock, {start.clock()}, on {start.day()}.")
    steps += [*logs, *begin_steps(there, [start])]
    said = f"Run {kept.number} of {began(here).day()} was of the outing of {began(there).day()}, {began(there).clock()}"
    return Planned(said, steps, notes)


def _numbers_there(order: Sequence[int], run_id: int, others: Sequence[Run]) -> dict[int, int]:
    """The new run comes behind the one before it; those behind it move down."""
    known = {one.id: one.number for one in others}
    place = order.index(run_id)
    mine = known[order[place - 1]] + 1 if place else min(known.values(), default=1)
    return {run_id: mine} | {other: known[other] + 1 for other in order[place + 1 :]}


def _asks_start(session: Session, run_id: int, _units: DisplayUnits) -> Sequence[Ask]:
    kept = the_run(session, run_id)
    value = started(kept).local_text() if kept.start_time_known else ""
    return [
        Ask("started", "When it began", "moment", "by a clock, on the day of its outing", value=value),
        Ask("unknown", "Nobody looked at the clock", "flag", "its place in the order of the day is all that is known"),
    ]


def _plan_start(session: Session, reader: Reader, run_id: int, _now: Moment) -> Planned:
    kept = the_run(session, run_id)
    stands, day = started(kept), the_outing(session, kept.outing_id)
    unknown = reader.flag("unknown")
    start = stands if unknown else reader.moment("started", required=True, was=stands)
    reader.finish()
    assert start is not None
    if unknown == (not kept.start_time_known) and (unknown or start == stands):
        raise Conflict("That is what stands there already.")
    if start.date() != began(day).date():
        raise Conflict(
            f"The outing was on {began(day).day()}, this is {start.day()}.",
            (f"/otherwise/run/{run_id}/outing", "The run was of another outing"),
            (f"/otherwise/outing/{day.id}/day", "The whole outing was on another day"),
        )
    states = StatesThen(session)
    steps: list[Step] = [start_step(kept, start, not unknown)]
    if not put_by_hand(kept, states):
        steps.append(state_step(kept, states.at(kept.hull_id, start)))
    words = ["start"]
    steps += not_known_steps(kept, also=words if unknown else [], known=[] if unknown else words)
    steps += begin_steps(day, [start])
    notes = by_hand_notes([kept], states) + _order_notes(session, kept, start)
    said = "nobody looked at the clock" if unknown else f"it began at {start.clock()}"
    before = f"not at {stands.clock()}" if kept.start_time_known else "which nobody had written"
    return Planned(f"Run {kept.number}: {said}, {before}", steps, notes)


def _order_notes(session: Session, kept: Run, start: Moment) -> list[str]:
    """That a run stands in another place than its clock says, which is put right by itself."""
    others = [one for one in runs_of_day(session, kept.outing_id) if one.id != kept.id]
    known = [one for one in others if one.start_time_known]
    late = [one for one in known if one.number < kept.number and one.started_at > start.utc]
    early = [one for one in known if one.number > kept.number and one.started_at < start.utc]
    if not late and not early:
        return []
    where = listed([f"before run {one.number}" for one in late[:1]] + [f"after run {one.number}" for one in early[:1]])
    return [f"By the clocks it was {where}: its place in the order is put right by itself."]


def _asks_place(session: Session, run_id: int, _units: DisplayUnits) -> Sequence[Ask]:
    kept = the_run(session, run_id)
    runs = runs_of_day(session, kept.outing_id)
    options = [(str(place), f"{_th(place)} of {len(runs)}") for place in range(1, len(runs) + 1)]
    stands = str([one.id for one in runs].index(run_id) + 1)
    hint = "clocks that were looked at stay; starts that nobody wrote go along with the order"
    return [Ask("place", "Its place in the order of the day", "choice", hint, options, stands, required=True)]


def _th(place: int) -> str:
    ending = "th" if place % 100 in (11, 12, 13) else {1: "st", 2: "nd", 3: "rd"}.get(place % 10, "th")
    return f"{place}{ending}"


def _place_refused(session: Session, run_id: int) -> str:
    few = len(runs_of_day(session, the_run(session, run_id).outing_id)) < 2
    return "It is the only run of its outing." if few else ""


def _plan_place(session: Session, reader: Reader, run_id: int, _now: Moment) -> Planned:
    kept = the_run(session, run_id)
    runs = runs_of_day(session, kept.outing_id)
    place = reader.choice("place", [str(one) for one in range(1, len(runs) + 1)], required=True)
    reader.finish()
    order = [one for one in runs if one.id != run_id]
    order.insert(int(place) - 1, kept)
    if order == runs:
        raise Conflict("That is its place already.")
    day = the_outing(session, kept.outing_id)
    starts = _starts(order, day)
    numbers = dict(zip((one.id for one in order), (one.number for one in runs), strict=True))
    steps: list[Step] = [*moving(number_steps(runs, numbers))]
    changed = [(one, starts[one.id]) for one in runs if starts[one.id] != started(one)]
    steps += run_start_steps(session, changed)
    steps += begin_steps(day, starts.values())
    notes = ["Starts that nobody wrote follow the order."] if changed else []
    return Planned(f"Run {kept.number} was the {_th(int(place))} of its day", steps, notes)


def _starts(order: Sequence[Run], day: Outing) -> dict[int, Moment]:
    try:
        return starts_in_order([placed(one) for one in order], began(day))
    except OutOfOrder as out:
        numbers = {one.id: one.number for one in order}
        first, second = out.first, out.second
        words = f"Run {numbers[first.run_id]} began at {first.start.clock()}, run {numbers[second.run_id]} at "
        raise Conflict(
            f"{words}{second.start.clock()}: clocks that somebody looked at say another order.",
            *(
                (f"/otherwise/run/{one.run_id}/start", f"Run {numbers[one.run_id]} began at another time")
                for one in (first, second)
            ),
        ) from out


OPERATIONS = (
    Operation(
        "run", "boat", "It was another boat", "props, packs and readings stay with the run",
        _asks_boat, _plan_boat, _boat_refused,
    ),
    Operation(
        "run", "outing", "It was of another outing", "another day too: the run goes there",
        _asks_outing, _plan_outing, _outing_refused,
    ),
    Operation("run", "start", "It began at another time", "or nobody looked at the clock", _asks_start, _plan_start),
    Operation(
        "run", "place", "It was in another place of the order", "the numbers of the day change",
        _asks_place, _plan_place, _place_refused,
    ),
)  # fmt: skip
