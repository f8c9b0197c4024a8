"""Queries and writes of steps, and of the materials a person wrote down."""

from collections.abc import Iterable, Mapping, Sequence

from sqlalchemy import func, update
from sqlmodel import Session, col, select

from garage.corrections import store as corrections
from garage.corrections.tables import Correction
from garage.errors import Conflict, NotFound
from garage.fields.definition import FormData
from garage.handed_down import Rests
from garage.modifications.step_corrections import corrected, wanted_corrections
from garage.modifications.step_forms import Mend, known_densities
from garage.modifications.tables import Modification, OwnMaterial, Step
from garage.moments import Moment

_MOST_OWN_MATERIALS = 300
_STAYS_TICKED = "This step is part of what was fitted, so it stays ticked: say when it was done."


def step(session: Session, step_id: int) -> Step:
    """One step as it was first written. Raises NotFound."""
    found = session.get(Step, step_id)
    if found is None:
        raise NotFound("There is no such step in this notebook.")
    return found


def steps(session: Session, modification_id: int) -> list[Step]:
    """The steps of a modification in order, without those set aside."""
    return steps_of_several(session, [modification_id]).get(modification_id, [])


def steps_of_several(session: Session, modification_ids: Iterable[int]) -> dict[int, list[Step]]:
    """The steps of some modifications in order, without those set aside."""
    rows = session.exec(
        select(Step)
        .where(col(Step.modification_id).in_(list(modification_ids)), col(Step.set_aside_at).is_(None))
        .order_by(col(Step.modification_id), col(Step.position), col(Step.id))
    )
    found: dict[int, list[Step]] = {}
    for row in rows:
        found.setdefault(row.modification_id, []).append(row)
    return found


def steps_set_aside(session: Session, modification_id: int) -> list[Step]:
    """The steps that were set aside, latest first."""
    aside = col(Step.set_aside_at)
    rows = select(Step).where(Step.modification_id == modification_id, aside.is_not(None))
    return list(session.exec(rows.order_by(aside.desc()).limit(100)))


def corrections_of(session: Session, step_ids: Iterable[int]) -> dict[int, list[Correction]]:
    """What was mended on some steps, by step."""
    return corrections.corrections_of(session, "step", list(step_ids))


def as_mended(rows: Sequence[Step], mended: Mapping[int, list[Correction]]) -> list[Step]:
    """`rows` as they read with their corrections: copies where something was mended, not to be written to."""
    return [corrected(row, mended.get(row.id, [])) for row in rows]


def mended_steps_of_several(session: Session, modification_ids: Iterable[int]) -> dict[int, list[Step]]:
    """The steps of some modifications in order, as they read with what was mended."""
    written = steps_of_several(session, modification_ids)
    mended = corrections_of(session, [row.id for rows in written.values() for row in rows])
    return {modification_id: as_mended(rows, mended) for modification_id, rows in written.items()}


def own_materials(session: Session) -> dict[str, float]:
    """Density in kg/m³ of the person's own materials by name."""
    rows = select(OwnMaterial).order_by(col(OwnMaterial.name)).limit(_MOST_OWN_MATERIALS)
    return {row.name: row.density_kg_m3 for row in session.exec(rows)}


def add_step(session: Session, modification_id: int, form: FormData, at: Moment) -> Step:
    """Write down a step after the last one. Raises NotFound."""
    if session.get(Modification, modification_id) is None:
        raise NotFound("There is no such modification in this notebook.")
    last = session.exec(select(func.max(Step.position)).where(Step.modification_id == modification_id)).one()
    position = 1 if last is None else last + 1
    new = Step(modification_id=modification_id, position=position, created_at=at.utc, **form)
    session.add(new)
    session.flush()
    _remember_material(session, new, at)
    return new


def change_step(session: Session, step_id: int, form: FormData, at: Moment, rests: Rests) -> Step:
    """Write a step's facts anew. Raises NotFound, Conflict if a run rests on it."""
    kept = _open_step(session, step_id, rests)
    if kept.in_change_id is not None and form["done_at"] is None:
        raise Conflict(_STAYS_TICKED)
    kept.sqlmodel_update(dict(form))
    session.add(kept)
    _remember_material(session, kept, at)
    return kept


def tick_step(session: Session, step_id: int, at: str | None, rests: Rests) -> Step:
    """Mark a step done at a time in UTC, or not done with None. Raises Conflict if it is on the boat."""
    kept = _open_step(session, step_id, rests)
    if kept.in_change_id is not None:
        raise Conflict(_STAYS_TICKED)
    kept.done_at = at
    session.add(kept)
    return kept


def set_step_aside(session: Session, step_id: int, at: str | None, rests: Rests) -> Step:
    """Put a step aside at a time in UTC, or bring it back with None. Raises Conflict if a run rests on it."""
    kept = _open_step(session, step_id, rests)
    kept.set_aside_at = at
    session.add(kept)
    return kept


def move_step(session: Session, step_id: int, by: int, rests: Rests) -> Step:
    """Change places with the step before (`by` -1) or after (+1); at either end nothing happens.

    Raises Conflict if a run rests on one of the two.
    """
    kept = _open_step(session, step_id, rests)
    order = steps(session, kept.modification_id)
    index = next((place for place, row in enumerate(order) if row.id == step_id), None)
    if index is None or not 0 <= index + by < len(order):
        return kept
    other = order[index + by]
    if other.id in rests.frozen_steps(session, [kept.modification_id]):
        raise Conflict("A run rests on the step that it would change places with.")
    kept.position, other.position = other.position, kept.position
    session.add_all([kept, other])
    return kept


def take_in_steps(session: Session, change_id: int, rows: Iterable[Step]) -> None:
    """Note that a change brought some steps onto the boat, as far as they are done; one that came with an earlier one
    stays."""
    for row in rows:
        if row.done_at is not None and row.in_change_id is None:
            row.in_change_id = change_id
    session.flush()


def mend_step(session: Session, step_id: int, mend: Mend, at: Moment) -> int:
    """Record a correction for every field that reads otherwise now; how many there were.

    Raises NotFound, and Conflict if nothing differs.
    """
    [now] = as_mended([step(session, step_id)], corrections_of(session, [step_id]))
    # What is on the boat was done, so a time left open says nothing else than the one that stands there.
    wanted = wanted_corrections(now, {**mend.step, "done_at": mend.step["done_at"] or now.done_at})
    if not wanted:
        raise Conflict("Nothing differs from what stands there: change the field that was a slip.")
    for field, old, new in wanted:
        corrections.add_correction(session, "step", step_id, field, old, new, mend.why, at)
    return len(wanted)


def _open_step(session: Session, step_id: int, rests: Rests) -> Step:
    kept = step(session, step_id)
    if kept.in_change_id is not None and step_id in rests.frozen_steps(session, [kept.modification_id]):
        raise Conflict("A run rests on this step, so it stays as it is. A mistake can be mended.")
    return kept


def _remember_material(session: Session, step: Step, at: Moment) -> None:
    """Keep a material that is not in the table, with its density, to offer it the next time."""
    if not step.material or step.density_kg_m3 is None or step.material in known_densities({}):
        return
    kept = session.exec(select(OwnMaterial).where(OwnMaterial.name == step.material)).first()
    if kept is None:
        kept = OwnMaterial(name=step.material, density_kg_m3=step.density_kg_m3, created_at=at.utc)
    kept.density_kg_m3 = step.density_kg_m3
    session.add(kept)


def release_steps(session: Session, change_ids: list[int]) -> None:
    """Let go the steps that some changes took onto the boat: those changes are taken back."""
    session.connection().execute(
        update(Step).where(col(Step.in_change_id).in_(change_ids)).values(in_change_id=None)  # type: ignore[call-overload]
    )
