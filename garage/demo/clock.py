"""The clocks of the demo's world: local time as the story tells it, turned into moments."""

from datetime import date, datetime, timedelta, timezone

from garage.moments import Moment

_WINTER_MIN, _SUMMER_MIN = 60, 120


def moment(text: str) -> Moment:
    """The moment of a local day and time, `2025-06-13 20:30`, the same wherever the demo is made."""
    local = datetime.strptime(text, "%Y-%m-%d %H:%M")
    offset = _SUMMER_MIN if _is_summer(local.date()) else _WINTER_MIN
    return Moment.of(local.replace(tzinfo=timezone(timedelta(minutes=offset))))


def after(start: Moment, minutes: float) -> Moment:
    """So many minutes later, by the same clock."""
    return Moment.of(start.local() + timedelta(minutes=minutes))


def _is_summer(day: date) -> bool:
    return _last_sunday(day.year, 3) <= day < _last_sunday(day.year, 10)


def _last_sunday(year: int, month: int) -> date:
    last = date(year, month, 31)
    return last - timedelta(days=(last.weekday() + 1) % 7)
