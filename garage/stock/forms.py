"""Text to a supply, or messages beside the fields."""

from dataclasses import dataclass

from garage.stock.tables import Supply
from garage.web.fields import Reader


@dataclass(frozen=True)
class SupplyDraft:
    """A supply as typed."""

    code: str
    name: str
    counted_in: str
    notes: str


def read_supply(reader: Reader) -> SupplyDraft:
    """The supply typed into the form. Raises FormErrors."""
    draft = SupplyDraft(
        code=reader.text("code", required=True, most=20),
        name=reader.text("name", required=True, most=120),
        counted_in=reader.text("counted_in", most=40),
        notes=reader.long_text("notes"),
    )
    reader.finish()
    return draft


def supply_values(supply: Supply) -> dict[str, str]:
    """The texts that stand in the form of a supply already written down."""
    return {
        "code": supply.code,
        "name": supply.name,
        "counted_in": supply.counted_in,
        "notes": supply.notes,
    }
