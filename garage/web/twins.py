"""The same content for another reader: a sheet as plain JSON values, a list as CSV."""

import csv
import dataclasses
import io
from typing import Any

from fastapi import Response

from garage.measures import Measure
from garage.moments import Moment
from garage.units import KINDS

# A cell that begins so is run as a formula by spreadsheets; a quote mark in front makes it text again.
_FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r")


def plain(thing: Any) -> Any:
    """`thing` as JSON values. A measure keeps its value, unit and where it came from."""
    if isinstance(thing, Measure):
        shown = {"value": thing.value, "unit": KINDS[thing.kind].storage_unit, "from": thing.origin}
        extra = {"low": thing.low, "high": thing.high, "caution": thing.caution or None}
        return shown | {name: value for name, value in extra.items() if value is not None}
    if isinstance(thing, Moment):
        return {"utc": thing.utc, "offset_min": thing.offset_min}
    if dataclasses.is_dataclass(thing) and not isinstance(thing, type):
        return {field.name: plain(getattr(thing, field.name)) for field in dataclasses.fields(thing)}
    if isinstance(thing, dict):
        return {str(name): plain(value) for name, value in thing.items()}
    if isinstance(thing, (list, tuple, set, frozenset)):
        return [plain(value) for value in thing]
    return thing


def csv_response(sheet: Any) -> Response:
    """`sheet.rows` as a CSV file: a column per field, a measure in its storage unit named in the heading."""
    out = io.StringIO()
    writer = csv.writer(out)
    rows = [_flat(row) for row in sheet.rows]
    headings = list(dict.fromkeys(heading for row in rows for heading in row))
    writer.writerow(headings)
    writer.writerows([_cell(row.get(heading)) for heading in headings] for row in rows)
    return Response(
        out.getvalue().encode("utf-8-sig"),
        media_type="text/csv; charset=utf-8",
        headers={"Content-Disposition": "attachment"},
    )


def _flat(row: Any) -> dict[str, Any]:
    flat: dict[str, Any] = {}
    for field in dataclasses.fields(row):
        value = getattr(row, field.name)
        if isinstance(value, Measure):
            flat[f"{field.name} [{KINDS[value.kind].storage_unit}]"] = value.value
        elif isinstance(value, Moment):
            flat[field.name] = value.local().isoformat()
        elif isinstance(value, (list, tuple)):
            flat[field.name] = "; ".join(str(item) for item in value)
        elif dataclasses.is_dataclass(value):
            flat |= {f"{field.name}.{name}": inner for name, inner in _flat(value).items()}
        else:
            flat[field.name] = value
    return flat


def _cell(value: Any) -> Any:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, str) and value.startswith(_FORMULA_STARTS):
        return "'" + value
    return "" if value is None else value
