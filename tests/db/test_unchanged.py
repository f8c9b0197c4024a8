"""What was read is given again until something is written: by whom, and in what way, makes no difference."""

import sqlite3
from contextlib import closing
from pathlib import Path

import pytest
from sqlmodel import text

from garage.db.engine import open_engine, reading, writing
from garage.db.unchanged import each_while_unchanged, while_unchanged


class Notes:
    """A file of notes, and how often its notes were truly read."""

    def __init__(self, path: Path) -> None:
        self.path, self.engine, self.reads = path, open_engine(path), 0
        self.write("CREATE TABLE note (words TEXT)")

    def write(self, statement: str) -> None:
        with writing(self.engine) as session:
            session.connection().execute(text(statement))

    def read(self, session) -> list[str]:
        def now() -> list[str]:
            self.reads += 1
            return list(session.connection().execute(text("SELECT words FROM note")).scalars())

        return while_unchanged(session, "notes", now)

    def asked(self) -> list[str]:
        with reading(self.engine) as session:
            return self.read(session)


@pytest.fixture
def notes(tmp_path: Path):
    made = Notes(tmp_path / "notes.sqlite")
    yield made
    made.engine.dispose()


def test_what_was_read_is_given_again_while_nothing_is_written(notes):
    assert [notes.asked(), notes.asked()] == [[], []]
    with writing(notes.engine) as session:
        assert notes.read(session) == []
    assert notes.reads == 1


def test_a_write_of_ours_of_another_connection_and_of_another_program_is_seen_at_once(notes):
    assert notes.asked() == []
    notes.write("INSERT INTO note VALUES ('ours')")
    assert notes.asked() == ["ours"]
    with reading(notes.engine) as first, closing(sqlite3.connect(notes.path)) as other, other:
        assert notes.read(first) == ["ours"]
        other.execute("INSERT INTO note VALUES ('theirs')")
        other.commit()
        assert notes.read(first) == ["ours"], "a session reads one moment of the file"
        with reading(notes.engine) as second:
            assert notes.read(second) == ["ours", "theirs"]
    assert notes.asked() == ["ours", "theirs"]


def test_what_a_session_wrote_and_took_back_is_never_given_to_another(notes):
    with pytest.raises(ZeroDivisionError), writing(notes.engine) as session:
        session.connection().execute(text("INSERT INTO note VALUES ('never kept')"))
        assert notes.read(session) == ["never kept"]
        raise ZeroDivisionError
    assert notes.asked() == []


def test_of_single_things_only_those_not_known_are_read_until_something_is_written(notes):
    asked: list[list[str]] = []

    def read(missing: list[str]) -> dict[str, int]:
        asked.append(missing)
        return {one: len(one) for one in missing if one != "nobody"}

    def known(*wanted: str) -> dict[str, int]:
        with reading(notes.engine) as session:
            return each_while_unchanged(session, "lengths", wanted, read)

    assert known("two", "one", "two") == {"one": 3, "two": 3} and asked == [["one", "two"]]
    assert known("three", "one", "nobody") == {"one": 3, "three": 5} and asked[1:] == [["nobody", "three"]]
    assert known() == {} and len(asked) == 2
    notes.write("INSERT INTO note VALUES ('ours')")
    with writing(notes.engine) as session:
        assert each_while_unchanged(session, "lengths", ["one"], read) == {"one": 3}
    assert known("one") == {"one": 3} and asked[2:] == [["one"], ["one"]]
