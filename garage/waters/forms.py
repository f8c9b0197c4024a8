"""Text to a water or an outing, or messages beside the fields."""

from garage.fields.definition import FormData
from garage.fields.forms import read
from garage.moments import Moment
from garage.units import DisplayUnits, entry_text
from garage.waters.fields import FIELDS, SUNS, SURFACES, WIND_TO_COURSE
from garage.waters.form_data import OutingDraft
from garage.waters.tables import Outing
from garage.web.fields import Reader


def read_water(reader: Reader) -> FormData:
    """The water typed into the form, by column. Raises FormErrors."""
    form = read(FIELDS, reader)
    reader.finish()
    return form


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


def read_outing(reader: Reader, now: Moment, water_id: int) -> OutingDraft:
    """The outing typed into the form, begun now if no time is written. Does not raise: finish the reader."""
    draft = OutingDraft(
        water_id=water_id,
        started=reader.moment("started") or now,
        air_c=reader.quantity("air", "temperature", low=-30, high=55),
        water_c=reader.quantity("water_temperature", "temperature", low=-3, high=45),
        wind_ms=reader.quantity("wind", "wind", low=0, high=40),
        gust_ms=reader.quantity("gust", "wind", low=0, high=60),
        wind_from_deg=reader.quantity("wind_from", "angle", low=0, high=360),
        wind_to_course=reader.choice("wind_to_course", WIND_TO_COURSE),
        surface=reader.choice("surface", SURFACES),
        sun=reader.choice("sun", SUNS),
        weed=reader.text("weed", most=120),
        notes=reader.long_text("notes"),
    )
    if draft.wind_ms is not None and draft.gust_ms is not None and draft.gust_ms < draft.wind_ms:
        reader.fail("gust", "The gusts are weaker than the wind: have they changed places?")
    return draft


def outing_values(outing: Outing, units: DisplayUnits) -> dict[str, str]:
    """The texts of an outing's form."""

    def text(value: float | None, kind: str) -> str:
        return entry_text(value, kind, units.unit(kind))

    return {
        "water": str(outing.water_id),
        "started": Moment(outing.started_at, outing.offset_min).local_text(),
        "air": text(outing.air_c, "temperature"),
        "water_temperature": text(outing.water_c, "temperature"),
        "wind": text(outing.wind_ms, "wind"),
        "gust": text(outing.gust_ms, "wind"),
        "wind_from": text(outing.wind_from_deg, "angle"),
        "wind_to_course": outing.wind_to_course,
        "surface": outing.surface,
        "sun": outing.sun,
        "weed": outing.weed,
        "notes": outing.notes,
    }
