"""Which backups were made without being asked for, whether one is due, and a sensible number of them kept.

The date in a backup's name is what the machine's clock said. A clock may have been wrong for weeks, years ahead or
years behind. A backup whose date lies ahead of the clock is therefore kept and counts for nothing, neither as the
day's backup nor among those kept: it stands apart for as long as its date lies ahead. Nothing is moved or given
another name, since it may be the clock of this moment that is wrong.
"""

import re
from collections.abc import Collection
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import NamedTuple

from garage.paths import BACKUPS_NAME

DAILY, BEFORE_UPGRADE, BEFORE_RESTORE, ASKED_FOR = "daily", "before-upgrade", "before-restore", "asked-for"
# The last three days, and one for each of the four weeks before; of the rarer kinds the last three.
KEPT_NEWEST, KEPT_WEEKS = 3, 4
# A clock is set right by this much without anybody having noticed that it was wrong.
CLOCK_SLACK = timedelta(hours=1)
# No right clock shows a day before this program was written: a machine without a clock of its own begins anew at one.
_WRITTEN = datetime(2026, 1, 1, tzinfo=UTC)
_STAMP = "%Y%m%dT%H%M%SZ"
_NAME = re.compile(r"garage-(daily|before-upgrade|before-restore)-(\d{8}T\d{6}Z)\.zip")
_MOST_NAMED = 3


class KeptBackup(NamedTuple):
    """A backup that nobody asked for."""

    why: str
    when: datetime
    path: Path


@dataclass(frozen=True)
class Ahead:
    """Backups whose dates lie ahead of the clock, the newest first, and what the clock says."""

    names: tuple[str, ...]
    clock: str

    @property
    def words(self) -> str:
        """What is the matter and what to do, for the log and for Home."""
        named = ", ".join(self.names[:_MOST_NAMED]) + (" and others" if len(self.names) > _MOST_NAMED else "")
        one = len(self.names) == 1
        return (
            f"{len(self.names)} {'backup is' if one else 'backups are'} dated later than this machine’s clock, which "
            f"says {self.clock}: {named}. If the clock is wrong, set it. If it is right, it was wrong when "
            f"{'that one was' if one else 'those were'} made: {'it is' if one else 'they are'} kept apart and never "
            f"removed; move {'it' if one else 'them'} elsewhere once you need {'it' if one else 'them'} no longer. "
            "New backups are made every day all the same."
        )


def backup_path(data_dir: Path, why: str, now: datetime) -> Path:
    """Where a backup goes if no other place is named: never over one that is there, when a clock shows a time twice;
    where it does so each day, the newest is named as the newest."""
    folder, stamped = data_dir / BACKUPS_NAME, now.astimezone(UTC).replace(microsecond=0)
    past = [each.when for each in automatic_backups(data_dir) if not _is_ahead(each, now)]
    if is_surely_wrong(now) and past:
        stamped = max(stamped, past[0] + timedelta(seconds=1))
    while (path := folder / f"garage-{why}-{stamped.strftime(_STAMP)}.zip").exists():
        stamped += timedelta(seconds=1)
    return path


def automatic_backups(data_dir: Path) -> list[KeptBackup]:
    """The backups that were made without being asked for, the newest first."""
    found = []
    for path in (data_dir / BACKUPS_NAME).glob("garage-*.zip"):
        if (match := _NAME.fullmatch(path.name)) and (when := _read_stamp(match[2])):
            found.append(KeptBackup(match[1], when, path))
    return sorted(found, key=lambda each: each.when, reverse=True)


def _read_stamp(text: str) -> datetime | None:
    """None for a time that is none: some other file that only looks like ours."""
    try:
        return datetime.strptime(text, _STAMP).replace(tzinfo=UTC)
    except ValueError:
        return None


def backups_ahead(data_dir: Path, now: datetime) -> Ahead | None:
    """The backups that stand apart at `now`; None if there are none."""
    names = tuple(each.path.name for each in automatic_backups(data_dir) if _is_ahead(each, now))
    return Ahead(names, now.strftime("%Y-%m-%d")) if names else None


def _is_ahead(backup: KeptBackup, now: datetime) -> bool:
    return backup.when - now > CLOCK_SLACK


def is_surely_wrong(now: datetime) -> bool:
    """Whether a clock that says `now` cannot be right: how long ago anything was is then not to be told by it."""
    return now < _WRITTEN


def is_due(data_dir: Path, now: datetime) -> bool:
    """Whether the last daily backup is older than a day."""
    return not any(
        each.why == DAILY and not _is_ahead(each, now) and now - each.when < timedelta(days=1)
        for each in automatic_backups(data_dir)
    )


def drop_old_backups(data_dir: Path, now: datetime, spared: Collection[Path]) -> list[Path]:
    """Remove the automatic backups that need not be kept any more; which these were.

    Never one of `spared`, those just made or in use; never one dated ahead of `now`; never one that was asked for.
    """
    dropped = []
    past = [each for each in automatic_backups(data_dir) if not _is_ahead(each, now)]
    never = {path.resolve() for path in spared}
    for kind in (DAILY, BEFORE_UPGRADE, BEFORE_RESTORE):
        of_kind = [each for each in past if each.why == kind]
        kept = set(to_keep([each.when for each in of_kind], KEPT_WEEKS if kind == DAILY else 0))
        dropped += [each.path for each in of_kind if each.when not in kept and each.path.resolve() not in never]
    for path in dropped:
        path.unlink(missing_ok=True)
    return dropped


def to_keep(made: list[datetime], weeks: int) -> list[datetime]:
    """The newest three of `made`, and the newest of each of the `weeks` calendar weeks before those."""
    newest_first = sorted(made, reverse=True)
    kept = newest_first[:KEPT_NEWEST]
    last_of_week: dict[tuple[int, int], datetime] = {}
    for when in newest_first[KEPT_NEWEST:]:
        last_of_week.setdefault(when.isocalendar()[:2], when)
    return kept + list(last_of_week.values())[:weeks]
