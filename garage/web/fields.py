"""What was typed into a form's fields, read one by one: a value, or a message to stand beside the field.

Nothing here raises while reading, so that a person sees every message at once; `finish` raises at the end.
"""

import re
import unicodedata
from collections.abc import Callable, Iterable, Mapping
from datetime import date as Day
from datetime import datetime, timedelta

from garage.moments import Moment, day_text
from garage.units import (
    KINDS,
    DisplayUnits,
    UnreadableQuantity,
    convert,
    parse_number,
    parse_quantity,
    show,
)
from garage.web.asking import KEPT, Question

# Behind the name of a field for day and time: the same time with its seconds, in a hidden field.
TO_THE_SECOND = "_to_the_second"
_WITH_SECONDS = re.compile(r"([0-9]{4}-[0-9]{2}-[0-9]{2}T[0-9]{2}:[0-9]{2}):[0-9]{2}")
_FIRST_YEAR = 1950
_DAY = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")
_DAY_AND_TIME = re.compile(r"([0-9]{4}-[0-9]{2}-[0-9]{2})[T ]([0-9]{2}:[0-9]{2}(?::[0-9]{2})?)(?:\.[0-9]{1,6})?")
_NEEDED = "This is needed."
# A phone at the water and the computer at home seldom agree to the second.
_CLOCKS_DIFFER = timedelta(minutes=1)
_UNTICKED = {"", "0", "off", "no", "false"}


class FormErrors(Exception):
    """Some fields could not be read; `errors` holds one message for each, by field name, `questions` what is asked
    before something is kept."""

    def __init__(self, errors: Mapping[str, str], questions: Mapping[str, Question] | None = None) -> None:
        asked = {name: question.words for name, question in (questions or {}).items()}
        super().__init__("; ".join(f"{name}: {message}" for name, message in {**errors, **asked}.items()))
        self.errors = dict(errors)
        self.questions = dict(questions or {})


class Reader:
    """Reads the fields of one form; messages gather in `errors`, the first one of a field stays."""

    def __init__(self, typed: Mapping[str, str], units: DisplayUnits, now: datetime) -> None:
        """`typed` as the browser sent it; bare numbers are in `units`; `now` is aware and is the latest time
        that something can have happened."""
        self._typed = typed
        self._units = units
        self._now = now
        self.errors: dict[str, str] = {}
        self.questions: dict[str, Question] = {}

    @property
    def units(self) -> DisplayUnits:
        """The units in which bare numbers count."""
        return self._units

    def holds(self, name: str) -> bool:
        """Whether the form that was sent has a field of this name."""
        return name in self._typed

    def names(self) -> list[str]:
        """The names of the fields of the form that was sent."""
        return list(self._typed)

    def text(self, name: str, required: bool = False, most: int = 200, label: str | None = None) -> str:
        """One line without control characters, at most `most` characters long."""
        written = self._raw(name)
        if not written and required:
            self.fail(name, f"{label} is needed." if label else _NEEDED)
        return self._readable(name, written, most)

    def long_text(self, name: str, required: bool = False, most: int = 5000) -> str:
        """Some lines of text; line ends become a plain newline."""
        written = self._raw(name).replace("\r\n", "\n").replace("\r", "\n")
        if not written and required:
            self.fail(name, _NEEDED)
        return self._readable(name, written, most, allowed="\n\t")

    def quantity(
        self,
        name: str,
        kind: str,
        low: float | None = None,
        high: float | None = None,
        required: bool = False,
        above: float | None = None,
    ) -> float | None:
        """A measure in the storage unit of `kind`, from `low` to `high` inclusive and more than `above`."""
        shown_in = self._units.unit(kind)
        value = self._parsed(name, required, lambda written: parse_quantity(written, kind, shown_in))
        return self._within(name, value, low, high, above, lambda bound: _bound_text(bound, kind, shown_in))

    def number(
        self, name: str, low: float | None = None, high: float | None = None, required: bool = False
    ) -> float | None:
        """A plain number from `low` to `high` inclusive."""
        value = self._parsed(name, required, parse_number)
        return self._within(name, value, low, high, None, lambda bound: f"{bound:g}")

    def whole(self, name: str, low: int | None = None, high: int | None = None, required: bool = False) -> int | None:
        """A whole number from `low` to `high` inclusive."""
        value = self._parsed(name, required, parse_number)
        if value is not None and not value.is_integer():
            self.fail(name, "A whole number goes here.")
            return None
        value = self._within(name, value, low, high, None, lambda bound: f"{bound:g}")
        return None if value is None else int(value)

    def choice(self, name: str, choices: Iterable[str], required: bool = False) -> str:
        """One of `choices`; empty when nothing was chosen."""
        written = self._raw(name)
        if not written:
            if required:
                self.fail(name, "Choose one.")
            return ""
        if written not in set(choices):
            self.fail(name, "Choose one from the list.")
            return ""
        return written

    def several(self, name: str, choices: Iterable[str]) -> list[str]:
        """Those of `choices` that were ticked, in the order of the form."""
        # What a browser sent tells all texts under a name; a plain mapping has one.
        told = getattr(self._typed, "all", None)
        ticked = [one.strip() for one in (told(name) if told else [self._raw(name)]) if one.strip()]
        if set(ticked) - set(choices):
            self.fail(name, "Choose from the list.")
            return []
        return list(dict.fromkeys(ticked))

    def flag(self, name: str) -> bool:
        """Whether a box was ticked."""
        return self._raw(name).casefold() not in _UNTICKED

    def date(self, name: str, required: bool = False, future_ok: bool = False) -> str:
        """A day as `YYYY-MM-DD`, from 1950 to today; empty when none was written."""
        written = self._raw(name)
        if not written:
            if required:
                self.fail(name, _NEEDED)
            return ""
        day = _day(written)
        if day is None:
            self.fail(name, f"“{_short(written)}” is not a date. Write it like 2026-05-03.")
        elif self._day_is_possible(name, day, future_ok):
            return day.isoformat()
        return ""

    def moment(
        self, name: str, required: bool = False, future_ok: bool = False, was: Moment | None = None
    ) -> Moment | None:
        """A day and time of this machine's own zone, from 1950 to now. In the form of one that is there, `was`, a time
        left as it stands is that one, and another is read by the clocks of its place.

        A form shows no seconds; the minute that it was opened with is that time to the second, which it sends beside.
        """
        written = self._raw(name)
        if not written:
            if required:
                self.fail(name, _NEEDED)
            return None
        local = _local_time(written)
        if local is None:
            self.fail(name, f"“{_short(written)}” is not a date and time. Write it like 2026-05-03 14:05.")
            return None
        local = self._to_the_second(name, local, was)
        if was is not None and local == was.local().replace(tzinfo=None):
            return was
        # Asked first: far-off years cannot be given a zone.
        if not self._day_is_possible(name, local.date(), future_ok):
            return None
        when = local.astimezone() if was is None or was.is_of_here else local.replace(tzinfo=was.local().tzinfo)
        if when > self._now + _CLOCKS_DIFFER and not future_ok:
            self.fail(name, f"{when:%H:%M} is still to come; it is {self._now.astimezone():%H:%M} now.")
            return None
        return Moment.of(when)

    def _to_the_second(self, name: str, local: datetime, was: Moment | None) -> datetime:
        opened_with = _local_time(self._raw(name + TO_THE_SECOND))
        for exact in (was.local().replace(tzinfo=None) if was else None, opened_with):
            if exact is not None and local == exact.replace(second=0):
                return exact
        return local

    def shown(self, value: float, kind: str) -> str:
        """A stored figure as a message says it, in the person's unit."""
        return str(show(value, kind, self._units.unit(kind)))

    def fail(self, name: str, message: str) -> None:
        """Put `message` beside a field, unless one stands there already."""
        self.errors.setdefault(name, message)

    def written(self, name: str) -> str:
        """The text in a field, as it stands there."""
        return self._raw(name)

    def ask(self, question: Question) -> None:
        """Ask before this is kept, unless it was answered for what stands in the field."""
        if self._raw(KEPT + question.field) != (self._raw(question.field) or "yes"):
            self.questions.setdefault(question.field, question)

    def finish(self) -> None:
        """Raise FormErrors if anything could not be read, or is asked about: what could not be kept anyway is not."""
        asked = {name: question for name, question in self.questions.items() if name not in self.errors}
        if self.errors or asked:
            raise FormErrors(self.errors, asked)

    def _raw(self, name: str) -> str:
        written = self._typed.get(name, "")
        return written.strip() if isinstance(written, str) else ""

    def _readable(self, name: str, written: str, most: int, allowed: str = "") -> str:
        if len(written) > most:
            self.fail(name, f"{len(written)} characters were written; at most {most} fit here.")
            return ""
        if any(unicodedata.category(sign) in ("Cc", "Cs") and sign not in allowed for sign in written):
            self.fail(name, "There is a character in it that cannot be written down; please type it anew.")
            return ""
        return written

    def _parsed(self, name: str, required: bool, parse: Callable[[str], float]) -> float | None:
        written = self._raw(name)
        if not written:
            if required:
                self.fail(name, _NEEDED)
            return None
        try:
            return parse(written)
        except UnreadableQuantity as unread:
            self.fail(name, str(unread))
            return None

    def _within(
        self,
        name: str,
        value: float | None,
        low: float | None,
        high: float | None,
        above: float | None,
        words: Callable[[float], str],
    ) -> float | None:
        if value is None:
            return None
        if above is not None and value <= above:
            self.fail(name, f"It must be more than {words(above)}.")
        elif low is not None and value < low:
            self.fail(name, f"It must be at least {words(low)}.")
        elif high is not None and value > high:
            self.fail(name, f"It must be at most {words(high)}.")
        else:
            return value
        return None

    def _day_is_possible(self, name: str, day: Day, future_ok: bool) -> bool:
        today = self._now.astimezone().date()
        if day.year < _FIRST_YEAR:
            self.fail(name, f"{day.year} is too long ago; dates start in {_FIRST_YEAR}.")
        elif day.year > today.year + 100:
            self.fail(name, f"{day.year} is too far ahead.")
        elif day > today and not future_ok:
            self.fail(name, f"{day_text(day.isoformat())} is still to come; today is {day_text(str(today))}.")
        else:
            return True
        return False


def _bound_text(bound: float, kind: str, unit: str) -> str:
    """A bound in the person's unit, with digits enough to be true."""
    exact = convert(bound, kind, KINDS[kind].storage_unit, unit)
    usual = KINDS[kind].decimals[unit]
    for decimals in range(usual, 7):
        if abs(round(exact, decimals) - exact) <= 1e-4 * abs(exact):
            return str(show(bound, kind, unit, None if decimals == usual else decimals))
    return str(show(bound, kind, unit, 6))


def to_the_minute(text: str) -> str:
    """A day and time as a form shows it, without its seconds; any other text as it is."""
    found = _WITH_SECONDS.fullmatch(text)
    return found[1] if found else text


def _day(written: str) -> Day | None:
    if not _DAY.fullmatch(written):
        return None
    try:
        return Day.fromisoformat(written)
    except ValueError:
        return None


def _local_time(written: str) -> datetime | None:
    found = _DAY_AND_TIME.fullmatch(written)
    if not found:
        return None
    try:
        return datetime.fromisoformat(f"{found[1]}T{found[2]}")
    except ValueError:
        return None


def _short(written: str) -> str:
    return written if len(written) <= 40 else written[:39] + "…"
