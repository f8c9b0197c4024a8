"""Which backups stay, also on a machine whose clock was wrong for weeks."""

import logging
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from garage.db import upkeep
from garage.db.kept_backups import (
    BEFORE_RESTORE,
    DAILY,
    automatic_backups,
    backup_path,
    backups_ahead,
    drop_old_backups,
    is_due,
)  # fmt: skip
from garage.db.upkeep import DailyBackup

NOON = datetime(2026, 5, 9, 12, 0, tzinfo=UTC)
DAY = timedelta(days=1)


class Machine:
    """A machine whose clock is set as one likes, with the daily backup as it runs there; each backup tells how many
    days had really passed when it was made."""

    def __init__(self, folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
        self.folder, self.clock, self.day = folder, NOON, 0
        self.daily = DailyBackup(folder, lambda: self.clock)
        monkeypatch.setattr(upkeep, "write_backup", self._write)

    def _write(self, _data_dir: Path, target: Path, _why: str, _now: datetime) -> None:
        assert not target.exists(), "a backup was written over"
        target.parent.mkdir(exist_ok=True)
        target.write_text(str(self.day))

    def pass_days(self, count: int) -> list[list[int]]:
        """The days that a backup is kept of, the newest first, after each of `count` days."""
        seen = []
        for _ in range(count):
            self.day, self.clock = self.day + 1, self.clock + DAY
            self.daily.back_up_if_due()
            assert self.daily.back_up_if_due() is None, "a second one on the same day"
            seen.append(self.kept())
        return seen

    def kept(self) -> list[int]:
        return sorted((int(path.read_text()) for path in self.folder.glob("backups/*.zip")), reverse=True)


@pytest.fixture
def machine(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Machine:
    return Machine(tmp_path, monkeypatch)


def _the_newest_are_kept(seen: list[list[int]], before: int) -> None:
    """Each day of those after day `before`, the backups of that day and of the two before it were there."""
    for day, kept in enumerate(seen, before + 1):
        newest = [each for each in (day, day - 1, day - 2) if each > before]
        assert kept[: len(newest)] == newest, f"on day {day} these were kept: {kept}"


@pytest.mark.parametrize("wrong", [datetime(2036, 2, 7, 6, 28, tzinfo=UTC), datetime(1970, 1, 1, tzinfo=UTC)])
@pytest.mark.parametrize("weeks", [1, 3, 6])
def test_a_clock_wrong_for_weeks_and_right_again_costs_no_backup_made_since(machine: Machine, wrong, weeks):
    machine.pass_days(40)
    right, machine.clock = machine.clock, wrong
    _the_newest_are_kept(machine.pass_days(7 * weeks), 40)
    made_wrong = [day for day in machine.kept() if day > 40]
    last = machine.day
    machine.clock = right + timedelta(weeks=weeks)
    _the_newest_are_kept(machine.pass_days(30), last)
    apart = made_wrong if wrong > right else []
    assert [day for day in machine.kept() if 40 < day <= last] == apart
    since = [day for day in machine.kept() if day > last]
    assert len(since) == 7 and since[0] - since[-1] >= 20


def test_each_day_of_a_clock_through_2036_and_back_these_backups_are_there(machine: Machine):
    # Sunday 10 May 2026 and the two days after it.
    assert machine.pass_days(3)[-1] == [3, 2, 1]
    right, machine.clock = machine.clock, datetime(2036, 2, 7, 6, 28, tzinfo=UTC)
    # From Friday on; day 7 is a Monday. Of the week from 11 May the last, day 3, is kept.
    assert machine.pass_days(4) == [[4, 3, 2, 1], [5, 4, 3, 2, 1], [6, 5, 4, 3, 1], [7, 6, 5, 4, 3, 1]]
    machine.clock = right + 4 * DAY
    assert machine.pass_days(3) == [
        [8, 7, 6, 5, 4, 3, 1],
        [9, 8, 7, 6, 5, 4, 3, 1],
        [10, 9, 8, 7, 6, 5, 4, 3, 1],
    ]


def test_each_day_of_a_clock_at_1970_these_backups_are_there(machine: Machine):
    machine.pass_days(3)
    machine.clock = datetime(1970, 1, 1, tzinfo=UTC)
    assert machine.pass_days(3) == [[4, 3, 2, 1], [5, 4, 3, 2, 1], [6, 5, 4, 3, 2, 1]]


@pytest.mark.parametrize("before", [0, 20], ids=["from the first day", "after a time with a right clock"])
def test_a_machine_without_a_clock_that_begins_at_1970_each_day_keeps_its_last_days(machine: Machine, before: int):
    machine.pass_days(before)
    for day in range(before + 1, before + 15):
        machine.clock, machine.day = datetime(1970, 1, 1, 0, 0, 20, tzinfo=UTC), day
        machine.daily = DailyBackup(machine.folder, lambda: machine.clock)
        assert machine.daily.back_up_if_due() is not None
        assert machine.daily.back_up_if_due() is None, "one for each time it is begun"
        assert set(range(max(1, day - 2), day + 1)) <= set(machine.kept())
    assert len(machine.kept()) <= 3 + 1 + 7


def test_a_program_begun_twice_a_day_by_a_right_clock_makes_one_backup(machine: Machine):
    machine.pass_days(5)
    machine.daily = DailyBackup(machine.folder, lambda: machine.clock)
    assert machine.daily.back_up_if_due() is None


def test_backups_dated_ahead_are_named_in_the_log_once_and_no_more_when_the_clock_is_right(machine: Machine, caplog):
    machine.clock = datetime(2036, 2, 7, tzinfo=UTC)
    machine.pass_days(2)
    machine.clock = NOON
    with caplog.at_level(logging.WARNING, logger="garage"):
        machine.daily.back_up_if_due()
        machine.daily.back_up_if_due()
    [said] = [record.getMessage() for record in caplog.records]
    assert said.startswith("2 backups are dated later than this machine’s clock, which says 2026-05-09: ")
    assert "garage-daily-20360209T000000Z.zip" in said and "If the clock is wrong, set it." in said
    assert backups_ahead(machine.folder, datetime(2036, 2, 9, tzinfo=UTC)) is None


def test_a_clock_that_shows_the_same_time_twice_writes_over_no_backup(tmp_path: Path):
    (tmp_path / "backups").mkdir()
    for _ in range(3):
        path = backup_path(tmp_path, DAILY, NOON)
        assert not path.exists()
        path.touch()
    assert len(automatic_backups(tmp_path)) == 3


def test_a_clock_set_back_by_minutes_is_no_matter(tmp_path: Path):
    (tmp_path / "backups").mkdir()
    backup_path(tmp_path, DAILY, NOON).touch()
    assert not is_due(tmp_path, NOON - timedelta(minutes=20))
    assert backups_ahead(tmp_path, NOON - timedelta(minutes=20)) is None
    assert is_due(tmp_path, NOON - timedelta(hours=2))


def test_what_was_just_made_and_what_is_in_use_stays_however_many_are_newer(tmp_path: Path):
    (tmp_path / "backups").mkdir()
    for minutes in (10, 20, 30):
        backup_path(tmp_path, BEFORE_RESTORE, NOON + timedelta(minutes=minutes)).touch()
    oldest, used, made = (backup_path(tmp_path, BEFORE_RESTORE, NOON - timedelta(minutes=age)) for age in (9, 5, 0))
    for path in (oldest, used, made):
        path.touch()
    assert drop_old_backups(tmp_path, NOON, (made, used)) == [oldest]
    assert made.exists() and used.exists()


def test_a_file_that_only_looks_like_a_backup_is_passed_over(tmp_path: Path):
    (tmp_path / "backups").mkdir()
    (tmp_path / "backups" / "garage-daily-20269999T999999Z.zip").touch()
    assert automatic_backups(tmp_path) == [] and is_due(tmp_path, NOON)


def test_a_sensible_number_of_daily_backups_is_kept(tmp_path: Path):
    (tmp_path / "backups").mkdir()
    mine = tmp_path / "backups" / "garage-asked-for-20200101T000000Z.zip"
    mine.touch()
    for day in range(120):
        made = backup_path(tmp_path, DAILY, NOON + timedelta(days=day))
        made.touch()
        drop_old_backups(tmp_path, NOON + timedelta(days=day), [made])
    last = NOON + timedelta(days=119)
    kept = [when for _, when, _ in automatic_backups(tmp_path)]
    assert len(kept) == 7 and kept[:3] == [last - timedelta(days=age) for age in (0, 1, 2)]
    assert last - kept[-1] >= timedelta(days=20), "a fault noticed after three weeks can still be gone back behind"
    assert mine.exists(), "what a person asked for is never removed"


def test_the_daily_backup_is_due_after_a_day(tmp_path: Path):
    assert is_due(tmp_path, NOON)
    (tmp_path / "backups").mkdir()
    backup_path(tmp_path, DAILY, NOON).touch()
    assert not is_due(tmp_path, NOON + timedelta(hours=23))
    assert is_due(tmp_path, NOON + timedelta(hours=25))
