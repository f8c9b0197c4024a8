"""Text to log entries of several packs at once: one kind and one moment for all, a row for each pack."""

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from garage.fields.definition import FormData
from garage.fields.forms import read
from garage.packs.fields import LOG_FIELDS
from garage.packs.forms import check_charge, kept_volts, read_volts
from garage.packs.tables import Pack
from garage.web.fields import Reader
from garage.web.rows import list_in

# Which fields each pack has in its own row, beside its volts, and which are asked once for all.
_IN_ROWS = ("charge", "temperature")
_FOR_ALL = ("at", "kind", "note")


def read_many(reader: Reader, packs: Sequence[Pack]) -> dict[int, FormData]:
    """An entry for each of `packs` that is ticked or has something written in its row, by pack id. Raises
    FormErrors."""
    shared = read([field for field in LOG_FIELDS if field.name in _FOR_ALL], reader)
    entries: dict[int, FormData] = {}
    for pack in packs:
        row = f"p{pack.id}"
        written = any(reader.text(f"{row}_{part}", most=300) for part in _IN_ROWS) or list_in(reader, f"{row}_volts")
        own = _read_row(reader, row, pack)
        if not written and not reader.flag(row):
            continue
        check_charge(
            reader, f"{row}_charge", own["charge_mah"], pack.capacity_mah, required=shared["kind"] == "capacity"
        )
        if shared["kind"] == "look" and not own["volts"]:
            reader.fail(f"{row}_volts", "Write the volts that were read.")
        entries[pack.id] = shared | own
    if not entries:
        reader.fail("kind", "Tick the packs it was done to, or fill in their rows.")
    reader.finish()
    return entries


def _read_row(reader: Reader, row: str, pack: Pack) -> dict[str, Any]:
    """What stands in the row of one pack, by column."""
    fields = [replace(field, name=f"{row}_{field.name}") for field in LOG_FIELDS if field.name in _IN_ROWS]
    return read(fields, reader) | {"volts": kept_volts(read_volts(reader, f"{row}_volts", pack.cells_s))}
