"""Text to the choice of a water or to an outing, or messages beside the fields."""

from garage.fields.definition import FormData
from garage.fields.forms import fill, read
from garage.moments import Moment
from garage.units import DisplayUnits
from garage.waters.fields import outing_fields
from garage.waters.form_data import outing_form
from garage.waters.tables import Outing
from garage.web.fields import Reader


def read_water_choice(reader: Reader) -> tuple[int | None, str]:
    """Which water: one of the list by its id, or the name of a new one; a message when neither or both."""
    picked, new = reader.text("water", most=12), reader.text("new_water", most=80)
    if picked and new:
        reader.fail("new_water", "Either choose a water or write a new name, not both.")
    elif picked and not (picked.isascii() and picked.isdigit()):
        reader.fail("water", "Choose one from the list.")
    elif picked:
        return int(picked), ""
    elif not new and "new_water" not in reader.errors:
        reader.fail("water", "At which water? Choose one, or write the name of a new one.")
    return None, new


def read_outing(reader: Reader, now: Moment, water_id: int, was: Moment | None = None) -> FormData:
    """The outing typed into the form, by column, begun now if no time is written; of one that is there, when it
    `was`. Does not raise: finish the reader."""
    form = outing_form(water_id, reader.moment("started", was=was) or now, **read(outing_fields(), reader))
    check_gusts(reader, form, "gust")
    return form


def check_gusts(reader: Reader, form: FormData, name: str) -> None:
    """A message beside the field `name` where the gusts are weaker than the wind."""
    wind, gust = form["wind_ms"], form["gust_ms"]
    if wind is not None and gust is not None and gust < wind:
        reader.fail(name, "The gusts are weaker than the wind: have they changed places?")


def outing_values(outing: Outing, units: DisplayUnits) -> dict[str, str]:
    """The texts of an outing's form."""
    started = Moment(outing.started_at, outing.offset_min).local_text()
    return {"water": str(outing.water_id), "started": started} | fill(outing_fields(), outing, units)
