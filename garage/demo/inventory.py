"""Writing down the demo's inventory: waters, hulls, props, packs, drives, supplies, where they lie and who has them."""

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from sqlmodel import Session

from garage.demo.clock import moment
from garage.demo.names import Names
from garage.demo.typed import typed
from garage.drives.forms import read_part
from garage.drives.kinds import PARTS
from garage.hulls.kinds import HULLS
from garage.inventory.forms import read_retirement, read_row
from garage.inventory.kinds import CHARGERS
from garage.inventory.store import add_row, retire_row, row_of
from garage.moments import Moment
from garage.packs.forms import DamageFormData, read_pack, read_set
from garage.packs.kinds import PACKS
from garage.packs.set_store import add_set
from garage.packs.store import note_damage
from garage.props.forms import read_new_prop, read_rework
from garage.props.kinds import PROPS
from garage.props.store import add_edition, add_prop, latest_edition, prop
from garage.schema import THINGS
from garage.shelf.forms import read_loan, read_shelf
from garage.shelf.loan_store import lend
from garage.shelf.store import keep_entry
from garage.stock.supplies import SUPPLIES
from garage.waters.kinds import WATERS

# The evening on which the notebook was begun: what was there already was written down then.
BEGUN = moment("2025-03-29 19:00")


def write_inventory(session: Session, data: Mapping[str, Any], names: Names) -> None:
    """Everything that stands in the garage, as of the day it came in."""
    for row in data["water"]:
        names.waters[row["name"]] = _id(add_row(session, WATERS, read_row(WATERS, typed(row)), BEGUN))
    for row in data["hull"]:
        names.hulls[row["name"]] = _id(add_row(session, HULLS, read_row(HULLS, typed(row)), _came(row, "built_on")))
    for row in data["part"]:
        part = read_part(typed(row), row["kind"])
        names.parts[row["code"]] = _id(add_row(session, PARTS, part, _came(row)))
    for row in data["prop"]:
        new = read_new_prop(typed({"blades": "2", "hand": "right", "condition": "good"} | row))
        names.props[row["code"]] = _id(add_prop(session, new, _came(row)))
    for row in data["rework"]:
        _write_rework(session, row, names)
    for row in data["pack"]:
        names.packs[row["code"]] = _id(add_row(session, PACKS, read_pack(typed(row)), _came(row)))
    for row in data["pack_set"]:
        add_set(session, read_set(typed(row, codes=" + ".join(row["packs"]))), BEGUN)
    for row in data["supply"]:
        names.supplies[row["code"]] = _id(add_row(session, SUPPLIES, read_row(SUPPLIES, typed(row)), BEGUN))
    for row in data["shelf"]:
        reader = typed(row, shelf_note=row.get("note", ""))
        owner, owner_id = names.owner(row["of"])
        keep_entry(session, owner, owner_id, read_shelf(reader, owner))
    for row in data["charger"]:
        names.chargers[row["name"]] = _id(add_row(session, CHARGERS, read_row(CHARGERS, typed(row)), _came(row)))
    for row in data["loan"]:
        thing = THINGS.thing(session, *names.owner(row["of"]))
        lend(session, thing, read_loan(typed(row)), moment(f"{row['lent_on']} 20:00"))


def retire_what_is_gone(session: Session, data: Mapping[str, Any], names: Names) -> None:
    """Put aside what the story puts aside, once everything else is written."""
    known = ((HULLS, names.hulls), (PROPS, names.props), (PACKS, names.packs), (PARTS, names.parts))
    for kind, ids in known:
        for row in data[kind.owner]:
            row_id = ids[row[kind.key]]
            if "damage" in row:
                note_damage(session, row_id, DamageFormData(row["damage"], ""), row["retired_on"])
            if "retired_on" in row:
                end = read_retirement(kind, row_of(session, kind, row_id), typed(row))
                retire_row(session, kind, row_id, end)


def _write_rework(session: Session, row: Mapping[str, Any], names: Names) -> None:
    prop_id, made = names.props[row["prop"]], moment(row["made"])
    kept, before = prop(session, prop_id), latest_edition(session, prop_id)
    reader = typed({"condition": "good", **row})
    rework = read_rework(reader, row["reworks"], kept, before)
    add_edition(session, before, replace(rework, made=made), made)


def _came(row: Mapping[str, str], day: str = "bought_on") -> Moment:
    """The evening of the day it came in, or the evening the notebook was begun if it was there before."""
    return max(BEGUN, moment(f"{row[day]} 20:00")) if row.get(day) else BEGUN


def _id(row: Any) -> int:
    return row.id
