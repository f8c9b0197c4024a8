"""A garage of every released schema, with something in every table, brought up to the newest: nothing is lost."""

import sqlite3
from pathlib import Path

import pytest
from alembic.autogenerate import compare_metadata
from alembic.runtime.migration import MigrationContext
from sqlmodel import SQLModel

from garage.archive.check import check
from garage.db.engine import open_engine
from garage.db.kept_backups import BEFORE_UPGRADE, automatic_backups
from garage.db.migrate import HEAD, make_file
from garage.db.restore import restore
from garage.paths import DATABASE_NAME, MIGRATIONS_DIR
from garage.schema import TRIGGERS
from tests.db.make_released import empty_tables
from tests.durability.pages import CLOCK, every_twin
from tests.durability.served import query
from tests.durability.test_upgrade import bring_up, next_schema

__all__ = ["next_schema"]
RELEASED = Path(__file__).parents[1] / "db" / "released"
FILES = sorted(RELEASED.glob("*.zip"))
each_released = pytest.mark.parametrize("released", FILES, ids=[path.stem for path in FILES])


@pytest.fixture
def garage(released: Path, tmp_path: Path) -> Path:
    """A released garage as its own version of the program left it."""
    restore(released, tmp_path / "garage", CLOCK)
    return tmp_path / "garage"


def _rows(folder: Path) -> dict[str, list[dict]]:
    """Every row of every table by the names of its columns; not those of the full text, which follow from them, nor
    the hashes of what made the guards, which follow from the program."""
    with sqlite3.connect(folder / DATABASE_NAME) as connection:
        connection.row_factory = sqlite3.Row
        names = connection.execute("SELECT name FROM sqlite_master WHERE type = 'table' AND name NOT LIKE 'sqlite_%'")
        return {
            name: [
                dict(row)
                for row in connection.execute(f'SELECT * FROM "{name}" ORDER BY rowid')
                if not str(row[0]).startswith("made by: ")
            ]
            for (name,) in names.fetchall()
            if name != "alembic_version" and not name.startswith("search_text")
        }


# Where who has a thing stood in its own row until loans had a table of their own.
_LENT = ("receiver", "instrument", "charger")


def _with_loans_beside(rows: dict[str, list[dict]]) -> dict[str, list[dict]]:
    """The rows with who has a thing beside it, as before there was a table of loans."""
    loans = {(row["owner"], row["owner_id"]): row for row in rows["loan"]}
    nobody = {"lent_to": "", "lent_until": ""}
    beside = {
        table: [row | {name: loans.get((table, row["id"]), nobody)[name] for name in nobody} for row in rows[table]]
        for table in _LENT
    }
    return rows | beside


def _with_pins_in_the_ledger(rows: dict[str, list[dict]]) -> dict[str, list[dict]]:
    """The rows with the moves of pins beside them, as before one ledger had all that a run rests on."""
    pins = [
        {
            "id": row["id"], "run_id": row["run_id"], "from_state_id": int(row["from_value"]),
            "to_state_id": int(row["to_value"]), "at": row["at"], "why": row["why"],
        }
        for row in rows["run_move"] if row["what"] == "state"
    ]  # fmt: skip
    return rows | {"pin_move": pins}


def _as_before(rows: dict[str, list[dict]]) -> dict[str, list[dict]]:
    """The rows as tables of before held them."""
    return _with_pins_in_the_ledger(_with_loans_beside(rows))


def _lost(before: dict[str, list[dict]], after: dict[str, list[dict]]) -> dict[str, list[dict]]:
    """Rows that are not there any more, or not with what stood in them."""
    lost: dict[str, list[dict]] = {}
    for table, rows in before.items():
        now = after.get(table, [])
        kept = {tuple(row.get(name, "no such column") for name in rows[0]) for row in now} if rows else set()
        if gone := [row for row in rows if tuple(row.values()) not in kept]:
            lost[table] = gone
    return lost


def test_every_schema_before_the_newest_has_a_stored_garage():
    revisions = {path.name.split("_")[0] for path in (MIGRATIONS_DIR / "versions").glob("[0-9]*.py")}
    assert "0001" in {path.stem for path in FILES}
    assert revisions - {HEAD} <= {path.stem for path in FILES} <= revisions


@each_released
def test_a_stored_garage_is_of_its_schema_and_has_something_in_every_table(garage: Path, released: Path):
    assert query(garage, "SELECT version_num FROM alembic_version") == [(released.stem,)]
    assert empty_tables(garage) == set()


@each_released
def test_what_was_released_is_still_made_so(garage: Path, released: Path, tmp_path: Path):
    engine = open_engine(tmp_path / "new.sqlite")
    make_file(engine, tmp_path / "new.sqlite", released.stem)
    engine.dispose()
    sql = "SELECT type, name, sql FROM sqlite_master WHERE type <> 'trigger' ORDER BY type, name"
    with sqlite3.connect(tmp_path / "new.sqlite") as connection:
        assert connection.execute(sql).fetchall() == query(garage, sql)


@each_released
def test_a_released_garage_is_brought_up_to_date_with_all_that_is_in_it(garage: Path, released: Path, make_app):
    before = _rows(garage)
    assert sum(map(len, before.values())) > 1000
    bring_up(garage)
    assert query(garage, "SELECT version_num FROM alembic_version") == [(HEAD,)]
    assert _lost(before, _as_before(_rows(garage))) == {}
    triggers = {row[0] for row in query(garage, "SELECT name FROM sqlite_master WHERE type = 'trigger'")}
    assert triggers == {trigger.name for trigger in TRIGGERS}
    report = check(garage)
    assert report.is_good, report
    made_first = [why for why, _, _ in automatic_backups(garage)]
    assert made_first == ([] if released.stem == HEAD else [BEFORE_UPGRADE])
    assert len(every_twin(make_app, garage, of_each=1)) > 80


def test_who_had_a_thing_before_loans_had_a_table_has_it_still(tmp_path: Path):
    garage = tmp_path / "garage"
    restore(RELEASED / "0002.zip", garage, CLOCK)
    for table in _LENT:
        query(garage, f"UPDATE {table} SET lent_to = 'Alder Finch', lent_until = '2027-01-31'")
    bring_up(garage)
    loans = query(garage, "SELECT owner, owner_id, lent_to, lent_on, lent_until, back_on FROM loan ORDER BY id")
    assert loans == [(table, 1, "Alder Finch", "", "2027-01-31", "") for table in _LENT]


@each_released
def test_a_released_garage_and_the_tables_of_the_program_agree_once_it_is_up_to_date(garage: Path):
    bring_up(garage)
    engine = open_engine(garage / DATABASE_NAME)
    ours = {"include_object": lambda _, name, kind, *_rest: not (kind == "table" and name.startswith("search_text"))}
    with engine.connect() as connection:
        context = MigrationContext.configure(connection, opts=ours | {"compare_type": True})
        assert compare_metadata(context, SQLModel.metadata) == []
    engine.dispose()


@each_released
def test_a_released_garage_goes_on_to_a_pretended_further_schema(garage: Path, next_schema):
    before = _rows(garage)
    next_schema()
    bring_up(garage)
    after = _as_before(_rows(garage))
    assert set(_lost(before, after)) == {"run"}, "the pretended schema writes to the notes of runs only"
    for row in after["run"]:
        assert row.pop("moon") == ""
        row["note"] = row["note"].removesuffix(" (carried over)")
    assert _lost(before, after) == {}
    assert not query(garage, "PRAGMA foreign_key_check")
    assert [why for why, _, _ in automatic_backups(garage)] == [BEFORE_UPGRADE]


@each_released
def test_a_row_that_went_missing_would_be_noticed(garage: Path):
    before = _rows(garage)
    after = {name: list(rows) for name, rows in before.items()}
    gone = after["pack_log"].pop()
    after["hull"][0] = after["hull"][0] | {"name": "another"}
    assert _lost(before, after) == {"pack_log": [gone], "hull": [before["hull"][0]]}


@each_released
def test_a_released_backup_is_restored_over_what_was_written_since(garage: Path, released: Path):
    bring_up(garage)
    before = _rows(garage)["hull"]
    query(garage, "UPDATE hull SET notes = 'written since'")
    done = restore(released, garage, CLOCK)
    assert done.kept_before is not None and done.manifest.faults == ()
    bring_up(garage)
    assert _rows(garage)["hull"] == before
    assert check(garage).is_good
