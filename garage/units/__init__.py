"""The door for quantities: text to stored numbers and back.

People write `22,2 V`, `5 000 mAh`, `3/16 in`. A units library misreads such text or even evaluates it, so
it never sees any: `reading` takes text apart, `exchange` alone asks pint how units compare, `showing` writes
numbers, `kinds` lists what there is.
"""

from garage.units.exchange import convert
from garage.units.kinds import KINDS, DisplayUnits, Kind
from garage.units.reading import UnreadableQuantity, parse_in_unit, parse_number, parse_quantity, typed_in
from garage.units.showing import Shown, entry_text, shortest_entry, show

__all__ = [
    "KINDS",
    "DisplayUnits",
    "Kind",
    "Shown",
    "UnreadableQuantity",
    "convert",
    "entry_text",
    "parse_in_unit",
    "parse_number",
    "parse_quantity",
    "shortest_entry",
    "show",
    "typed_in",
]
