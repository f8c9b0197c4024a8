"""What is done for a data folder when it is begun to be served, and once a day while it is."""

import logging
import shutil
import sqlite3
import threading
import time
from collections.abc import Callable
from datetime import datetime
from pathlib import Path

from garage.db import integrity
from garage.db.backup import write_backup
from garage.db.kept_backups import DAILY, Ahead, backup_path, backups_ahead, drop_old_backups, is_due, is_surely_wrong
from garage.db.owned_files import owned_hashes, sweep
from garage.errors import UnusableData
from garage.paths import BACKUPS_NAME, DATABASE_NAME, FILES_NAME, SWEPT_NAME

log = logging.getLogger("garage")
LOOK_EVERY_S = 600.0
_SWEPT_STAYS_S = 90 * 24 * 3600
_HALF_MADE = (".making-*", ".restoring-*")


def tidy(data_dir: Path) -> list[str]:
    """Take out what an earlier end in the middle of things left behind; what that was, by name, for the person.

    The caller holds the folder. Nothing that a row refers to is touched.
    """
    for folder in (data_dir, data_dir / BACKUPS_NAME):
        for pattern in _HALF_MADE:
            for half_made in folder.glob(pattern):
                shutil.rmtree(half_made, ignore_errors=True)
    _drop_long_swept(data_dir / SWEPT_NAME)
    try:
        with integrity.opened(data_dir / DATABASE_NAME) as connection:
            owned = owned_hashes(connection)
        return sweep(data_dir / FILES_NAME, owned, data_dir / SWEPT_NAME)
    except (sqlite3.Error, OSError) as error:
        log.warning("The folder could not be tidied: %s", error)
        return []


def _drop_long_swept(swept_dir: Path) -> None:
    for path in swept_dir.glob("*"):
        # A move changes this time on the common file systems, where it changes at all.
        if time.time() - path.stat().st_ctime > _SWEPT_STAYS_S:
            path.unlink(missing_ok=True)


class DailyBackup(threading.Thread):
    """Backs the folder up once a day for as long as it is served, beside everything else."""

    def __init__(self, data_dir: Path, clock: Callable[[], datetime]) -> None:
        super().__init__(name="daily backup", daemon=True)
        self._data_dir, self._clock = data_dir, clock
        self._ended = threading.Event()
        self._named: Ahead | None = None
        self._made_one = False

    def run(self) -> None:
        while not self._ended.is_set():
            self.back_up_if_due()
            self._ended.wait(LOOK_EVERY_S)

    def back_up_if_due(self) -> Path | None:
        """Make the day's backup unless there is one; where it is. A failure is logged in words and tried again.

        A machine that begins at the same day of 1970 each time has its backup of that day for ever: there, each time
        the program is begun counts as a day.
        """
        now = self._clock()
        self._name_those_ahead(now)
        if not is_due(self._data_dir, now) and (self._made_one or not is_surely_wrong(now)):
            return None
        target = backup_path(self._data_dir, DAILY, now)
        try:
            write_backup(self._data_dir, target, DAILY, now)
        except UnusableData as error:
            log.error("The daily backup failed. %s", error)
            return None
        self._made_one = True
        drop_old_backups(self._data_dir, now, [target])
        return target

    def _name_those_ahead(self, now: datetime) -> None:
        """Say in the log which backups are dated later than the clock: once a day, not at every look."""
        ahead = backups_ahead(self._data_dir, now)
        if ahead is not None and ahead != self._named:
            log.warning(ahead.words)
        self._named = ahead

    def end(self) -> None:
        """Begin no further backup."""
        self._ended.set()
