"""Text to a piece of hardware, or messages beside the fields."""

from dataclasses import dataclass, field

from garage.drives.figures import FIGURES, Figure
from garage.drives.tables import Part
from garage.units import DisplayUnits, entry_text
from garage.web.fields import Reader


@dataclass(frozen=True)
class PartDraft:
    """A part as typed; `figures` by column, in storage units, only those that its kind has."""

    kind: str
    code: str
    name: str = ""
    material: str = ""
    bought_on: str = ""
    notes: str = ""
    figures: dict[str, float | str | None] = field(default_factory=dict)


def read_part(reader: Reader, kind: str) -> PartDraft:
    """The part of `kind` typed into the form. Raises FormErrors."""
    draft = PartDraft(
        kind=kind,
        code=reader.text("code", required=True, most=20),
        name=reader.text("name", most=120),
        material=reader.text("material", most=120),
        bought_on=reader.date("bought_on"),
        notes=reader.long_text("notes"),
        figures={figure.column: _figure(reader, figure) for figure in FIGURES[kind]},
    )
    poles = draft.figures.get("poles")
    if isinstance(poles, int) and poles % 2:
        reader.fail("poles", "A motor has an even number of poles.")
    reader.finish()
    return draft


def _figure(reader: Reader, figure: Figure) -> float | str | None:
    if figure.kind == "date":
        return reader.date(figure.field)
    if figure.kind == "whole":
        return reader.whole(figure.field, int(figure.low or 0), int(figure.high or 0))
    return reader.quantity(figure.field, figure.kind, figure.low, figure.high)


def part_values(part: Part, units: DisplayUnits) -> dict[str, str]:
    """The texts that stand in the form of a part already written down."""
    common = ("code", "name", "material", "bought_on", "notes")
    values = {name: getattr(part, name) for name in common}
    for figure in FIGURES[part.kind]:
        value = getattr(part, figure.column)
        if figure.kind == "date":
            values[figure.field] = value
        elif figure.kind == "whole":
            values[figure.field] = "" if value is None else str(value)
        else:
            values[figure.field] = entry_text(value, figure.kind, units.unit(figure.kind))
    return values
