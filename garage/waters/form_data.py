"""An outing as it is about to be written down."""

from typing import Any

from garage.fields.definition import FormData
from garage.moments import Moment


def outing_form(water_id: int, started: Moment, **told: Any) -> FormData:
    """An outing by column, in storage units: where, when, and what is told of it."""
    return {"water_id": water_id, **told, "started_at": started.utc, "offset_min": started.offset_min}


def start_of(form: FormData) -> Moment:
    """When the outing of a form began."""
    return Moment(form["started_at"], form["offset_min"])
