"""Runs as lines: what they say, and that their number does not change the number of queries."""

import pytest
from sqlalchemy import event

from garage.moments import Moment
from garage.runs.lines.line import all_flags, run_lines
from garage.runs.lines.store import line_facts
from garage.runs.store import runs_of_outing
from tests.states.boat import NOW, make_boat, set_to


def queries_of(session, act) -> int:
    """How many statements `act` sends."""
    seen: list[str] = []
    engine = session.get_bind()

    def note(_connection, _cursor, statement, *_rest) -> None:
        seen.append(statement)

    event.listen(engine, "before_cursor_execute", note)
    try:
        act()
    finally:
        event.remove(engine, "before_cursor_execute", note)
    return len(seen)


def test_a_line_says_with_what_and_how(world):
    run = world.run("K", averaging_s=2.0, speed_how="log", ways="both ways", course_m=100.58, ride_rating=4)
    line = run_lines(world.session, [run])[0]
    assert line.known == "log, mean over two seconds, both ways over 100.58 m, best of 2 passes"
    assert (line.hull, line.water, line.state_number) == ("Medlar", "Hollow Mere", 1)
    assert line.prop == "P1 ed. 1, 44 × 66"
    assert line.packs.startswith("K · 3S 4")
    assert line.ride == "rather dry"
    assert line.flags == ["K breaking in (2 of 4)"]
    assert line.speed.value == 82.0 and line.speed.origin == line.known


@pytest.mark.parametrize(
    ("facts", "flag"),
    [
        ({"averaging_s": 0.0}, "peak"),
        ({"averaging_s": None}, "not known how it was averaged"),
        ({"averaging_s": 2.0, "ways": "one way"}, "one way"),
        ({"averaging_s": 2.0, "passes": None}, "passes not known"),
        ({"speed_how": "by eye"}, "by eye"),
    ],
)
def test_the_way_of_reading_is_flagged(world, facts, flag):
    run = world.run("J", **facts)
    assert flag in [found.text for found in all_flags(run, line_facts(world.session, [run]))]


def test_lines_take_as_many_queries_for_fifty_runs_as_for_five(world):
    for number in range(50):
        world.run("JKL"[number % 3], hull=(world.medlar, world.quince)[number % 2])
    runs = runs_of_outing(world.session, world.outing)
    assert len(runs) == 50
    run_lines(world.session, runs[:1])  # The units are read once.
    few = queries_of(world.session, lambda: run_lines(world.session, runs[:5]))
    many = queries_of(world.session, lambda: run_lines(world.session, runs))
    assert few == many < 20


def test_no_runs_are_no_lines_and_no_queries(world):
    assert queries_of(world.session, lambda: run_lines(world.session, [])) == 0


def test_a_back_dated_discharge_changes_what_a_line_says_of_its_pack(world):
    late = world.run("K", started=Moment("2026-05-09T12:00:00Z", 0))
    assert run_lines(world.session, [late])[0].flags == ["K breaking in (2 of 4)", "not known how it was averaged"]
    world.run("K", started=Moment("2026-05-09T10:00:00Z", 0))
    assert run_lines(world.session, [late])[0].flags == ["K breaking in (3 of 4)", "not known how it was averaged"]


def test_the_state_of_the_run_before_is_that_of_the_same_boat_and_counted(session):
    boat, other = make_boat(session), make_boat(session, name="Medlar")
    first, elsewhere = boat.run(3), other.run(4)
    boat.visit(set_to(4.0), day=5)
    mistaken, second = boat.run(6), boat.run(7)
    boat.visit(set_to(5.0), day=8)
    third = boat.run(9)
    mistaken.set_aside_at = NOW.utc
    session.flush()
    found = line_facts(session, [first, elsewhere, second, third]).places
    assert [found[run.id].state_before for run in (first, elsewhere, second, third)] == [None, None, 1, 2]
