"""A file with a person's data brought up to a further schema: all of it is there; a failing upgrade leaves it be."""

import shutil
import sqlite3
from pathlib import Path

import pytest

from garage.db import integrity, migrate
from garage.db.engine import open_engine
from garage.db.kept_backups import BEFORE_UPGRADE, automatic_backups
from garage.db.migrate import HEAD
from garage.paths import DATABASE_NAME, MIGRATIONS_DIR
from garage.schema import REFILL, TRIGGERS
from tests.durability.served import query

# A table that others refer to, and that our triggers name, is built anew: the change that goes wrong most easily.
_NEXT = '''"""Pretended: runs get a further column, and their table is built anew."""

import sqlalchemy as sa
from alembic import op

revision, down_revision, branch_labels, depends_on = "9001", "{head}", None, None


def upgrade() -> None:
    with op.batch_alter_table("run", recreate="always") as table:
        table.add_column(sa.Column("moon", sa.String(), nullable=False, server_default=""))
    op.execute("UPDATE run SET note = note || ' (carried over)'")
    {then}
'''


@pytest.fixture
def next_schema(tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    """A copy of the migrations with one more; `then` is what else it does."""
    folder = Path(shutil.copytree(MIGRATIONS_DIR, tmp_path / "migrations"))

    def make(then: str = "pass") -> None:
        further = _NEXT.replace("{head}", HEAD).replace("{then}", then)
        (folder / "versions" / "9001_pretended.py").write_text(further)
        monkeypatch.setattr(migrate, "MIGRATIONS_DIR", folder)
        monkeypatch.setattr(integrity, "MIGRATIONS_DIR", folder)
        monkeypatch.setattr(migrate, "HEAD", "9001")

    return make


def _rows(folder: Path) -> dict[str, list[tuple]]:
    with sqlite3.connect(folder / DATABASE_NAME) as connection:
        names = [row[0] for row in connection.execute("SELECT name FROM sqlite_master WHERE type = 'table'")]
        return {
            name: connection.execute(f'SELECT * FROM "{name}"').fetchall()
            for name in names
            if not name.startswith("search_text")
        }


def bring_up(folder: Path) -> None:
    """Open the notebook in `folder` as the program does at each start."""
    engine = open_engine(folder / DATABASE_NAME)
    try:
        migrate.bring_up_to_date(engine, folder / DATABASE_NAME, TRIGGERS, REFILL)
    finally:
        engine.dispose()


def test_an_upgrade_carries_all_data_over_and_the_guards_come_back(demo_folder: Path, tmp_path: Path, next_schema):
    folder = Path(shutil.copytree(demo_folder, tmp_path / "demo"))
    before = _rows(folder)
    next_schema()
    bring_up(folder)
    after = _rows(folder)
    assert {name: rows for name, rows in after.items() if name not in ("run", "alembic_version")} == {
        name: rows for name, rows in before.items() if name not in ("run", "alembic_version")
    }
    assert len(after["run"]) == len(before["run"]) > 150
    assert query(folder, "SELECT count(*) FROM run WHERE note LIKE '%(carried over)'")[0][0] == len(before["run"])
    triggers = {row[0] for row in query(folder, "SELECT name FROM sqlite_master WHERE type = 'trigger'")}
    assert triggers == {trigger.name for trigger in TRIGGERS}
    with pytest.raises(sqlite3.IntegrityError, match="run"):
        query(folder, "UPDATE build_state SET note = 'x' WHERE id = (SELECT state_id FROM run LIMIT 1)")
    [(why, _, _)] = automatic_backups(folder)
    assert why == BEFORE_UPGRADE


@pytest.mark.parametrize(
    "then",
    [
        "raise RuntimeError('the disk gave out')",
        "op.execute('DELETE FROM water')",
        "op.execute('NO SUCH STATEMENT')",
        "op.execute('INSERT INTO run (id) VALUES (1)')",
    ],
)
def test_a_failing_upgrade_leaves_the_file_as_it_was(demo_folder: Path, tmp_path: Path, next_schema, then: str):
    folder = Path(shutil.copytree(demo_folder, tmp_path / "demo"))
    before, schema = _rows(folder), query(folder, "SELECT name, sql FROM sqlite_master ORDER BY name")
    next_schema(then)
    with pytest.raises(Exception, match="disk gave out|loose ends|SUCH|constraint"):
        bring_up(folder)
    assert _rows(folder) == before
    assert query(folder, "SELECT name, sql FROM sqlite_master ORDER BY name") == schema
