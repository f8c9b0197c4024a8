"""The day itself in the evening: its conditions, which are the outing's own fields."""

from sqlmodel import Session

from garage.fields.definition import Field, in_row
from garage.fields.forms import fill, read
from garage.fields.showing import Fact, facts
from garage.moments import Moment
from garage.units import DisplayUnits, show
from garage.waters.fields import outing_fields
from garage.waters.forms import check_gusts
from garage.waters.outing_store import change_outing
from garage.waters.tables import Outing
from garage.web.fields import Reader

# How the names of its fields begin.
DAY = "day"


def day_fields() -> tuple[Field, ...]:
    """The fields of the outing, as the evening's form calls them."""
    return in_row(outing_fields(), DAY)


def day_values(day: Outing, units: DisplayUnits) -> dict[str, str]:
    """The texts that stand in them."""
    return fill(day_fields(), day, units)


def day_words(day: Outing, units: DisplayUnits) -> str:
    """The conditions in a few words, `air 14 °C, wind 3 m/s, glass`; '' where nothing is written."""
    told = facts(outing_fields(), day)
    return ", ".join(_words(one, units) if one.measure else one.text for one in told)


def _words(fact: Fact, units: DisplayUnits) -> str:
    assert fact.measure is not None and fact.measure.value is not None
    return f"{fact.label.lower()} {show(fact.measure.value, fact.measure.kind, units.unit(fact.measure.kind))}"


def save_day(session: Session, day: Outing, reader: Reader, why: str, now: Moment) -> bool:
    """Write the conditions as they were typed; whether any differs. Does not write where something is wrong with any of
    the form: finish the reader."""
    if not reader.holds(f"{DAY}_here"):
        return False
    form = read(day_fields(), reader)
    check_gusts(reader, form, f"{DAY}_gust")
    different = {column: value for column, value in form.items() if getattr(day, column) != value}
    if different and not reader.errors:
        change_outing(session, day.id, different, why, now)
    return bool(different)
