"""A forgotten change put in at its date: what moves, what stays readable, and what is refused."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from sqlmodel import select

from garage.corrections.store import add_correction, corrections_of
from garage.errors import Conflict
from garage.hulls.store import hull
from garage.moments import Moment
from garage.outings.insertion import insert_in_past, withdraw_from_past
from garage.runs.reassign import affected_count, affected_runs, move_pins
from garage.runs.tables import Run, RunMove
from garage.states.fold import EMPTY, ChangeFormData, Content, fold
from garage.states.past import Written, plan_past, plan_without
from garage.states.past_store import past_plan
from garage.states.store import (
    changes_of,
    current_state,
    given_way,
    state,
    state_at,
    state_by_number,
    state_content,
    states,
    states_with_fingerprint,
)
from tests.states.boat import NOW, at, install, make_boat, set_to


@pytest.fixture
def boat(session):
    """States 2 (3 April), 3 (10 April) and runs on 4, 8 and 12 April."""
    boat = make_boat(session)
    boat.visit(set_to(3.0), day=3)
    boat.runs = [boat.run(4), boat.run(8)]
    boat.visit(set_to(5.0), day=10)
    boat.runs.append(boat.run(12))
    return boat


def _insert(boat, *forms, day: int):
    return insert_in_past(boat.session, boat.hull_id, forms, at(day), "forgot it", NOW)


def _pins(boat) -> list[int]:
    return [state(boat.session, boat.session.get(Run, run.id).state_id).number for run in boat.runs]


def test_runs_since_the_change_move_to_states_that_have_it_and_earlier_runs_stay(boat):
    done = _insert(boat, set_to(1.5, "strut_angle"), day=6)
    assert done.runs == 2 and _pins(boat) == [2, 4, 5]
    angles = [state_content(state_by_number(boat.session, boat.hull_id, n)).settings for n in (2, 4, 5)]
    assert [row.get("strut_angle@single") for row in angles] == [None, 1.5, 1.5]
    assert [row["strut_height@single"] for row in angles] == [3.0, 3.0, 5.0]


def test_every_move_stands_in_the_ledger_with_its_reason(boat):
    before = [run.state_id for run in boat.runs]
    _insert(boat, set_to(1.5, "strut_angle"), day=6)
    moves = boat.session.exec(select(RunMove).order_by(RunMove.run_id)).all()
    assert [(move.run_id, int(move.from_value), move.why) for move in moves] == [
        (boat.runs[1].id, before[1], "forgot it"),
        (boat.runs[2].id, before[2], "forgot it"),
    ]


def test_old_states_stay_as_they_were_and_say_what_took_their_place(boat):
    old = state_by_number(boat.session, boat.hull_id, 3)
    told = (old.content, old.fingerprint, old.made_at)
    _insert(boat, set_to(1.5, "strut_angle"), day=6)
    boat.session.refresh(old)
    assert (old.content, old.fingerprint, old.made_at) == told
    assert state(boat.session, given_way(boat.session, [old.id])[old.id].new_state_id).number == 5
    assert states_with_fingerprint(boat.session, old.fingerprint)[0].id == old.id
    assert current_state(boat.session, boat.hull_id).number == 5
    assert state_at(boat.session, boat.hull_id, at(7).utc).number == 4


def test_a_number_is_never_used_twice(boat):
    for day in (5, 6, 7):
        _insert(boat, set_to(float(day), "strut_angle"), day=day)
    numbers = [row.number for row in states(boat.session, boat.hull_id, limit=100)]
    assert numbers == sorted(set(numbers), reverse=True)
    assert boat.visit(set_to(9.0), day=20).number == max(numbers) + 1


def test_the_preview_counts_exactly_the_runs_that_then_move(boat):
    plan = past_plan(boat.session, boat.hull_id, [set_to(1.5, "strut_angle")], at(6))
    ahead = [run.id for run in affected_runs(boat.session, plan, limit=10)]
    assert affected_count(boat.session, plan) == 2
    assert _insert(boat, set_to(1.5, "strut_angle"), day=6).runs == 2
    assert ahead == [boat.runs[1].id, boat.runs[2].id]


def test_a_change_after_the_last_state_but_before_a_run_moves_that_run(boat):
    assert _insert(boat, set_to(0.5, "strut_angle"), day=11).runs == 1
    assert _pins(boat) == [2, 2, 4]


def test_what_a_later_change_no_longer_fits_is_said_and_nothing_is_written(boat):
    motor, other = boat.part("M1"), boat.part("M2")
    boat.visit(install(motor), day=14)
    count = len(states(boat.session, boat.hull_id, limit=100))
    plan = past_plan(boat.session, boat.hull_id, [install(other)], at(6))
    assert "Build state 4 of 14 April 2026" in plan.problems[0] and "take it out first" in plan.problems[0]
    with pytest.raises(Conflict, match="take it out first"):
        _insert(boat, install(other), day=6)
    assert len(states(boat.session, boat.hull_id, limit=100)) == count and _pins(boat) == [2, 2, 3]


def test_nothing_is_put_in_before_the_hull_was_there(boat):
    with pytest.raises(Conflict, match="history begins"):
        insert_in_past(boat.session, boat.hull_id, [set_to(1.0)], Moment("2026-03-01T10:00:00Z", 0), "forgot", NOW)


def test_a_slip_mended_in_a_state_that_gives_way_is_mended_in_the_new_one(boat):
    old = state_by_number(boat.session, boat.hull_id, 3)
    change = changes_of(boat.session, [old.id])[old.id][0]
    add_correction(boat.session, "change", change.id, "value", "5.0", "5.5", "misread", NOW)
    _insert(boat, set_to(1.5, "strut_angle"), day=6)
    new = state_by_number(boat.session, boat.hull_id, 5)
    copy = changes_of(boat.session, [new.id])[new.id][0]
    assert [row.new for row in corrections_of(boat.session, "change", [copy.id])[copy.id]] == ["5.5"]


def test_taking_the_change_out_again_leads_back_to_the_same_boat(boat):
    marks = [state_by_number(boat.session, boat.hull_id, n).fingerprint for n in (2, 3)]
    _insert(boat, set_to(1.5, "strut_angle"), day=6)
    done = withdraw_from_past(boat.session, boat.hull_id, 4, "was another boat", NOW)
    assert done.runs == 2
    assert [state(boat.session, boat.session.get(Run, run.id).state_id).fingerprint for run in boat.runs] == [
        marks[0],
        marks[0],
        marks[1],
    ]
    assert current_state(boat.session, boat.hull_id).fingerprint == marks[1]


def test_a_state_that_gave_way_cannot_be_taken_out_and_the_first_one_stays(boat):
    _insert(boat, set_to(1.5, "strut_angle"), day=6)
    for number, words in ((3, "was replaced"), (1, "first build state stays")):
        with pytest.raises(Conflict, match=words):
            withdraw_from_past(boat.session, boat.hull_id, number, "", NOW)


def test_a_run_is_not_moved_to_another_hull_or_to_a_state_that_gave_way(boat, session):
    _insert(boat, set_to(1.5, "strut_angle"), day=6)
    gone = state_by_number(boat.session, boat.hull_id, 3)
    with pytest.raises(Conflict, match="was replaced"):
        move_pins(session, [boat.runs[0].id], gone.id, "", NOW)
    other = make_boat(session, name="Medlar").visit(set_to(1.0), day=3)
    with pytest.raises(Conflict, match="its own hull"):
        move_pins(session, [boat.runs[0].id], other.id, "", NOW)
    assert move_pins(session, [boat.runs[0].id], state_by_number(session, boat.hull_id, 4).id, "seen", NOW) == 1
    assert _pins(boat)[0] == 4


settings = st.builds(
    lambda key, value: ChangeFormData("set", setting=key, detail={"value": value}),
    st.sampled_from(("a", "b", "c")), st.floats(0, 9, allow_nan=False),
)  # fmt: skip


def _history(visits: list[list[ChangeFormData]]) -> list[Written]:
    written: list[Written] = []
    content: Content = EMPTY
    for number, changes in enumerate(visits, 1):
        content = fold(changes, content)
        written.append(Written(number, number, at(number), "", tuple(changes), content))
    return written


@given(
    st.lists(st.lists(settings, min_size=1, max_size=3), min_size=2, max_size=6),
    st.lists(settings),
    st.data(),
)
def test_the_last_state_of_a_plan_is_the_fold_of_all_changes_in_the_new_order(visits, forgotten, data):
    history = _history(visits)
    cut = data.draw(st.integers(1, len(history)))
    plan = plan_past(history[cut - 1], history[cut:], forgotten, at(20))
    in_order = [*sum(visits[:cut], []), *forgotten, *sum(visits[cut:], [])]
    assert plan.states[-1].content == fold(in_order)
    if cut < len(history):
        without = plan_without(history[cut - 1], history[cut], history[cut + 1 :])
        last = without.states[-1].content if without.states else history[cut - 1].content
        assert last == fold([*sum(visits[:cut], []), *sum(visits[cut + 1 :], [])])


def test_a_hull_built_earlier_than_first_written_can_have_changes_since_then(boat):
    fin = boat.visit(set_to(40.0, "fin_depth"), day=14)
    hull(boat.session, boat.hull_id).built_on = "2026-03-20"
    boat.runs += [boat.run_at(Moment(f"2026-03-{day}T12:00:00Z", 0)) for day in (22, 28)]
    assert _pins(boat) == [2, 2, 3, 1, 1] and fin.number == 4
    at_last = state_content(current_state(boat.session, boat.hull_id))
    when = Moment("2026-03-25T10:00:00Z", 0)
    insert_in_past(boat.session, boat.hull_id, [set_to(1.5, "strut_angle")], when, "forgot it", NOW)
    every = states(boat.session, boat.hull_id, limit=100)
    gone = given_way(boat.session, [row.id for row in every])
    assert [row.number for row in every if row.id not in gone] == [10, 9, 8, 7, 6, 5]
    begun, put_in, first = (state_by_number(boat.session, boat.hull_id, number) for number in (5, 6, 7))
    assert state_content(begun) == EMPTY and state_content(put_in).settings == {"strut_angle@single": 1.5}
    assert state_content(first).settings == {"strut_angle@single": 1.5}
    assert _pins(boat) == [8, 8, 9, 5, 6]
    now = state_content(current_state(boat.session, boat.hull_id))
    assert now.settings == {**at_last.settings, "strut_angle@single": 1.5}
    # And it can be taken out again.
    withdraw_from_past(boat.session, boat.hull_id, 6, "a slip", NOW)
    assert state_content(current_state(boat.session, boat.hull_id)) == at_last
    assert state(boat.session, boat.session.get(Run, boat.runs[4].id).state_id).number == 5


def test_a_part_that_was_in_another_hull_at_that_time_is_not_put_in(session, boat):
    other = make_boat(session, name="Other")
    motor = other.part("M9")
    other.visit(install(motor), day=5)
    other.visit(ChangeFormData("take out", part_id=motor, detail={"kind": "motor", "code": "M9"}), day=9)
    plan = past_plan(session, boat.hull_id, [install(motor)], at(6))
    assert plan.problems == (f"On 6 April 2026: M{motor} motor was in Other at that time.",)
    assert not past_plan(session, boat.hull_id, [install(motor)], at(10, 12)).problems
