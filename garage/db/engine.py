"""The one SQLite file: how it is opened, and how a session on it reads or writes."""

import errno
import os
from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from pathlib import Path

from sqlalchemy import Engine, create_engine, event
from sqlmodel import Session

# The session that is at work: for names that a person gave, which are wanted deep within words and lists, where a
# session has no other business.
AT_WORK: ContextVar[Session | None] = ContextVar("session at work", default=None)
# Marks a file as ours ("GNb1" in ASCII), so that another program's file is told apart.
APPLICATION_ID = 0x474E6231
_READING_PRAGMAS = ("query_only = ON", "busy_timeout = 10000")
_WRITING_PRAGMAS = ("journal_mode = WAL", "synchronous = FULL", "foreign_keys = ON", "busy_timeout = 10000")


def open_engine(database: Path, *, read_only: bool = False) -> Engine:
    """An engine on `database`: write-ahead log, full sync, foreign keys, and transactions that are ours to begin.

    `read_only` never writes, so it may stand beside a program that does, or on a disk that cannot be written to.
    """
    address = f"sqlite:///{_read_only_address(database) if read_only else database}"
    engine = create_engine(
        address, connect_args={"timeout": 10, "check_same_thread": False, "isolation_level": None, "uri": True}
    )
    pragmas = _READING_PRAGMAS if read_only else _WRITING_PRAGMAS
    same_file = _SameFile(database)

    @event.listens_for(engine, "connect")
    def _on_connect(connection, _record) -> None:
        cursor = connection.cursor()
        for pragma in pragmas:
            cursor.execute(f"PRAGMA {pragma}")
        cursor.close()

    @event.listens_for(engine, "begin")
    def _on_begin(connection) -> None:
        # The driver would begin late and lock later still; a write takes its lock at once, so that it can wait for it.
        writes = connection.get_execution_options().get("garage_writes", False) and not read_only
        if writes:
            same_file.confirm()
        connection.exec_driver_sql("BEGIN IMMEDIATE" if writes else "BEGIN")

    return engine


class _SameFile:
    """Sees to it that what is written goes to the file of that name, not to one that was moved away meanwhile."""

    def __init__(self, database: Path) -> None:
        self._database = database
        self._known: tuple[int, int] | None = None

    def confirm(self) -> None:
        """Raises OSError if the file is gone or is another than at the first call."""
        found = os.stat(self._database)
        self._known = self._known or (found.st_dev, found.st_ino)
        if self._known != (found.st_dev, found.st_ino):
            raise OSError(errno.ESTALE, "the notebook’s file was moved or replaced: end the program and start it again")


def _read_only_address(database: Path) -> str:
    # With no log beside it, nobody is writing; a disk that cannot be written to has no room for a new one either.
    alone = not os.access(database.parent, os.W_OK) and not database.with_name(database.name + "-wal").exists()
    return f"{database.resolve().as_uri()}?mode=ro{'&immutable=1' if alone else ''}&uri=true"


@contextmanager
def at_work(session: Session) -> Iterator[Session]:
    """Have `session` at work."""
    token = AT_WORK.set(session)
    try:
        yield session
    finally:
        AT_WORK.reset(token)


@contextmanager
def reading(engine: Engine) -> Iterator[Session]:
    """A session that reads one consistent moment of the file."""
    with Session(engine) as session, at_work(session):
        yield session


@contextmanager
def trying(engine: Engine) -> Iterator[Session]:
    """A session that writes, to see what would come of it, and keeps nothing."""
    with Session(engine.execution_options(garage_writes=True), expire_on_commit=False) as session, at_work(session):
        try:
            yield session
        finally:
            session.rollback()


@contextmanager
def writing(engine: Engine) -> Iterator[Session]:
    """A session that writes: all of it is kept when the block ends, or nothing if it fails.

    It holds on to every row it read or wrote, so that none is asked for twice: nobody else writes meanwhile.
    """
    with Session(engine.execution_options(garage_writes=True), expire_on_commit=False) as session, at_work(session):
        held: list[object] = []

        @event.listens_for(session, "loaded_as_persistent")
        @event.listens_for(session, "pending_to_persistent")
        def _hold(_session: Session, row: object) -> None:
            held.append(row)

        yield session
        session.commit()
