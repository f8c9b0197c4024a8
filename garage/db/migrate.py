"""Bringing the file to the schema this program knows: a backup first, one transaction, or the file as it was."""

import sqlite3
from collections.abc import Sequence
from datetime import UTC, datetime
from pathlib import Path

from sqlalchemy import Connection, Engine, text

from garage.db.backup import write_backup
from garage.db.engine import APPLICATION_ID
from garage.db.integrity import known_revisions
from garage.db.kept_backups import BEFORE_UPGRADE, backup_path, drop_old_backups
from garage.db.made_anew import make_anew, make_anew_if_changed
from garage.db.triggers import Trigger, drop_all
from garage.errors import UnusableData
from garage.paths import MIGRATIONS_DIR

# The newest revision in migrations/versions: a migration is written down by being there.
HEAD = max(known_revisions())


def bring_up_to_date(engine: Engine, database: Path, triggers: list[Trigger], refill: Sequence[str] = ()) -> bool:
    """Upgrade `database` to HEAD if need be, and make anew what it holds beside its rows if the program would make it
    otherwise: `triggers`, and the full text that the statements of `refill` write. True if anything was done.
    Raises UnusableData in words."""
    revision = _revision_in_words(engine, database)
    if revision == HEAD:
        return make_anew_if_changed(engine, triggers, refill)
    if revision is not None:
        now = datetime.now(UTC)
        target = backup_path(database.parent, BEFORE_UPGRADE, now)
        write_backup(database.parent, target, BEFORE_UPGRADE, now)
        drop_old_backups(database.parent, now, [target])
    _upgrade(engine, database, triggers, refill)
    return True


def make_file(engine: Engine, database: Path, revision: str) -> None:
    """A new empty file as it was at `revision`, without triggers: for rows that come from elsewhere."""
    _upgrade(engine, database, [], (), revision)


def refuse_unless_up_to_date(engine: Engine, database: Path) -> None:
    """For who may not write: the file must be at HEAD as it is. Raises UnusableData in words."""
    if not database.is_file():
        raise UnusableData(f"There is no garage in {database.parent} to look at.")
    if _revision_in_words(engine, database) != HEAD:
        raise UnusableData(f"{database} has to be brought up to date first: start garage serve once.")


def _revision_in_words(engine: Engine, database: Path) -> str | None:
    try:
        with engine.connect() as connection:
            return _revision(connection, database)
    except sqlite3.DatabaseError as error:
        raise UnusableData(f"{database} is not a garage notebook's file, or it is damaged.") from error
    except Exception as error:
        if isinstance(error, UnusableData):
            raise
        raise UnusableData(f"{database} cannot be opened: {error.__cause__ or error}") from error


def _revision(connection: Connection, database: Path) -> str | None:
    """The file's revision; None for a new empty file."""
    tables = set(connection.execute(text("SELECT name FROM sqlite_master WHERE type = 'table'")).scalars())
    application = connection.exec_driver_sql("PRAGMA application_id").scalar()
    if not tables and application in (0, APPLICATION_ID):
        return None
    if application != APPLICATION_ID or "alembic_version" not in tables:
        raise UnusableData(f"{database} belongs to another program; nothing was changed.")
    revision = connection.execute(text("SELECT version_num FROM alembic_version")).scalar()
    if revision not in known_revisions():
        raise UnusableData(f"{database} was written by a newer version of this program; nothing was changed.")
    return revision


def _upgrade(
    engine: Engine, database: Path, triggers: list[Trigger], refill: Sequence[str], revision: str = "head"
) -> None:
    # 120 ms to import, and only needed when the file is not at head.
    from alembic import command
    from alembic.config import Config

    config = Config()
    config.set_main_option("script_location", str(MIGRATIONS_DIR))
    options = engine.execution_options(garage_writes=True)
    with options.connect() as connection:
        # Inside a transaction this pragma does nothing, and a rebuild of a referenced table fails with keys on.
        raw = connection.connection.driver_connection
        assert raw is not None
        raw.execute("PRAGMA foreign_keys = OFF")
        try:
            with connection.begin():
                drop_all(connection)
                config.attributes["connection"] = connection
                command.upgrade(config, revision)
                if revision == "head":
                    make_anew(connection, triggers, refill)
                broken = connection.exec_driver_sql("PRAGMA foreign_key_check").fetchall()
                if broken:
                    raise UnusableData(f"{database}: the upgrade would leave loose ends in {broken[0][0]}.")
                connection.exec_driver_sql(f"PRAGMA application_id = {APPLICATION_ID}")
        finally:
            raw.execute("PRAGMA foreign_keys = ON")
