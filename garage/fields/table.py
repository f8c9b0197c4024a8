"""A table that has its columns and CHECKs from a list of fields."""

import json
import sys
from collections.abc import Iterable, Mapping
from typing import TYPE_CHECKING, Any, dataclass_transform

from pydantic.fields import FieldInfo
from sqlalchemy import CheckConstraint
from sqlmodel import Field as column
from sqlmodel import SQLModel
from sqlmodel.main import SQLModelMetaclass

from garage.db.columns import choice_check, number_check, utc_check
from garage.fields.definition import OWN_VALUES, Field, empty, own_number

_TYPES: dict[str, type] = {"yes/no": bool, "whole": int, "rating": int}


def checks(fields: Iterable[Field]) -> tuple[CheckConstraint, ...]:
    """What the database itself refuses, one CHECK for each field that has bounds, choices or a time."""
    made = (_check(field) for field in fields if field.checked)
    return tuple(check for check in made if check is not None)


def _check(field: Field) -> CheckConstraint | None:
    if field.is_number:
        return number_check(field.column, field.low, field.high)
    if field.kind == "choice":
        return choice_check(field.column, field.values if field.is_needed else ("", *field.values))
    return utc_check(field.column) if field.kind == "moment" else None


def python_type(field: Field) -> Any:
    """What a row holds in the field's column: text that is left open is '', a number or moment is None."""
    kept = _TYPES.get(field.kind, float if field.is_number else str)
    may_be_none = (field.is_number or field.kind == "moment") and not field.is_needed
    return kept | None if may_be_none else kept


def _column(field: Field) -> Any:
    settings: dict[str, Any] = {"index": True} if field.indexed or field.unique else {}
    settings |= {"unique": True} if field.unique else {}
    if field.default is None and field.required:
        return column(**settings)
    return column(default=empty(field), **settings)


@dataclass_transform(kw_only_default=True, field_specifiers=(column, FieldInfo))
class _FromFields(SQLModelMetaclass):
    """Adds the columns of `fields` behind `id`, before those that the class itself declares, and their CHECKs."""

    def __new__(
        cls, name: str, bases: tuple[type, ...], body: dict[str, Any], fields: tuple[Field, ...] = (), **options: Any
    ) -> Any:
        if fields:
            declared = dict(_annotations(body))
            own = {"id": declared.pop("id")} if "id" in declared else {}
            own |= {field.column: python_type(field) for field in fields}
            made = {field.column: _column(field) for field in fields}
            table_args = (*checks(fields), *body.get("__table_args__", ()))
            body = body | made | {"__annotations__": own | declared, "__table_args__": table_args}
        return super().__new__(cls, name, bases, body, **options)

    def __init__(
        cls, name: str, bases: tuple[type, ...], body: dict[str, Any], fields: tuple[Field, ...] = (), **options: Any
    ) -> None:
        super().__init__(name, bases, body, **options)


def _annotations(body: dict[str, Any]) -> dict[str, Any]:
    if sys.version_info >= (3, 14) and "__annotations__" not in body:
        # Since 3.14 a class body keeps its annotations as a function.
        from annotationlib import Format, call_annotate_function, get_annotate_from_class_namespace

        annotate = get_annotate_from_class_namespace(body)
        return call_annotate_function(annotate, format=Format.FORWARDREF) if annotate else {}
    return body.get("__annotations__", {})


def own_values_column() -> Any:
    """The column of a table whose things a person may add fields to: JSON, each value by the number of its field."""
    return column(default="{}", sa_column_kwargs={"server_default": "{}"})


class FieldTable(SQLModel, metaclass=_FromFields):
    """The base of a table with a list of fields: `class Hull(FieldTable, table=True, fields=FIELDS)`.

    What stands in a person's own field is read and written as if it had a column, `run.own_12`, though all of them are
    kept in one: so whatever reads, fills, writes or corrects a row by its columns does the same for these.
    """

    if not TYPE_CHECKING:

        def __init__(self, **told: Any) -> None:
            own = {name: told.pop(name) for name in tuple(told) if own_number(name)}
            super().__init__(**told)
            _write(self, own)

        def __getattr__(self, name: str) -> Any:
            if number := own_number(name):
                return json.loads(getattr(self, OWN_VALUES)).get(number)
            return super().__getattr__(name)

        def __setattr__(self, name: str, value: Any) -> None:
            if own_number(name):
                _write(self, {name: value})
            else:
                super().__setattr__(name, value)

        def sqlmodel_update(self, obj: Any, **options: Any) -> Any:
            found = super().sqlmodel_update(obj, **options)
            if isinstance(obj, dict):
                _write(self, {name: value for name, value in obj.items() if own_number(name)})
            return found


def _write(row: Any, told: Mapping[str, Any]) -> None:
    """Write values of own fields into a row; what is open is left out, and what is not `told` stays."""
    if not told:
        return
    kept = json.loads(getattr(row, OWN_VALUES)) | {own_number(name): value for name, value in told.items()}
    said = {number: value for number, value in kept.items() if value not in (None, "")}
    in_order = dict(sorted(said.items(), key=lambda pair: int(pair[0])))
    setattr(row, OWN_VALUES, json.dumps(in_order, ensure_ascii=False))
