"""What the database refuses by itself, whoever asks: what a run rests on, and moving its pin."""

import sqlite3

import pytest

from garage.db import migrate
from garage.db.engine import open_engine, writing
from garage.modifications.tables import Modification
from garage.schema import REFILL, TRIGGERS
from garage.states.store import changes_of, current_state
from garage.states.tables import BuildState
from tests.states.boat import ChangeFormData, at, make_boat, set_to


@pytest.fixture
def file(app):
    """A file with a state, a change and a step that a run rests on, its connection closed."""
    with writing(app.state.engine) as session:
        boat = make_boat(session)
        work = Modification(hull_id=boat.hull_id, title="Fin", created_at=at(1).utc)
        session.add(work)
        session.flush()
        boat.visit(ChangeFormData("fit", modification_id=work.id, detail={"title": "Fin"}), day=2)
        state = current_state(session, boat.hull_id)
        change = changes_of(session, [state.id])[state.id][0]
        session.connection().exec_driver_sql(
            "INSERT INTO step(id, modification_id, position, action, what, material, section, count,"
            " adhesive, finish, note, created_at, in_change_id, adds_mass)"
            f" VALUES (1, {work.id}, 0, 'cut', 'fin', '', '', 1, '', '', '', '2026-04-01T00:00:00Z',"
            f" {change.id}, 1)"
        )
        boat.run(3)
        boat.visit(set_to(3.0), day=4)
        boat.run(5)
        boat.visit(set_to(4.0), day=6)
    return app.state.settings.database


_COLUMNS = "hull_id, number, made_at, offset_min, content, fingerprint, note, created_at"
STATEMENTS = {
    "a state rewritten": "UPDATE build_state SET content = '{}' WHERE number = 2",
    "a state's note rewritten": "UPDATE build_state SET note = 'x' WHERE number = 2",
    "a state's date moved": "UPDATE build_state SET made_at = '2026-04-02T00:00:00Z' WHERE number = 2",
    "an earlier state than the run's own rewritten": "UPDATE build_state SET content = '{}' WHERE number = 1",
    "a state deleted": "DELETE FROM build_state WHERE number = 2",
    "a state replaced by its id":
        "INSERT OR REPLACE INTO build_state SELECT * FROM build_state WHERE number = 2",
    "a state replaced by its number":
        f"INSERT OR REPLACE INTO build_state({_COLUMNS})"
        " SELECT hull_id, number, made_at, offset_min, '{}', 'x', '', created_at"
        " FROM build_state WHERE number = 2",
    "a state pushed out by one that takes its id":
        "UPDATE OR REPLACE build_state SET id = 2 WHERE number = 4",
    "a state pushed out by one that takes its number":
        "UPDATE OR REPLACE build_state SET number = 2 WHERE number = 4",
    "a change pushed out by one that takes its id":
        "UPDATE OR REPLACE change SET id = 1 WHERE id = (SELECT max(id) FROM change)",
    "a change moved into a state that a run rests on":
        "UPDATE change SET state_id = 2 WHERE id = (SELECT max(id) FROM change)",
    "a run pushed out by one that takes its number":
        "UPDATE OR REPLACE run SET outing_id = 1, number = 1 WHERE id = 2",
    "a change rewritten": "UPDATE change SET detail = '{}'",
    "a change deleted": "DELETE FROM change",
    "a change replaced": "INSERT OR REPLACE INTO change SELECT * FROM change LIMIT 1",
    "a change put into a state that a run rests on":
        "INSERT INTO change(state_id, position, kind, place, setting, detail, note, created_at)"
        " SELECT id, 99, 'damage', 'single', '', '{}', '', created_at FROM build_state WHERE number = 2",
    "a step rewritten": "UPDATE step SET what = 'another fin'",
    "a step let go": "UPDATE step SET in_change_id = NULL",
    "a step deleted": "DELETE FROM step",
    "a step replaced": "INSERT OR REPLACE INTO step SELECT * FROM step",
    "a pin moved": "UPDATE run SET state_id = (SELECT id FROM build_state WHERE number = 1)",
    "a run given to another hull": "UPDATE run SET hull_id = hull_id + 1",
    "a run deleted": "DELETE FROM run",
    "a run replaced": "INSERT OR REPLACE INTO run SELECT * FROM run LIMIT 1",
    "a fingerprint forgotten": "DELETE FROM fingerprint",
    "a fingerprint rewritten": "UPDATE fingerprint SET fingerprint = 'x'",
    "a fingerprint replaced": "INSERT OR REPLACE INTO fingerprint SELECT * FROM fingerprint LIMIT 1",
}  # fmt: skip
ON_LEDGERS = {
    "correction": "INSERT INTO correction(owner, owner_id, field, old, new, why, at)"
                  " VALUES ('state', 1, 'note', '', 'x', '', '2026-04-06T00:00:00Z')",
    "supersession": "INSERT INTO supersession(old_state_id, new_state_id, at, why)"
                    " VALUES (1, 2, '2026-04-06T00:00:00Z', '')",
    "run_move": "INSERT INTO run_move(run_id, what, from_value, to_value, at, why)"
                " VALUES (1, 'state', '2', '1', '2026-04-06T00:00:00Z', '')",
    "mending": "INSERT INTO mending(kind, said, why, steps, who, at)"
               " VALUES ('day', 'x', '', '[]', '', '2026-04-06T00:00:00Z')",
}  # fmt: skip


def _refused(database, statement: str) -> None:
    connection = sqlite3.connect(database)
    try:
        before = list(connection.iterdump())
        with pytest.raises(sqlite3.IntegrityError):
            connection.execute(statement)
        connection.rollback()
        assert list(connection.iterdump()) == before
    finally:
        connection.close()


@pytest.mark.parametrize("statement", STATEMENTS.values(), ids=STATEMENTS.keys())
def test_a_plain_connection_is_refused(file, statement):
    _refused(file, statement)


@pytest.mark.parametrize("act", ["UPDATE {0} SET at = '2026-04-07T00:00:00Z'", "DELETE FROM {0}",
                                 "INSERT OR REPLACE INTO {0} SELECT * FROM {0}"])  # fmt: skip
@pytest.mark.parametrize("ledger", ON_LEDGERS)
def test_a_ledger_only_grows(file, ledger, act):
    with sqlite3.connect(file) as connection:
        connection.execute(ON_LEDGERS[ledger])
    connection.close()
    _refused(file, act.format(ledger))


def test_a_pin_moves_once_the_ledger_says_so_and_only_there(file):
    connection = sqlite3.connect(file)
    connection.execute(ON_LEDGERS["run_move"])
    with pytest.raises(sqlite3.IntegrityError, match="ledger"):
        connection.execute("UPDATE run SET state_id = 3 WHERE id = 1")
    connection.execute("UPDATE run SET state_id = 1 WHERE id = 1")
    with pytest.raises(sqlite3.IntegrityError, match="ledger"):
        connection.execute("UPDATE run SET state_id = 3 WHERE id = 1")
    connection.close()


def test_the_orm_is_refused_as_well(file, app):
    with pytest.raises(Exception, match="a run rests on this state"), writing(app.state.engine) as session:
        session.get(BuildState, 2).content = "{}"
        session.flush()


def test_a_state_that_no_run_rests_on_can_still_be_written(file):
    connection = sqlite3.connect(file)
    connection.execute(
        f"INSERT INTO build_state({_COLUMNS})"
        " VALUES (1, 5, '2026-04-08T00:00:00Z', 0, '{}', 'x', '', '2026-04-08T00:00:00Z')"
    )
    connection.execute("UPDATE build_state SET note = 'x' WHERE number = 5")
    assert connection.execute("SELECT note FROM build_state WHERE number = 5").fetchone() == ("x",)
    connection.close()


@pytest.mark.parametrize(
    "name", ["a state rewritten", "a change replaced", "a step deleted", "a pin moved", "a run deleted"]
)
def test_all_is_refused_again_after_the_file_was_brought_up_to_date(file, name, app, monkeypatch):
    app.state.engine.dispose()
    with sqlite3.connect(file) as connection:
        for (trigger,) in connection.execute("SELECT name FROM sqlite_master WHERE type = 'trigger'").fetchall():
            connection.execute(f'DROP TRIGGER "{trigger}"')
    connection.close()
    # The file then counts as written by an earlier release, so that the whole way of an upgrade is gone.
    monkeypatch.setattr(migrate, "HEAD", "later")
    engine = open_engine(file)
    assert migrate.bring_up_to_date(engine, file, TRIGGERS, REFILL)
    engine.dispose()
    _refused(file, STATEMENTS[name])
