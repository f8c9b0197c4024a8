"""Props as a collection: what the one set of pages says of them."""

from typing import Any

from sqlalchemy import func
from sqlmodel import col

from garage.inventory.collection import Collection, Words
from garage.props.fields import FIELDS, RETIREMENT_FIELDS
from garage.props.tables import Prop


def _called(prop: Any) -> str:
    return str(prop.code)


def _taken(prop: Any) -> str:
    return f"There is a prop {prop.code} already."


PROPS = Collection(
    Prop,
    "/props",
    Words(
        "prop",
        "props",
        "Each one by itself, as its latest rework left it.",
        "No prop yet.",
        "A prop is not its printed size: each one gets a code of its own, and each rework makes its next edition.",
        "Its editions and the runs made with it stay.",
    ),
    FIELDS,
    RETIREMENT_FIELDS,
    key="code",
    came="bought_on",
    called=_called,
    taken=_taken,
    order=(func.length(col(Prop.code)), col(Prop.code)),
)
