"""Text to log entries of several packs at once: one kind and one moment for all, a row for each pack."""

from collections.abc import Sequence
from dataclasses import dataclass

from garage.packs.forms import ENTRY_KINDS, LogDraft, check_charge, read_volts
from garage.packs.tables import Pack
from garage.units import DisplayUnits
from garage.web.fields import Reader


@dataclass(frozen=True)
class ManyDraft:
    """An entry for each pack that was ticked or has something written in its row, by pack id."""

    entries: dict[int, LogDraft]


def read_many(reader: Reader, packs: Sequence[Pack], units: DisplayUnits) -> ManyDraft:
    """Entries for those of `packs` that are ticked or filled in. Raises FormErrors."""
    kind = reader.choice("kind", ENTRY_KINDS, required=True)
    at = reader.moment("at", required=True)
    note = reader.long_text("note", most=1000)
    entries, any_wanted = {}, False
    for pack in packs:
        row = f"p{pack.id}"
        written = any(reader.text(f"{row}_{part}", most=300) for part in ("charge", "temperature", "volts"))
        any_wanted = any_wanted or written or reader.flag(row)
        charge = reader.quantity(f"{row}_charge", "charge", low=1, high=100000)
        temperature = reader.quantity(f"{row}_temperature", "temperature", low=-20, high=150)
        volts = read_volts(reader, units, f"{row}_volts", pack.cells_s)
        if not written and not reader.flag(row):
            continue
        check_charge(reader, f"{row}_charge", charge, pack.capacity_mah, required=kind == "capacity")
        if kind == "look" and not volts:
            reader.fail(f"{row}_volts", "Write the volts that were read.")
        if at is not None and pack.id is not None:
            entries[pack.id] = LogDraft(kind, at, charge, None, temperature, note, volts)
    if not any_wanted:
        reader.fail("kind", "Tick the packs it was done to, or fill in their rows.")
    reader.finish()
    return ManyDraft(entries)
