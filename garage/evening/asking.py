"""What the evening table asks before it is saved: a speed or temperature of a row far from what is usual."""

from collections.abc import Collection

from sqlmodel import Session

from garage.evening.forms import SPOT_CELLS
from garage.runs.entry import asking
from garage.runs.entry.usual_store import Ran, ran_before
from garage.runs.fields import CAUSES, INCIDENTS, READING
from garage.runs.form_data import IncidentFormData, RunFormData
from garage.units import UnreadableQuantity, parse_quantity
from garage.web.asking import KEPT
from garage.web.fields import Reader


def ask_row_speed(
    session: Session,
    reader: Reader,
    row: str,
    form: RunFormData,
    cells_s: int | None,
    known: dict[int, list[Ran]],
    run_id: int = 0,
) -> None:
    """Ask about the speed of a row. `known` gathers what was read of each boat, so that each is read once.

    What happened is an answer that goes along in the form: the table has no field.
    """
    if form.facts["speed_kmh"] is None:
        return
    if form.hull_id not in known:
        known[form.hull_id] = ran_before(session, form.hull_id)
    ran = [one for one in known[form.hull_id] if one.id != run_id]
    usual = asking.usual_speed(ran, form.facts, cells_s)
    asking.ask_speed(
        reader, f"{row}_speed", form.facts["speed_kmh"], usual,
        lambda kind, cause: {_name(row, "kind"): kind, _name(row, "cause"): cause},
    )  # fmt: skip


def happened_in(reader: Reader, row: str) -> tuple[IncidentFormData, ...]:
    """The incident that a question of this row was answered with."""
    kind, cause = reader.choice(_name(row, "kind"), INCIDENTS), reader.choice(_name(row, "cause"), CAUSES)
    return (IncidentFormData(kind, cause=cause),) if kind else ()


def ask_temperatures(reader: Reader, row: str, was: Collection[float] = ()) -> None:
    """Ask about the temperatures of a row that stand there for the first time."""
    for cell in SPOT_CELLS:
        name = f"{row}_t_{cell}"
        if written := reader.written(name):
            try:
                asking.ask_temperature(
                    reader, name, parse_quantity(written, READING.kind, reader.units.unit(READING.kind)), was
                )
            except UnreadableQuantity:
                continue


def _name(row: str, field: str) -> str:
    return f"{KEPT}{row}_happened_{field}"
