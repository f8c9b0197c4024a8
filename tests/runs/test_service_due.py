"""Runs since each service, as they stand on runs, on the hull's page and on Home."""

from garage.runs.service_due import due
from garage.services.store import add_service
from tests.states.boat import NOW, Boat, at, make_boat


def _serve(boat: Boat, day: int, place: str = "single", kind: str = "greased") -> None:
    form = {"kind": kind, "place": place, "at": at(day).utc, "offset_min": at(day).offset_min}
    add_service(boat.session, boat.hull_id, form, NOW)


def _texts(boat: Boat, day: int) -> list[str]:
    return [one.text for one in due(boat.session, boat.hull_id, at(day).utc)]


def test_runs_are_counted_from_the_service_on_and_due_after_the_rule(session):
    boat = make_boat(session)
    _serve(boat, 2)
    for day in (3, 4, 5):
        boat.run(day)
    assert _texts(boat, 5) == ["2 runs since grease"]
    [greased] = due(session, boat.hull_id, at(6).utc)
    assert greased.due and greased.text == "3 runs since grease"


def test_grease_on_one_side_of_a_twin_does_not_count_for_the_other(session):
    boat = make_boat(session, screws=2)
    _serve(boat, 2)
    for day in (3, 4, 5):
        boat.run(day)
    _serve(boat, 6, "left")
    found = {one.place: one for one in due(session, boat.hull_id, at(7).utc)}
    assert (found["left"].runs, found["left"].due) == (0, False)
    assert (found["right"].runs, found["right"].due) == (3, True)
    assert found["right"].text == "right: 3 runs since grease"


def test_both_sides_served_together_are_told_in_one_line(session):
    boat = make_boat(session, screws=2)
    _serve(boat, 2, "left")
    _serve(boat, 3)
    boat.run(4)
    assert _texts(boat, 5) == ["1 run since grease"]


def test_one_screw_takes_any_side_for_the_only_one(session):
    boat = make_boat(session)
    _serve(boat, 2, "left")
    boat.run(3)
    assert _texts(boat, 4) == ["1 run since grease"]
