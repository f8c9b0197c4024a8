"""When something happened: stored in UTC with the offset of the place where it was written down."""

import re
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta, timezone

# Named here, because the names that the system gives depend on its locale.
MONTHS = (
    "January February March April May June July August September October November December".split()  # noqa: SIM905
)
_STORED = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}T[0-9]{2}:[0-9]{2}:[0-9]{2}Z")


@dataclass(frozen=True, order=True)
class Moment:
    """A point in time, to the second.

    `utc` is written `YYYY-MM-DDTHH:MM:SSZ`, so that text order is time order; `offset_min` is how many
    minutes the clocks on the spot were ahead of it.
    """

    utc: str
    offset_min: int

    def __post_init__(self) -> None:
        if not _STORED.fullmatch(self.utc):
            raise ValueError(f"{self.utc!r} is not a stored moment")

    @classmethod
    def of(cls, when: datetime) -> "Moment":
        """The moment of an aware datetime, parts of a second cut off; ValueError for one without a zone."""
        offset = when.utcoffset()
        if offset is None:
            raise ValueError("a moment needs to know its offset from UTC")
        utc = when.astimezone(UTC).replace(microsecond=0, tzinfo=None)
        return cls(f"{utc.isoformat()}Z", int(offset.total_seconds() // 60))

    @classmethod
    def here(cls, utc: str) -> "Moment":
        """The moment `utc` by the clocks of this machine's zone, in summer or winter as it was then."""
        return cls.of(datetime.fromisoformat(utc.replace("Z", "+00:00")).astimezone())

    @property
    def is_of_here(self) -> bool:
        """Whether the clocks of this machine's zone stood as those on the spot did."""
        return Moment.here(self.utc).offset_min == self.offset_min

    def local(self) -> datetime:
        """The clock on the spot, as an aware datetime with the recorded offset."""
        utc = datetime.fromisoformat(self.utc.replace("Z", "+00:00"))
        return utc.astimezone(timezone(timedelta(minutes=self.offset_min)))

    def local_text(self) -> str:
        """What stands in a field for date and time: `YYYY-MM-DDTHH:MM`, with seconds if there are any."""
        local = self.local()
        return local.strftime("%Y-%m-%dT%H:%M:%S" if local.second else "%Y-%m-%dT%H:%M")

    def date(self) -> str:
        """The local date, `YYYY-MM-DD`."""
        return self.local().date().isoformat()

    def day(self) -> str:
        """The local date in words, `3 May 2026`."""
        return day_text(self.date())

    def clock(self) -> str:
        """The local time of day, `14:05`."""
        return self.local().strftime("%H:%M")


def day_text(day: str) -> str:
    """`2026-05-03` in words, `3 May 2026`; nothing for nothing. ValueError if `day` is no date."""
    if not day:
        return ""
    read = date.fromisoformat(day)
    return f"{read.day} {MONTHS[read.month - 1]} {read.year}"


def age_words(since: Moment, now: Moment) -> str:
    """How long something has been so, by the days of their places: `since today`, `since yesterday`, `for 12 days`."""
    days = (date.fromisoformat(now.date()) - date.fromisoformat(since.date())).days
    return {0: "since today", 1: "since yesterday"}.get(max(days, 0), f"for {days} days")
