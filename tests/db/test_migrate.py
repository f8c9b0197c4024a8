"""The file's format: migrations and tables agree, foreign and newer files are refused, a failure changes nothing."""

import re
import sqlite3
from pathlib import Path

import pytest
from alembic.autogenerate import compare_metadata
from alembic.runtime.migration import MigrationContext
from sqlmodel import SQLModel

from garage.db import migrate
from garage.db.backup_file import open_backup, verify
from garage.db.engine import APPLICATION_ID, open_engine
from garage.db.migrate import HEAD, bring_up_to_date
from garage.errors import UnusableData
from garage.paths import MIGRATIONS_DIR
from garage.schema import REFILL, TRIGGERS


def _ours(thing, name, kind, _reflected, _compare_to) -> bool:
    return not (kind == "table" and name.startswith("search_text"))


def _triggers(path: Path) -> dict[str, str]:
    with sqlite3.connect(path) as connection:
        return dict(connection.execute("SELECT name, sql FROM sqlite_master WHERE type = 'trigger'"))


def _upgrade_again(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Make the file look one revision old, so that an upgrade with nothing to do runs whole."""
    engine = open_engine(path)
    monkeypatch.setattr(migrate, "HEAD", "pretended")
    bring_up_to_date(engine, path, TRIGGERS, REFILL)
    engine.dispose()


def test_head_is_the_newest_migration():
    revisions = sorted(path.name.split("_")[0] for path in (MIGRATIONS_DIR / "versions").glob("[0-9]*.py"))
    assert revisions[-1] == HEAD


def test_migrated_file_and_tables_agree(empty_file: Path):
    engine = open_engine(empty_file)
    with engine.connect() as connection:
        context = MigrationContext.configure(connection, opts={"include_object": _ours, "compare_type": True})
        assert compare_metadata(context, SQLModel.metadata) == []


def test_every_check_of_the_tables_stands_in_the_file(empty_file: Path):
    with sqlite3.connect(empty_file) as connection:
        sql = " ".join(row[0] for row in connection.execute("SELECT sql FROM sqlite_master WHERE sql IS NOT NULL"))
    in_file = set(re.findall(r"CONSTRAINT \"?(ck_\w+)", sql))
    in_tables = {
        str(constraint.name)
        for table in SQLModel.metadata.tables.values()
        for constraint in table.constraints
        if str(constraint.name).startswith("ck_")
    }
    assert in_tables <= in_file


def test_text_is_refused_where_a_number_belongs(empty_file: Path):
    with sqlite3.connect(empty_file) as connection, pytest.raises(sqlite3.IntegrityError):
        connection.execute(
            "INSERT INTO hull (name, kind, length_mm, material, own_design, screws, fixed_tube, built_on, notes,"
            " retired_on, retired_reason, created_at) VALUES ('x', 'mono', 'abc', '', 0, 1, 1, '', '', '', '',"
            " '2026-01-01T00:00:00Z')"
        )


def test_triggers_are_all_there_and_come_back_after_an_upgrade(tmp_path: Path, empty_file: Path, monkeypatch):
    path = tmp_path / "garage.sqlite"
    path.write_bytes(empty_file.read_bytes())
    before = _triggers(path)
    assert set(before) == {trigger.name for trigger in TRIGGERS}
    with sqlite3.connect(path) as connection:
        connection.execute(f"DROP TRIGGER {TRIGGERS[0].name}")
    _upgrade_again(path, monkeypatch)
    assert _triggers(path) == before


def test_a_file_at_head_is_left_alone(tmp_path: Path, empty_file: Path):
    path = tmp_path / "garage.sqlite"
    path.write_bytes(empty_file.read_bytes())
    assert bring_up_to_date(open_engine(path), path, TRIGGERS, REFILL) is False
    assert list(tmp_path.glob("backups/*")) == []


def test_an_upgrade_takes_a_backup_first(tmp_path: Path, empty_file: Path, monkeypatch):
    path = tmp_path / "garage.sqlite"
    path.write_bytes(empty_file.read_bytes())
    _upgrade_again(path, monkeypatch)
    (made,) = tmp_path.glob("backups/garage-before-upgrade-*.zip")
    with open_backup(made) as (archive, manifest):
        verify(archive, manifest.entries)
        assert manifest.revision == HEAD and manifest.why == "before-upgrade"


def test_a_failing_upgrade_leaves_the_file_as_it_was(tmp_path: Path, empty_file: Path, monkeypatch):
    path = tmp_path / "garage.sqlite"
    path.write_bytes(empty_file.read_bytes())
    before = _triggers(path)

    def fails(connection, _triggers, _refill):
        connection.exec_driver_sql("CREATE TABLE half_done (id INTEGER)")
        raise RuntimeError("the disk gave out")

    monkeypatch.setattr(migrate, "make_anew", fails)
    with pytest.raises(RuntimeError):
        _upgrade_again(path, monkeypatch)
    assert _triggers(path) == before
    with sqlite3.connect(path) as connection:
        assert connection.execute("SELECT count(*) FROM sqlite_master WHERE name = 'half_done'").fetchone() == (0,)


def test_another_programs_file_is_refused_in_words(tmp_path: Path):
    path = tmp_path / "garage.sqlite"
    with sqlite3.connect(path) as connection:
        connection.execute("CREATE TABLE theirs (id INTEGER)")
    before = path.read_bytes()
    with pytest.raises(UnusableData, match="another program"):
        bring_up_to_date(open_engine(path), path, TRIGGERS, REFILL)
    with sqlite3.connect(path) as connection:
        assert connection.execute("SELECT name FROM sqlite_master WHERE type = 'table'").fetchall() == [("theirs",)]
    assert before


def test_a_newer_file_is_refused_in_words(tmp_path: Path, empty_file: Path):
    path = tmp_path / "garage.sqlite"
    path.write_bytes(empty_file.read_bytes())
    with sqlite3.connect(path) as connection:
        connection.execute("UPDATE alembic_version SET version_num = '9999'")
    with pytest.raises(UnusableData, match="newer version"):
        bring_up_to_date(open_engine(path), path, TRIGGERS, REFILL)


def test_a_file_that_is_no_database_is_refused_in_words(tmp_path: Path):
    path = tmp_path / "garage.sqlite"
    path.write_bytes(b"a shopping list, not a database at all, and long enough to be read as one" * 20)
    with pytest.raises(UnusableData):
        bring_up_to_date(open_engine(path), path, TRIGGERS, REFILL)
    assert path.read_bytes().startswith(b"a shopping list")


def test_our_files_carry_our_mark(empty_file: Path):
    with sqlite3.connect(empty_file) as connection:
        assert connection.execute("PRAGMA application_id").fetchone() == (APPLICATION_ID,)


def test_every_connection_keeps_foreign_keys_and_full_sync(empty_file: Path):
    with open_engine(empty_file).connect() as connection:
        assert connection.exec_driver_sql("PRAGMA foreign_keys").scalar() == 1
        assert connection.exec_driver_sql("PRAGMA synchronous").scalar() == 2
        assert connection.exec_driver_sql("PRAGMA journal_mode").scalar() == "wal"
