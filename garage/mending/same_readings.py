"""What is said of props, waters, hardware and packs themselves, and which of them steps touch."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from sqlmodel import Session, col, func, select

from garage.corrections.same_store import all_ids
from garage.db.in_ids import in_, rows_by_ids
from garage.fields.showing import in_words
from garage.mending.readings import Readings, Thing
from garage.mending.same_kinds import KINDS, SameKind
from garage.mending.same_steps import COUNTED, runs_on
from garage.mending.steps import Handed, Put, Same, Step
from garage.moments import Moment
from garage.packs.ageing.sheets import ageing_sheet
from garage.packs.ageing.store import history
from garage.packs.store import packs_by_ids
from garage.packs.tables import PackLog, PackReading
from garage.packs.verdict_store import verdicts
from garage.props.store import editions
from garage.props.tables import PropEdition
from garage.runs.tables import RunPack, RunProp
from garage.units import DisplayUnits, show

_GROUPS = {"pack": "Packs", "prop": "Props", "water": "Waters", "part": "Drives"}
_PACK_TABLES = ("pack_log", "pack_reading")


@dataclass(frozen=True)
class Touched:
    """The things of these kinds that steps touch, by kind."""

    ids: Mapping[str, frozenset[int]]

    def of(self, kind: str) -> frozenset[int]:
        """Those of one kind."""
        return self.ids.get(kind, frozenset())


def touched(session: Session, steps: Sequence[Step]) -> Touched:
    """The things that are joined or parted by steps, or whose facts, log lines or readings they change."""
    ids: dict[str, set[int]] = {kind: set() for kind in KINDS}
    for step in steps:
        if isinstance(step, Same) and step.kind in ids:
            ids[step.kind] |= {step.gone_id, step.kept_id}
        elif isinstance(step, Put) and step.owner in ids:
            ids[step.owner].add(step.row_id)
        elif isinstance(step, Handed) and step.table in _PACK_TABLES:
            ids["pack"] |= {int(step.old), int(step.new)}
    ids["pack"] |= _packs_of_lines(session, [step for step in steps if isinstance(step, Put)])
    return Touched({kind: frozenset(found) for kind, found in ids.items()})


def _packs_of_lines(session: Session, steps: Iterable[Put]) -> set[int]:
    """The packs whose log lines or readings are put right."""
    found: set[int] = set()
    for owner, table in (("pack_log", PackLog), ("reading", PackReading)):
        mine = [step for step in steps if step.owner == owner]
        rows: Mapping[int, Any] = rows_by_ids(session, table, {step.row_id for step in mine})
        found |= {row.pack_id for row in rows.values()}
        found |= {pack_id for step in mine for pack_id in (step.old.get("pack_id"), step.new.get("pack_id")) if pack_id}
    return found


def runs_with(session: Session, things: Touched) -> set[int]:
    """The runs made with these packs and props: what is told of them may read otherwise."""
    packs = session.exec(select(RunPack.run_id).where(in_(RunPack.pack_id, things.of("pack")))).all()
    mine = select(PropEdition.id).where(in_(PropEdition.prop_id, things.of("prop")))
    props = session.exec(select(RunProp.run_id).where(col(RunProp.edition_id).in_(mine))).all()
    return {*packs, *props}


def said_of(session: Session, things: Touched, units: DisplayUnits, now: Moment) -> Readings:
    """What is said of these things now."""
    found: Readings = {}
    for kind in KINDS.values():
        wanted = things.of(kind.name)
        if not wanted:
            continue
        stands_for = all_ids(session, kind.name, wanted)
        counts = runs_on(session, kind.name, stands_for)
        for thing_id, row in sorted(rows_by_ids(session, kind.collection.table, wanted).items()):
            called = kind.called(row)
            thing = Thing(_GROUPS[kind.name], f"{kind.collection.url}/{thing_id}", called[0].upper() + called[1:])
            found[thing] = _facts(kind, row, units) | {COUNTED[kind.name]: str(counts.get(thing_id, 0))}
            if stands_for.get(thing_id, thing_id) != thing_id:
                kept = session.get(kind.collection.table, stands_for[thing_id])
                found[thing]["in the lists"] = f"no: the same as {kind.called(kept)}"
    _add_editions(session, things.of("prop"), found, units)
    _add_ageing(session, things.of("pack"), found, units, now)
    return found


def _facts(kind: SameKind, row: Any, units: DisplayUnits) -> dict[str, str]:
    told = {"in the lists": "no" if row.retired_on else "yes"}
    for field in (*kind.compared(row), *(one for one in kind.fields(row) if one.name == "notes")):
        value = getattr(row, field.column)
        told[field.in_sentence] = in_words(field, "" if value is None else str(value), units)
    return told


def _add_editions(session: Session, ids: Iterable[int], found: Readings, units: DisplayUnits) -> None:
    for prop_id in ids:
        for one in reversed(editions(session, prop_id)):
            size = " × ".join(
                str(show(figure, "length", units.unit("length")))
                for figure in (one.diameter_mm, one.pitch_mm) if figure is not None
            )  # fmt: skip
            words = ", ".join(filter(None, (one.reworks, size)))
            found[Thing("Props", f"/props/{prop_id}", "")][f"edition {one.number}"] = words


def _add_ageing(session: Session, ids: Iterable[int], found: Readings, units: DisplayUnits, now: Moment) -> None:
    packs, verdict = packs_by_ids(session, ids), verdicts(session, ids)
    read = dict(
        session.exec(
            select(PackReading.pack_id, func.count())
            .where(in_(PackReading.pack_id, ids), col(PackReading.set_aside_at).is_(None))
            .group_by(col(PackReading.pack_id))
        ).all()
    )
    for pack_id, one in packs.items():
        sheet = ageing_sheet(one, history(session, one, now), verdict[pack_id], "0", now.date(), units)
        found[Thing("Packs", f"/packs/{pack_id}", "")] |= {
            "damage": one.damage,
            "resistance readings": str(read.get(pack_id, 0)),
            "how it ages": "; ".join(f"cell {cell.number}: {cell.slope}" for cell in sheet.cells),
            "when a cell is at its limit": "; ".join(
                f"cell {cell.number}: {cell.reaches}" for cell in sheet.cells if cell.reaches
            ),
        }
