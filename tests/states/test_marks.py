"""Each state bears two words by which it is known on paper: of its fingerprint, and its own in the whole garage."""

import hashlib
import sqlite3
from itertools import islice
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from garage.db.restore import restore
from garage.paths import DATABASE_NAME
from garage.states.marks import as_mark, marks
from garage.states.query_store import fingerprints_of, next_number_and_mark, states_with_mark
from garage.states.tables import Fingerprint
from garage.words import BITS, words
from tests.durability.pages import CLOCK
from tests.durability.served import query
from tests.durability.test_upgrade import bring_up
from tests.states.boat import make_boat, set_to

RELEASED = Path(__file__).parents[1] / "db" / "released"
fingerprints = st.binary(min_size=32, max_size=32).map(bytes.hex)


@pytest.fixture
def boat(session):
    return make_boat(session)


@given(fingerprints)
def test_a_mark_is_the_first_22_bits_of_the_fingerprint_and_there_are_always_more(fingerprint):
    first = int(fingerprint, 16) >> 256 - 2 * BITS
    one, other = words()[first >> BITS], words()[first & 2**BITS - 1]
    some = list(islice(marks(fingerprint), 40))
    assert one == other or some[0] == f"{one} {other}"
    assert all(len(set(mark.split())) == 2 and as_mark(mark) == mark for mark in some)
    assert len(set(some)) >= 39


def test_marks_of_many_fingerprints_hardly_ever_meet():
    firsts = [next(marks(hashlib.sha256(str(number).encode()).hexdigest())) for number in range(3000)]
    # 3,000 draws of 4 million: one pair or so shares its words, each time.
    assert len(set(firsts)) > 2990
    assert len({word for mark in firsts for word in mark.split()}) > 1900


@pytest.mark.parametrize("typed, mark", [("Quiet  Heron ", "quiet heron"), ("quiet-heron", "quiet heron"),
                                         ("heron", ""), ("a quiet heron", ""), ("P7 ed", ""), ("", "")])  # fmt: skip
def test_what_is_typed_off_paper_is_read_as_a_mark(typed, mark):
    assert as_mark(typed) == mark


def test_the_same_boat_once_more_is_another_state_with_a_mark_of_its_own(boat):
    made = [boat.visit(set_to(height), day=day) for day, height in enumerate((3.0, 4.0, 3.0, 4.0, 3.0), start=2)]
    assert len({state.fingerprint for state in made}) == 2 and len({state.mark for state in made}) == 5
    for state in made:
        assert state.mark in islice(marks(state.fingerprint), 3)
        assert [one.id for one in states_with_mark(boat.session, state.mark)] == [state.id]


def test_where_all_marks_of_a_fingerprint_are_borne_the_next_are_made(boat):
    state = boat.visit(set_to(3.0), day=2)
    tries = list(islice(marks(state.fingerprint), 40))
    boat.session.add_all(
        Fingerprint(fingerprint=f"{number:064x}", state_id=state.id, mark=mark)
        for number, mark in enumerate(tries[1:-1])
    )
    boat.session.flush()
    free = next_number_and_mark(boat.session, boat.hull_id, state.fingerprint)
    assert (state.mark, free) == (tries[0], (state.number + 1, tries[-1]))


def test_a_state_still_being_written_has_another_mark_and_the_earlier_one_still_leads_to_it(boat):
    first = boat.visit(set_to(3.0), day=3, hour=9)
    before = first.mark
    state = boat.visit(set_to(4.0), day=3, hour=10)
    now = state.mark
    assert state.id == first.id and now != before
    assert boat.visit(set_to(3.0), day=3, hour=11).mark == before
    for mark in (before, now):
        assert [one.id for one in states_with_mark(boat.session, mark)] == [state.id]
    assert [row.mark for row in fingerprints_of(boat.session, state.id)] == [before, now]


@pytest.mark.parametrize("released", ["0001", "0002", "0003"])
def test_states_of_a_garage_from_before_marks_are_given_theirs(released, tmp_path: Path):
    garage = tmp_path / "garage"
    restore(RELEASED / f"{released}.zip", garage, CLOCK)
    before = query(garage, "SELECT count(*) FROM build_state")[0][0]
    bring_up(garage)
    states = query(
        garage, "SELECT state.mark, state.fingerprint FROM build_state AS state JOIN fingerprint AS given"
        " ON given.state_id = state.id AND given.fingerprint = state.fingerprint AND given.mark = state.mark",
    )  # fmt: skip
    assert len(states) == before == len({mark for mark, _ in states})
    given: set[str] = set()
    for fingerprint, mark in query(garage, "SELECT fingerprint, mark FROM fingerprint ORDER BY id"):
        assert mark == next(one for one in marks(fingerprint) if one not in given)
        given.add(mark)
    with sqlite3.connect(garage / DATABASE_NAME) as connection, pytest.raises(sqlite3.IntegrityError):
        connection.execute("UPDATE build_state SET mark = (SELECT mark FROM build_state LIMIT 1)")
