"""In which room of the bar a page lies."""

import pytest

from garage.web.rooms_bar import room_of


@pytest.mark.parametrize(
    ("kind", "room"),
    [
        ("hull", "Boats"),
        ("state", "Boats"),
        ("modification", "Boats"),
        ("step", "Boats"),
        ("pack", "Packs"),
        ("pack_log", "Packs"),
        ("reading", "Packs"),
        ("prop", "Props"),
        ("part", "Drives"),
        ("run", "Outings"),
        ("outing", "Outings"),
        ("water", "Outings"),
    ],
)
def test_what_was_otherwise_lies_in_the_room_of_the_thing_itself(kind, room):
    assert room_of(f"/otherwise/{kind}/7").name == room_of(f"/otherwise/{kind}/7/day").name == room
