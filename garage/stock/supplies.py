"""Supplies as a collection: what only they have beside the usual pages is their code and how many there are."""

from collections.abc import Sequence
from typing import Any

from sqlmodel import Session, col

from garage.db.codes import next_code
from garage.inventory.collection import Collection, Words
from garage.photos.tables import Attachment
from garage.shelf.sheets import ShelfSheet, shelf_sheet
from garage.shelf.store import kept
from garage.stock.fields import FIELDS, RETIREMENT_FIELDS
from garage.stock.tables import Supply
from garage.web.desk import Desk

CODE_PREFIX = "SU"


def _next_code(desk: Desk) -> dict[str, str]:
    return {"code": next_code(desk.session, col(Supply.code), CODE_PREFIX)}  # type: ignore[arg-type]


def _taken(supply: Any) -> str:
    return f"The code {supply.code} is taken: {supply.name}."


def _count_it(supply: Any) -> tuple[str, str]:
    return (f"/shelf/supply/{supply.id}", f"{supply.name} is in the notebook. How many are there?")


def _on_the_shelf(session: Session, supply: Any, receipts: Sequence[Attachment]) -> ShelfSheet:
    found = kept(session, "supply", supply.id)
    return shelf_sheet("supply", supply.id, found, receipts, "", retired=bool(supply.retired_on))


SUPPLIES = Collection(
    Supply,
    "/stock/supplies",
    Words(
        "supply",
        "supplies",
        "A supply is used up rather than used: screws, grease, sheet stock, sealant.",
        "No supply is written down yet.",
        "Begin with the one that always runs out at the wrong time.",
        gone="no longer bought",
        retire="No longer buy it",
        bring_back="Buy it again",
        said=("counted_in",),
    ),
    FIELDS,
    RETIREMENT_FIELDS,
    key="code",
    columns=("name", "counted_in"),
    suggest=_next_code,
    taken=_taken,
    added=_count_it,
    template="stock/supply.html",
    beside=_on_the_shelf,
)
