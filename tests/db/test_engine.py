"""The file behind the notebook: what is written goes to the file of that name, or is refused."""

import os
import sqlite3
from pathlib import Path

import pytest
from sqlmodel import text

from garage.db.engine import open_engine, reading, writing


@pytest.fixture
def notes(tmp_path: Path):
    path = tmp_path / "notes.sqlite"
    engine = open_engine(path)
    with writing(engine) as session:
        session.connection().execute(text("CREATE TABLE note (words TEXT)"))
    yield path, engine
    engine.dispose()


def _write(engine, words: str) -> None:
    with writing(engine) as session:
        session.connection().execute(text("INSERT INTO note VALUES (:words)").bindparams(words=words))


def test_nothing_is_written_to_a_file_that_was_moved_away(notes):
    path, engine = notes
    _write(engine, "first")
    moved = path.with_name("moved.sqlite")
    path.rename(moved)
    with pytest.raises(OSError):
        _write(engine, "lost to sight")
    moved.rename(path)
    _write(engine, "second")
    with reading(engine) as session:
        kept = session.connection().execute(text("SELECT words FROM note")).scalars().all()
    assert kept == ["first", "second"]


def test_nothing_is_written_once_another_file_took_its_place(notes, tmp_path: Path):
    path, engine = notes
    other = tmp_path / "other.sqlite"
    with sqlite3.connect(other) as connection:
        connection.execute("CREATE TABLE note (words TEXT)")
    os.replace(other, path)
    with pytest.raises(OSError, match="moved or replaced"):
        _write(engine, "to the wrong one")
    with sqlite3.connect(path) as connection:
        assert connection.execute("SELECT count(*) FROM note").fetchone() == (0,)
