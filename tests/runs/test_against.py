"""A speed is told against the best that may stand beside it and against the run before, and against nothing else."""

import pytest

from garage.runs.against_store import against, against_of
from garage.runs.store import run as one_run
from garage.runs.tables import Incident
from tests.seeded import NOW, Garage, at, inventory


@pytest.fixture
def garage(session) -> Garage:
    made = inventory(session)
    made.outing("04-12")
    return made


def told(garage: Garage, run_id: int) -> tuple:
    """What a run is told against: number of the best, how far above it, number of the run before, how far above it."""
    found = against(garage.session, one_run(garage.session, run_id))
    if found is None:
        return ()
    return (found.best_id, found.over_best.value, found.before_id, found.over_before.value)


def ran(garage: Garage, clock: str, **changes) -> int:
    return garage.run(1, at("04-12", clock), **changes).id


def test_the_first_is_told_against_nothing_and_the_next_against_it(garage):
    first, second = ran(garage, "10:00", speed_kmh=80.0), ran(garage, "10:20", speed_kmh=82.5)
    assert told(garage, first) == (second, pytest.approx(-2.5), None, None)
    assert told(garage, second) == (first, pytest.approx(2.5), first, pytest.approx(2.5))


@pytest.mark.parametrize(
    "other", [{"ways": "one way"}, {"averaging_s": 0.0}, {"course_m": 50.0}, {"speed_how": "display"}]
)
def test_another_way_of_reading_is_never_told_against(garage, other):
    ran(garage, "10:00", speed_kmh=120.0, **other)
    assert told(garage, ran(garage, "10:20", speed_kmh=80.0)) == (None, None, None, None)


def test_a_spoiled_speed_and_a_run_set_aside_are_no_best(garage):
    spoiled, aside = ran(garage, "10:00", speed_kmh=120.0), ran(garage, "10:10", speed_kmh=110.0)
    garage.session.add(Incident(run_id=spoiled, kind="flip", spoiled_speed=True, created_at=NOW.utc))
    one_run(garage.session, aside).set_aside_at = NOW.utc
    garage.session.flush()
    sound = ran(garage, "10:20", speed_kmh=80.0)
    assert told(garage, ran(garage, "10:40", speed_kmh=81.0))[:2] == (sound, pytest.approx(1.0))
    assert told(garage, aside) == told(garage, spoiled) == (), "neither is said to be her best"


def test_several_are_told_with_one_question_and_those_without_a_speed_are_left_out(garage):
    first, none = ran(garage, "10:00", speed_kmh=80.0), ran(garage, "10:20", speed_kmh=None)
    assert set(against_of(garage.session, [first, none])) == {first}
    assert against_of(garage.session, []) == {}
