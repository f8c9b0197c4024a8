"""Packs as a collection: what the one set of pages says of them."""

from typing import Any

from sqlalchemy import func
from sqlmodel import col

from garage.inventory.collection import Collection, Words
from garage.packs.fields import FIELDS, RETIREMENT_FIELDS
from garage.packs.tables import Pack


def _called(pack: Any) -> str:
    return f"Pack {pack.code}"


def _taken(pack: Any) -> str:
    return f"There is a pack {pack.code} already."


PACKS = Collection(
    Pack,
    "/packs",
    Words(
        "pack",
        "packs",
        "What the boats run on.",
        "No pack yet.",
        "Give each pack a letter and write it on the wrapper: code, cells and capacity are enough to begin.",
        "Its log, its readings and the runs made with it stay.",
    ),
    FIELDS,
    RETIREMENT_FIELDS,
    key="code",
    came="bought_on",
    called=_called,
    taken=_taken,
    order=(func.length(col(Pack.code)), col(Pack.code)),
    last_cautions=("lipo_disposal", "lipo_swollen"),
)
