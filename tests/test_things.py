"""Several things of any kinds, by their kinds and numbers."""

from dataclasses import replace

import pytest

from garage.errors import NotFound
from garage.schema import THINGS
from tests.queries import counted
from tests.seeded import with_history

WANTED = [("run", 2), ("hull", 1), ("pack", 1), ("run", 1), ("hull", 1), ("state", 1)]


@pytest.fixture
def notebook(session):
    with_history(session)
    session.commit()
    return session


def test_several_things_are_as_each_by_itself_in_the_order_asked(notebook):
    by_itself = [replace(THINGS.thing(notebook, *one), came="") for one in WANTED]  # the day is told only there
    assert THINGS.several(notebook, WANTED) == by_itself


def test_things_of_several_kinds_take_one_query(notebook):
    with counted(notebook.get_bind()) as statements:
        THINGS.several(notebook, WANTED)
    assert len(statements) == 1
    assert THINGS.several(notebook, []) == []


@pytest.mark.parametrize("missing", [("run", 99999), ("boat house", 1), ("correction", 1)])
def test_a_thing_that_is_not_there_is_said(notebook, missing):
    with pytest.raises(NotFound):
        THINGS.several(notebook, [("hull", 1), missing])
