"""Guards and full text follow the program: what it would make otherwise is made anew at the next start."""

import sqlite3
from pathlib import Path

import pytest

from garage.app import create_app
from garage.db.engine import open_engine, writing
from garage.db.made_anew import GUARDS, SEARCH
from garage.db.migrate import bring_up_to_date
from garage.paths import DATABASE_NAME
from garage.schema import REFILL, TRIGGERS
from garage.settings import Settings
from tests.states.boat import make_boat


@pytest.fixture
def folder(tmp_path: Path, empty_file: Path) -> Path:
    """A garage with a boat, as this program left it."""
    data = tmp_path / "data"
    data.mkdir()
    (data / DATABASE_NAME).write_bytes(empty_file.read_bytes())
    engine = open_engine(data / DATABASE_NAME)
    with writing(engine) as session:
        make_boat(session)
    engine.dispose()
    return data


def _ask(folder: Path, statement: str, *values: str) -> list[tuple]:
    with sqlite3.connect(folder / DATABASE_NAME) as connection:
        return connection.execute(statement, values).fetchall()


def _start(folder: Path) -> None:
    create_app(Settings(folder)).state.engine.dispose()


def _guards(folder: Path) -> dict[str, str]:
    return dict(_ask(folder, "SELECT name, sql FROM sqlite_master WHERE type = 'trigger'"))


def test_an_edited_guard_reaches_a_notebook_that_exists(folder):
    before = _guards(folder)
    _ask(folder, "DROP TRIGGER garage_run_kept")
    _ask(folder, "CREATE TRIGGER garage_run_kept BEFORE DELETE ON run WHEN 0 BEGIN SELECT 1; END")
    _ask(folder, "UPDATE fact SET value = 'as an earlier program made them' WHERE name = ?", GUARDS)
    _start(folder)
    assert _guards(folder) == before


def test_a_guard_that_is_no_longer_made_goes(folder):
    _ask(folder, "CREATE TRIGGER garage_of_old BEFORE DELETE ON hull BEGIN SELECT RAISE(ABORT, 'no'); END")
    _ask(folder, "UPDATE fact SET value = '' WHERE name = ?", GUARDS)
    _start(folder)
    assert "garage_of_old" not in _guards(folder)


def test_other_words_to_search_are_filled_in_for_what_was_written_before(folder):
    full = _ask(folder, "SELECT rowid, title, body FROM search_text ORDER BY rowid")
    assert full
    _ask(folder, "UPDATE search_text SET body = '', title = 'of old'")
    _ask(folder, "UPDATE fact SET value = 'as an earlier program filled it' WHERE name = ?", SEARCH)
    _start(folder)
    assert _ask(folder, "SELECT rowid, title, body FROM search_text ORDER BY rowid") == full


def test_nothing_is_written_where_nothing_differs(folder):
    engine = open_engine(folder / DATABASE_NAME)
    assert bring_up_to_date(engine, folder / DATABASE_NAME, TRIGGERS, REFILL) is False
    engine.dispose()


def test_a_failure_leaves_guards_and_full_text_as_they_were(folder):
    before = (_guards(folder), _ask(folder, "SELECT rowid, title, body FROM search_text"))
    engine = open_engine(folder / DATABASE_NAME)
    with pytest.raises(Exception, match="no such table"):
        bring_up_to_date(
            engine, folder / DATABASE_NAME, TRIGGERS[:3], ["DELETE FROM search_text", "DELETE FROM no_table"]
        )
    engine.dispose()
    assert (_guards(folder), _ask(folder, "SELECT rowid, title, body FROM search_text")) == before
