"""The first start of the demo: quick, whole or not there, and never mixed with a real garage."""

import json
import sqlite3
import subprocess
import sys
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from garage.cli import main
from garage.demo import first_start
from garage.demo.first_start import STORED_GARAGE, days_to_move, make_demo_garage
from garage.errors import GarageError, UnusableData
from garage.paths import DATABASE_NAME, FILES_NAME
from garage.settings import Settings

NOW = datetime(2027, 3, 9, 8, 0, tzinfo=UTC)


def _rows(folder: Path) -> dict[str, list[tuple]]:
    with sqlite3.connect(f"file:{folder / DATABASE_NAME}?mode=ro", uri=True) as connection:
        tables = [
            name
            for (name,) in connection.execute(
                "SELECT name FROM sqlite_master WHERE type = 'table' AND name NOT LIKE 'sqlite%'"
            )
        ]
        return {name: sorted(map(repr, connection.execute(f'SELECT * FROM "{name}"'))) for name in tables}


def _files(folder: Path) -> dict[str, bytes]:
    top = folder / FILES_NAME
    return {str(path.relative_to(top)): path.read_bytes() for path in sorted(top.rglob("*")) if path.is_file()}


def test_two_makings_give_the_same_garage(demo_folder: Path, tmp_path: Path):
    make_demo_garage(tmp_path / "second", None)
    first, second = _rows(demo_folder), _rows(tmp_path / "second")
    assert first.keys() == second.keys()
    assert [name for name in first if first[name] != second[name]] == []
    assert len(first["run"]) > 0
    assert _files(demo_folder) == _files(tmp_path / "second")


def test_what_is_shipped_is_small():
    assert STORED_GARAGE.stat().st_size <= 3_000_000


def test_it_says_what_it_does(tmp_path: Path):
    said: list[str] = []
    make_demo_garage(tmp_path / "garage", NOW, said.append)
    assert 1 <= len(said) <= 3 and "week" in said[-1] and str(tmp_path / "garage") in said[0]


def test_the_simulator_is_not_loaded_to_serve_the_demo():
    program = "import json, sys, garage.serving; print(json.dumps(list(sys.modules)))"
    told = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True).stdout
    loaded = sorted(name for name in json.loads(told) if name.startswith("garage.demo."))
    assert loaded == ["garage.demo.first_start", "garage.demo.moving"]


@pytest.mark.parametrize("hours", [0, 1, 167, 168, 169, -1, -168, -169, 90_000, -90_000])
def test_it_ends_within_the_week_before_now_on_the_same_day_of_the_week(hours: int):
    told_until = datetime(2026, 11, 14, 18, 0, tzinfo=UTC)
    now = told_until + timedelta(hours=hours)
    days = days_to_move(told_until, now)
    assert days % 7 == 0
    assert timedelta(0) <= now - (told_until + timedelta(days=days)) < timedelta(days=7)


def test_a_second_asking_makes_nothing_and_leaves_the_file_alone(demo_folder: Path):
    before = _rows(demo_folder)
    assert make_demo_garage(demo_folder, NOW) is False
    assert _rows(demo_folder) == before


def test_a_making_that_breaks_off_leaves_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    def breaks(*_arguments):
        raise RuntimeError("the lights went out")

    monkeypatch.setattr(first_start, "bring_up_to_date", breaks)
    with pytest.raises(RuntimeError):
        make_demo_garage(tmp_path / "garage", NOW)
    assert list(tmp_path.iterdir()) == []
    monkeypatch.undo()
    assert make_demo_garage(tmp_path / "garage", NOW) is True


def test_a_real_garage_is_refused_and_left_as_it_was(make_app, tmp_path: Path):
    folder = tmp_path / "garage"
    make_app(folder).state.engine.dispose()
    before = _rows(folder)
    with pytest.raises(UnusableData, match="real garage"):
        make_demo_garage(folder, NOW)
    assert _rows(folder) == before


@pytest.mark.parametrize("name", ["letters.txt", DATABASE_NAME])
def test_a_folder_with_something_else_in_it_is_refused(tmp_path: Path, name: str):
    (tmp_path / name).write_bytes(b"not a garage at all, but long enough to be read as one " * 40)
    with pytest.raises(UnusableData):
        make_demo_garage(tmp_path, NOW)
    assert [path.name for path in tmp_path.iterdir()] == [name]


def test_serve_refuses_the_demo_as_a_real_garage(demo_folder: Path, capsys: pytest.CaptureFixture):
    assert main(["serve", "--data", str(demo_folder), "--port", "8329"]) == 2
    assert "never mixed" in capsys.readouterr().err


def test_every_page_says_that_it_is_the_demo(demo_client):
    assert demo_client.app.state.demo is True
    assert "demo" in demo_client.get("/hulls").text.lower()


def test_a_place_that_cannot_be_written_is_said_in_words(tmp_path: Path):
    (tmp_path / "file").write_text("in the way")
    with pytest.raises(GarageError):
        make_demo_garage(tmp_path / "file" / "garage", NOW)


def test_the_demos_database_stands_where_the_app_looks_for_it(demo_folder: Path):
    assert Settings(demo_folder).database.is_file()
