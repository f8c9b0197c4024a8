"""The same content for another reader: a sheet as plain JSON values, a list as CSV."""

import csv
import dataclasses
import io
import re
from collections.abc import Iterator
from typing import Any

from fastapi import Response

from garage.fields.showing import Facts, FieldValues
from garage.measures import Counted, Measure
from garage.moments import Moment
from garage.units import KINDS

# What begins a cell so is run as a formula by spreadsheets; a quote mark in front makes it text again. A program
# that was told another separator, or that takes no heed of quotes, begins a cell within a text as well.
_FORMULA = re.compile(r"^(?=[=+\-@＝＋－＠\t\r\n])|(?<=[;\t\r\n])(?=[=+\-@＝＋－＠])")
# What follows a column's name when the column tells where its figures came from, and what to mind.
_BESIDE = (" known by", " mind")


def spreadsheet_text(text: str) -> str:
    """`text` as a cell that no spreadsheet program runs."""
    return _FORMULA.sub("'", text)


def plain(thing: Any) -> Any:
    """`thing` as JSON values. A measure keeps its value, unit and where it came from."""
    if isinstance(thing, Measure):
        shown = {"value": thing.value, "unit": KINDS[thing.kind].storage_unit, "from": thing.origin}
        extra = {"low": thing.low, "high": thing.high, "caution": thing.caution or None}
        return shown | {name: value for name, value in extra.items() if value is not None}
    if isinstance(thing, Counted):
        return {"value": thing.value, "unit": thing.unit, "from": thing.origin}
    if isinstance(thing, Moment):
        return {"utc": thing.utc, "offset_min": thing.offset_min}
    if dataclasses.is_dataclass(thing) and not isinstance(thing, type):
        return {name: plain(value) for name, value in _parts(thing)}
    if isinstance(thing, dict):
        return {str(name): plain(value) for name, value in thing.items()}
    if isinstance(thing, (list, tuple, set, frozenset)):
        return [plain(value) for value in thing]
    return thing


def _parts(thing: Any) -> Iterator[tuple[str, Any]]:
    """The names and values of a dataclass; the fields of a row that it holds stand beside its own, which come first."""
    own = {field.name: getattr(thing, field.name) for field in dataclasses.fields(thing)}
    for name, value in own.items():
        if isinstance(value, FieldValues):
            yield from ((inner, kept) for inner, kept in value.items() if inner not in own)
        else:
            yield name, value


def representation_addresses(path: str, representation: str, query: str, is_list: bool) -> tuple[tuple[str, str], ...]:
    """What a page's representations are called, and where they are: the same content, for programs and spreadsheets."""
    base, asked = representation or path, f"?{query}" if query else ""
    table = (("as a table (CSV)", f"{base}.csv{asked}"),) if is_list else ()
    return (*table, ("as data (JSON)", f"{base}.json{asked}"))


def csv_response(sheet: Any) -> Response:
    """`sheet.rows` as a CSV file: a column per field, a measure in its storage unit named in the heading.

    Where a figure came from, and what to mind about it, stand in columns of their own beside it.
    """
    out = io.StringIO()
    writer = csv.writer(out)
    rows = [_flat(row) for row in sheet.rows]
    headings = _headings(rows)
    # A unit that a person called so stands in a heading.
    writer.writerow([spreadsheet_text(heading) for heading in headings])
    writer.writerows([_cell(row.get(heading)) for heading in headings] for row in rows)
    return Response(
        out.getvalue().encode("utf-8-sig"),
        media_type="text/csv; charset=utf-8",
        headers={"Content-Disposition": "attachment"},
    )


def _headings(rows: list[dict[str, Any]]) -> list[str]:
    """The columns worth their place: words beside a figure, and a list that has its unit in another heading
    where it is not empty, only if a row fills them."""
    all_of_them = list(dict.fromkeys(heading for row in rows for heading in row))
    with_unit = {heading.partition(" [")[0] for heading in all_of_them if " [" in heading}
    doubtful = {heading for heading in all_of_them if heading.endswith(_BESIDE) or heading in with_unit}
    empty = {heading for heading in doubtful if not any(row.get(heading) for row in rows)}
    return [heading for heading in all_of_them if heading not in empty]


def _flat(row: Any) -> dict[str, Any]:
    flat: dict[str, Any] = {}
    for name, value in _parts(row):
        if isinstance(value, Facts):
            continue
        if isinstance(value, Measure):
            flat |= _measured(name, value)
        elif isinstance(value, Counted):
            flat[f"{name} [{value.unit}]"] = value.value
        elif isinstance(value, Moment):
            flat[name] = value.local().isoformat()
        elif isinstance(value, (list, tuple)):
            flat |= _listed(name, value)
        elif isinstance(value, dict):
            flat |= {f"{name}.{key}": _words(inner) for key, inner in value.items()}
        elif dataclasses.is_dataclass(value):
            flat |= {f"{name}.{inner_name}": inner for inner_name, inner in _flat(value).items()}
        else:
            flat[name] = value
    return flat


def _measured(name: str, measure: Measure) -> dict[str, Any]:
    unit = KINDS[measure.kind].storage_unit
    known = measure.value is not None
    cells = {f"{name} [{unit}]": measure.value}
    if measure.low is not None or measure.high is not None:
        cells |= {f"{name} low [{unit}]": measure.low, f"{name} high [{unit}]": measure.high}
    words = (measure.origin, measure.caution) if known else ("", "")
    return cells | {name + beside: text for beside, text in zip(_BESIDE, words, strict=True)}


def _listed(name: str, values: list[Any] | tuple[Any, ...]) -> dict[str, Any]:
    """Several values in one cell, separated by semicolons; measures of one kind with their unit in the heading."""
    units = {KINDS[value.kind].storage_unit for value in values if isinstance(value, Measure)}
    if len(units) == 1 and all(isinstance(value, Measure) for value in values):
        return {f"{name} [{units.pop()}]": "; ".join(_number(value.value) for value in values)}
    return {name: "; ".join(_words(value) for value in values)}


def _words(value: Any) -> str:
    """One value among several in a cell."""
    if isinstance(value, Measure):
        return f"{_number(value.value)} {KINDS[value.kind].storage_unit}"
    if isinstance(value, Moment):
        return value.local().isoformat()
    if dataclasses.is_dataclass(value) and not isinstance(value, type):
        return ", ".join(text for inner in _flat(value).values() if (text := str(_cell(inner))))
    return _number(value) if isinstance(value, float) else str(value)


def _number(value: float | None) -> str:
    """Without the noise of binary fractions: 12 digits hold whatever was measured."""
    return "" if value is None else f"{value:.12g}"


def _cell(value: Any) -> Any:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        return _number(value)
    if isinstance(value, str):
        return spreadsheet_text(value)
    return "" if value is None else value
