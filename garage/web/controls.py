"""How a form asks for a field: what its definition says, but for what the form calls otherwise."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from garage.fields.definition import Field


@dataclass(frozen=True)
class Asked:
    """A field as a form asks for it: the name of its control, its words, and how it looks."""

    name: str
    label: str
    hint: str
    kind: str
    required: bool
    css: str
    blank: str
    radio: bool
    rows: int
    list: str


def asked_as(field: Field, own: Mapping[str, Any], at: str = "") -> Asked:
    """What a form asks with, which says in `own` what it calls otherwise; in one of several rows, the name begins with
    `at`."""
    needed = False if at else field.is_needed if field.choices else field.required
    required = own.get("required", needed)
    return Asked(
        f"{at}_{field.name}" if at else field.name,
        own.get("label", field.label),
        own.get("hint", field.hint),
        own.get("kind", field.kind),
        required,
        own.get("css", "short" if field.short else ""),
        own.get("blank", "choose" if required and field.default is None else ""),
        own.get("radio", False),
        own.get("rows", 3),
        own.get("list", ""),
    )
