"""Routes of choosing a pack, of two side by side, and of what a pack did."""

from dataclasses import dataclass, field

from garage.hulls.offer import offered as hulls_offered
from garage.items.packs.against import Against, against
from garage.items.packs.choice import ChoiceLine, choice_line, in_order, ways_of_reading
from garage.items.packs.choice_store import fitting_packs, known_of, usual_of_hull
from garage.items.packs.did_sheets import DidSheet, did_sheet
from garage.items.packs.did_store import runs_on_pack
from garage.measures import Measure
from garage.packs import store
from garage.packs.verdict_store import retire_word
from garage.reference import Caution, cautions
from garage.runs.lines.line import line_of
from garage.runs.lines.store import line_facts
from garage.shelf.loan_store import open_loans
from garage.units import entry_text
from garage.web.desk import Desk
from garage.web.pages import Pages

pages = Pages()


# What is taken for a current when nothing is known: a hard run of a usual pack; common practice, no source.
USUAL_CURRENT_A = 100.0
RUNS_SHOWN = 25
MOST_HULLS = 100


@dataclass(frozen=True)
class ChoiceSheet:
    """Packs that fit a hull or a cell count, the best first within the page."""

    rows: list[ChoiceLine]
    hull: str
    cells: int | None
    current: Measure
    hulls: list[tuple[str, str]]
    page: int
    more: bool
    query: str
    errors: dict[str, str]
    cautions: list[Caution]
    values: dict[str, str] = field(default_factory=dict)
    read_by: list[str] = field(default_factory=list)


@pages.sheet(
    "/packs/which",
    "items/pack_choice.html",
    is_list=True,
    asks={"hull": "the number of a hull", "cells": "cells in series", "current": "in A, or with a unit"},
)
def choose_pack(desk: Desk) -> ChoiceSheet:
    reader, session = desk.query_reader(), desk.session
    offered = [(str(one.id), name) for one, name in hulls_offered(session, limit=MOST_HULLS)]
    hull = reader.choice("hull", [one for one, _ in offered])
    usual_cells, usual_current = usual_of_hull(session, int(hull)) if hull else (None, None)
    cells = reader.whole("cells", low=1, high=14) or usual_cells
    asked = reader.quantity("current", "current", low=1, high=1000)
    current = asked or usual_current or USUAL_CURRENT_A
    whose = "as asked" if asked else "the middle of its last runs" if usual_current else "assumed: a hard run"
    found = fitting_packs(session, cells, limit=desk.limit + 1, offset=desk.offset)
    known = known_of(session, found[: desk.limit])
    lent = open_loans(session, "pack", [pack.id for pack in found])
    lines = in_order([choice_line(pack, known, current, desk.today, lent.get(pack.id)) for pack in found[: desk.limit]])
    shown = entry_text(round(current, 1), "current", desk.units.unit("current"))
    values = {"hull": hull, "cells": str(cells or ""), "current": desk.query.get("current", shown)}
    query = f"hull={hull}&cells={cells or ''}&current={shown}&"
    return ChoiceSheet(
        lines, hull, cells, Measure(current, "current", whose), offered, desk.page, len(found) > desk.limit,
        query, reader.errors, [cautions()["lipo_swollen"], cautions()["lipo_charging"]], values, ways_of_reading(lines),
    )  # fmt: skip


@dataclass(frozen=True)
class AgainstSheet:
    """Two packs side by side, or the choice of two."""

    pair: Against | None
    values: dict[str, str]
    said: str


@pages.sheet(
    "/packs/against",
    "items/pack_against.html",
    asks={"one": "the code of a pack", "other": "the code of another"},
)
def show_against(desk: Desk) -> AgainstSheet:
    typed = {name: desk.query.get(name, "")[:20] for name in ("one", "other")}
    found = {name: store.pack_by_code(desk.session, code) for name, code in typed.items() if code.strip()}
    missing = [typed[name] for name, pack in found.items() if pack is None]
    one, other = found.get("one"), found.get("other")
    if one is None or other is None:
        return AgainstSheet(None, typed, f"No pack has the code {missing[0]}." if missing else "")
    known = known_of(desk.session, [one, other])
    lines = [choice_line(pack, known, USUAL_CURRENT_A, desk.today) for pack in (one, other)]
    return AgainstSheet(against(lines[0], lines[1], one, other, known), typed, "")


@pages.sheet(
    "/packs/{pack_id:int}/did",
    "items/pack_did.html",
    asks={"run": "only what it did in the run of this number"},
)
def show_did(desk: Desk, pack_id: int) -> DidSheet:
    session, pack = desk.session, store.pack(desk.session, pack_id)
    one = desk.query_reader().whole("run", low=1, high=2**53)
    found = runs_on_pack(session, pack, limit=RUNS_SHOWN + 1, offset=(desk.page - 1) * RUNS_SHOWN, run_id=one)
    facts = line_facts(session, [run for run, _ in found])
    stood = {run_id: on.standing for run_id, used in facts.packs.items() for on in used if on.pack.id == pack_id}
    rows = [(line_of(run, facts), stood[run.id], use) for run, use in found]
    retire = facts.retire.get(pack_id, "") if found else retire_word(session, pack_id)
    return did_sheet(pack, rows, desk.page, RUNS_SHOWN, retire=retire, only=one is not None)
