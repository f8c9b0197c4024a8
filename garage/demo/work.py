"""Writing down the demo's workshop: modifications with their steps, visits, care, and lines on lists."""

from collections.abc import Iterable, Mapping
from typing import Any

from sqlmodel import Session

from garage.demo.clock import after, moment
from garage.demo.names import Names
from garage.demo.typed import typed
from garage.hulls.forms import ChecklistFormData
from garage.hulls.store import add_checklist_line, hull
from garage.modifications.forms import read_modification
from garage.modifications.step_forms import read_step
from garage.modifications.step_store import add_step, tick_step
from garage.modifications.store import add_modification, drop
from garage.modifications.visit_store import keep_visit
from garage.reference import materials
from garage.runs import rests_store
from garage.services.store import add_service, keep_rules
from garage.states.fold import EMPTY, ChangeFormData
from garage.states.store import state_at, state_content
from garage.states.visit_forms import OnOffer, VisitFormData, damage_field, read_visit

_NOTHING_ON_OFFER = OnOffer({}, {}, {})


def write_work(session: Session, story: Mapping[str, Any], names: Names) -> None:
    """Everything that was done in the workshop, and in the order in which it was done on each hull."""
    for row in story["modification"]:
        _write_modification(session, row, names)
    for row in story["visit"]:
        _write_visit(session, row, names)
    for row in story["service"]:
        at = moment(row["at"])
        form = {name: row[name] for name in ("kind", "place", "note") if name in row}
        add_service(session, names.hulls[row["hull"]], form | {"at": at.utc, "offset_min": at.offset_min}, at)
    for hull_name, hull_id in names.hulls.items():
        rules = [
            {"kind": row["kind"], "runs": int(row["runs"]), "minutes": None}
            for row in story["service_rule"]
            if row["hull"] == hull_name
        ]
        keep_rules(session, hull_id, rules)
    for row in story["checklist"]:
        add_checklist_line(session, names.hulls[row["hull"]], ChecklistFormData(row["checklist"], row["text"]))


def _write_modification(session: Session, row: Mapping[str, Any], names: Names) -> None:
    written = moment(row["written"])
    new = add_modification(session, names.hulls[row["hull"]], read_modification(typed(row)), written)
    names.modifications[f"{row['hull']}/{row['title']}"] = new.id
    for step in row.get("step", []):
        material = materials()[step["material"]].name if "material" in step else ""
        form = read_step(typed(step, material=material, adds_mass="yes"), {})
        done = moment(step["done"]) if "done" in step else None
        made = add_step(session, new.id, form, done or after(written, 1))
        if done:
            tick_step(session, made.id, done.utc, rests_store)
    if "dropped" in row:
        drop(session, new.id, moment(row["dropped"]), row["dropped_reason"])
    session.flush()


def _write_visit(session: Session, row: Mapping[str, Any], names: Names) -> None:
    hull_id, at = names.hulls[row["hull"]], moment(row["at"])
    changes = [
        *(ChangeFormData("take off", modification_id=found) for found in _modifications(row, "off", names)),
        *(ChangeFormData("take out", part_id=names.parts[code]) for code in row.get("out", [])),
        *(ChangeFormData("fit", modification_id=found) for found in _modifications(row, "fit", names)),
        *(_install(words, names) for words in row.get("install", [])),
        *typed_changes(session, row, hull_id),
    ]
    keep_visit(session, hull_id, VisitFormData(tuple(changes), at, row.get("note", "")), at, rests_store)


def _modifications(row: Mapping[str, Any], act: str, names: Names) -> Iterable[int]:
    return [names.modifications[f"{row['hull']}/{title}"] for title in row.get(act, [])]


def _install(words: str, names: Names) -> ChangeFormData:
    code, _, place = words.partition(" ")
    return ChangeFormData("install", place or "single", part_id=names.parts[code])


def typed_changes(session: Session, row: Mapping[str, Any], hull_id: int) -> tuple[ChangeFormData, ...]:
    """Settings, damage and repairs, read by the form itself, which knows datums and what belongs together."""
    texts = _setting_texts(row.get("set", {}))
    if "damage" in row:
        texts["damage_1"] = row["damage"]
    if "repair" in row:
        texts[damage_field(f"{row['repair']}@single")] = "yes"
    if not texts:
        return ()
    then = state_at(session, hull_id, moment(row["at"]).utc)
    content = state_content(then) if then else EMPTY
    reader = typed(texts, at=row["at"])
    return read_visit(reader, texts, hull(session, hull_id), content, _NOTHING_ON_OFFER).changes


def _setting_texts(settings: Mapping[str, Any]) -> dict[str, str]:
    texts = {}
    for key, value in settings.items():
        if key == "balance_point":
            texts["set_balance_percent"] = str(value)
            continue
        for place, at_place in (value if isinstance(value, dict) else {"single": value}).items():
            texts[f"set_{key}_{place}"] = str(at_place)
    return texts
