"""A workshop visit that was otherwise: on another day, in part, never, on another boat, or forgotten."""

from datetime import UTC, datetime

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from sqlmodel import select

from garage.corrections.store import add_correction, corrections_of
from garage.errors import Conflict
from garage.mending.catalog import operation
from garage.mending.store import carry_out, take_back
from garage.runs.reassign import move_pins
from garage.runs.tables import Run
from garage.states.query_store import changes_of, given_way, live_states_after, moment_of, state, state_by_number
from garage.states.write_store import read_change
from garage.units import DisplayUnits
from garage.web.fields import FormErrors, Reader
from tests.states.boat import NOW, Boat, at, install, make_boat, set_to


def _planned(boat: Boat, kind: str, thing_id: int, name: str, typed: dict[str, str]):
    reader = Reader(typed, DisplayUnits.metric(), datetime(2026, 5, 9, 14, 30, tzinfo=UTC))
    return operation(kind, name).plan(boat.session, reader, thing_id, NOW)


def _put_right(boat: Boat, number: int, name: str, **typed: str) -> int:
    """What was said of the visit that made a state put right; the number of the mending."""
    found = state_by_number(boat.session, boat.hull_id, number)
    return carry_out(boat.session, "state", _planned(boat, "state", found.id, name, typed), "", "", NOW).id


def _day(day: int, hour: int = 10) -> str:
    return at(day, hour).local_text()


def _history(boat: Boat) -> list:
    """What stands, state by state: when, what is on the boat, the words of the visit."""
    found = live_states_after(boat.session, boat.hull_id, "")
    changes = changes_of(boat.session, [one.id for one in found])
    return [
        (one.made_at, one.fingerprint, one.note, [read_change(row) for row in changes.get(one.id, [])]) for one in found
    ]


def _pins(boat: Boat) -> list:
    """For each run, when its state was made and what was on the boat."""
    boat.session.expire_all()
    rows = boat.session.exec(select(Run).where(Run.hull_id == boat.hull_id).order_by(Run.started_at, Run.id)).all()
    states = [state(boat.session, run.state_id) for run in rows]
    assert not given_way(boat.session, [one.id for one in states])
    return [(run.started_at, one.made_at, one.fingerprint) for run, one in zip(rows, states, strict=True)]


def _numbers(boat: Boat) -> list[int]:
    return [one.number for one in live_states_after(boat.session, boat.hull_id, "")]


_visits = st.lists(
    st.tuples(
        st.integers(2, 27),
        st.lists(
            st.tuples(st.sampled_from(("strut_height", "strut_angle")), st.integers(1, 4)), min_size=1, max_size=3
        ),
    ),
    min_size=1,
    max_size=5,
    unique_by=lambda visit: visit[0],
)
_made = iter(range(10**6))


def _written(session, visits, run_days) -> Boat:
    boat = make_boat(session, name=f"Boat {next(_made)}")
    boat.visit(set_to(2.5), day=1)
    for day, changes in sorted(visits):
        boat.visit(*(set_to(float(value), key) for key, value in changes), day=day)
    for day in run_days:
        boat.run(day)
    return boat


@given(
    visits=_visits,
    wrong=st.integers(0, 4),
    other_day=st.integers(2, 27),
    of_it=st.integers(0, 2),
    way=st.sampled_from(("day", "never", "some on another day", "some never")),
    run_days=st.lists(st.integers(1, 28), max_size=5, unique=True),
)
@settings(max_examples=15)
def test_a_visit_put_right_ends_as_if_it_had_been_written_right_the_first_time(
    session, visits, wrong, other_day, of_it, way, run_days
):
    visits = sorted(visits)
    day, changes = visits[wrong % len(visits)]
    if other_day in [one for one, _ in visits]:
        return
    rest = [one for one in visits if one[0] != day]
    some = way.startswith("some") and len(changes) > 1
    taken = [changes[of_it % len(changes)]] if some else changes
    stays = [one for place, one in enumerate(changes) if place != of_it % len(changes)] if some else []
    right = rest + ([(day, stays)] if stays else []) + ([(other_day, taken)] if "day" in way else [])

    boat = _written(session, visits, run_days)
    before = _history(boat), _pins(boat)
    found = next(one for one in live_states_after(session, boat.hull_id, "") if one.made_at == at(day).utc)
    rows = changes_of(session, [found.id])[found.id]
    ticked = {"only": str(rows[of_it % len(rows)].id)} if some else {}
    name = "day" if "day" in way else "never"
    done = _put_right(boat, found.number, name, at=_day(other_day), **ticked)
    should = _written(session, right, run_days)
    assert _history(boat) == _history(should)
    assert _pins(boat) == _pins(should)

    take_back(session, done, "", "", NOW)
    assert (_history(boat), _pins(boat)) == before


@pytest.fixture
def boat(session) -> Boat:
    """States 1 (1 April), 2 (3 April) and 3 (10 April, two changes), runs on 4, 8 and 12 April."""
    boat = make_boat(session)
    boat.visit(set_to(3.0), day=3)
    boat.run(4), boat.run(8)
    boat.visit(set_to(5.0), set_to(1.5, "strut_angle"), day=10)
    boat.run(12)
    return boat


def test_a_first_state_and_one_that_gave_way_say_why_they_stay(boat):
    first, gone = (state_by_number(boat.session, boat.hull_id, number).id for number in (1, 3))
    _put_right(boat, 3, "day", at=_day(6))
    assert "first build state stays" in operation("state", "day").refused(boat.session, first)
    assert "replaced by build state 4" in operation("state", "day").refused(boat.session, gone)
    with pytest.raises(Conflict, match="begins on 1 April"):
        _planned(boat, "state", state_by_number(boat.session, boat.hull_id, 2).id, "day", {"at": "2026-03-03T10:00"})
    with pytest.raises(FormErrors, match="stands there already"):
        found = state_by_number(boat.session, boat.hull_id, 2)
        _planned(boat, "state", found.id, "day", {"at": moment_of(found).local_text()})


def test_a_run_that_a_person_put_on_the_visit_is_put_there_again_when_it_is_taken_back(boat):
    early = boat.session.exec(select(Run).where(Run.started_at == at(4, 12).utc)).one()
    move_pins(boat.session, [early.id], state_by_number(boat.session, boat.hull_id, 3).id, "was late", NOW)
    before = _pins(boat)
    done = _put_right(boat, 3, "never")
    assert [made for _, made, _ in _pins(boat)] == [at(3).utc] * 3
    take_back(boat.session, done, "", "", NOW)
    assert _pins(boat) == before


def test_what_was_mended_in_a_visit_goes_along_to_its_day_and_back(boat):
    found = state_by_number(boat.session, boat.hull_id, 3)
    change = changes_of(boat.session, [found.id])[found.id][0]
    add_correction(boat.session, "change", change.id, "value", "5.0", "5.5", "misread", NOW)

    def mended() -> list[str]:
        live = [one.id for one in live_states_after(boat.session, boat.hull_id, "")]
        rows = [row.id for listed in changes_of(boat.session, live).values() for row in listed]
        return [row.new for listed in corrections_of(boat.session, "change", rows).values() for row in listed]

    done = _put_right(boat, 3, "day", at=_day(6), only=str(change.id))
    assert mended() == ["5.5"]
    take_back(boat.session, done, "", "", NOW)
    assert mended() == ["5.5"]


def test_a_visit_written_after_a_mending_stays_when_that_is_taken_back(boat):
    before = _history(boat)
    done = _put_right(boat, 3, "day", at=_day(6))
    boat.visit(set_to(9.0), day=20)
    take_back(boat.session, done, "", "", NOW)
    assert _history(boat)[:-1] == before and _history(boat)[-1][0] == at(20).utc


def test_a_visit_that_was_changed_since_is_not_taken_back_over_that(boat):
    done = _put_right(boat, 3, "day", at=_day(6))
    moved = state_by_number(boat.session, boat.hull_id, 4)
    row = changes_of(boat.session, [moved.id])[moved.id][0]
    _put_right(boat, 4, "never", only=str(row.id))
    with pytest.raises(Conflict, match="changed since"):
        take_back(boat.session, done, "", "", NOW)


def test_a_visit_on_the_wrong_boat_goes_over_with_its_parts_and_back(boat):
    other = make_boat(boat.session, name="Medlar")
    other.visit(set_to(2.0), day=2)
    other.run(20)
    boat.visit(install(boat.part("M1")), set_to(7.0), day=14)
    boat.run(15)
    before = [_history(one) + _pins(one) for one in (boat, other)]
    number = _numbers(boat)[-1]
    done = _put_right(boat, number, "boat", hull=str(other.hull_id), at=_day(14))
    assert [row.kind for row in _history(other)[-1][3]] == ["install", "set"]
    assert _history(other)[-1][3][1].detail == {"value": 7.0, "was": 2.0}
    assert _pins(other)[-1][1] == at(14).utc and _pins(boat)[-1][1] == at(10).utc
    take_back(boat.session, done, "", "", NOW)
    assert [_history(one) + _pins(one) for one in (boat, other)] == before


def test_what_does_not_go_with_the_other_boat_is_said(boat):
    other = make_boat(boat.session, name="Medlar", screws=2)
    found = state_by_number(boat.session, boat.hull_id, 3)
    with pytest.raises(Conflict, match="Medlar has no Strut height"):
        _planned(boat, "state", found.id, "boat", {"hull": str(other.hull_id), "at": _day(10)})
