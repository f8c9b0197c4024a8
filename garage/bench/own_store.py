"""What a person's other props did on the hull of a run, read the same way with the same motor and as many cells."""

from collections.abc import Sequence
from statistics import fmean

from sqlmodel import Session, col, select

from garage.bench.figures import Figure
from garage.bench.sides import SIDES, USUAL_SIDE, packs_on
from garage.calc.pack import mean_current_a
from garage.calc.whatif import MOST_OWN
from garage.db.in_ids import in_
from garage.props.tables import PropEdition
from garage.runs.counting import does_not_count
from garage.runs.denied_store import is_denied
from garage.runs.store import packs_of
from garage.runs.tables import Run, RunPack, RunProp
from garage.states.fold import Content
from garage.states.store import state_content
from garage.states.tables import BuildState

_MOST_OWN_RUNS = 300


def own_props(
    session: Session, found: Run, edition_id: int | None, shares: int | None, side: str = USUAL_SIDE
) -> dict[str, Figure]:
    """Other props on the hull of a run, one a line, the one run with last first; `shares` motors share a
    pack, None when the currents of other runs are not of the kind that this one's is.

    Of a boat with two screws it is the one on `side`. Of the latest few hundred runs that count; a prop without its
    size is left out.
    """
    alike = _least_changed(_alike(session, found, side), found, edition_id)
    packs = packs_of(session, {run.id for _, run in alike if run.id})
    charges = {run_id: _charge_mah(uses, side) for run_id, uses in packs.items()}
    speeds: dict[int, list[float]] = {}
    currents: dict[int, list[float]] = {}
    for edition, run in alike:
        speeds.setdefault(edition, []).append(run.speed_kmh or 0.0)
        charge = charges.get(run.id)
        if charge and run.duration_s and shares:
            currents.setdefault(edition, []).append(mean_current_a(charge, run.duration_s) / shares)
    rows = {row.id: row for row in session.exec(select(PropEdition).where(in_(col(PropEdition.id), speeds)))}
    lines = [
        _line(rows[one], fmean(speeds[one]), fmean(currents[one]) if one in currents else None)
        for one in speeds
        if one in rows and rows[one].diameter_mm and rows[one].pitch_mm
    ]
    if not lines:
        return {}
    is_same = all(run.state_id == found.state_id for _, run in alike)
    state = "in the same build state" if is_same else "in other build states, which moves the speed as well"
    origin = f"other props on this hull with this motor, read the same way, {state}: means of the runs that count"
    return {"own": Figure("\n".join(lines[:MOST_OWN]), origin)}


def _alike(session: Session, found: Run, side: str) -> list[tuple[int, Run]]:
    asked = (
        select(RunProp.edition_id, Run)
        .join(Run, col(Run.id) == col(RunProp.run_id))
        .where(
            Run.hull_id == found.hull_id,
            Run.speed_how == found.speed_how,
            Run.ways == found.ways,
            Run.cells_s == found.cells_s,
            col(Run.set_aside_at).is_(None),
            col(Run.speed_kmh).is_not(None),
            col(RunProp.place).not_in([one for one in SIDES if one != side]),
            ~does_not_count(),
            ~is_denied(),
        )
        .order_by(col(Run.started_at).desc())
        .limit(_MOST_OWN_RUNS)
    )
    rows = [(edition, run) for edition, run in session.exec(asked)]
    wanted = {run.state_id for _, run in rows} | {found.state_id}
    states = session.exec(select(BuildState).where(in_(col(BuildState.id), wanted)))
    motors = {row.id: motors_in(state_content(row)) for row in states}
    return [(edition, run) for edition, run in rows if motors[run.state_id] == motors[found.state_id]]


def _least_changed(alike: Sequence[tuple[int, Run]], found: Run, edition_id: int | None) -> list[tuple[int, Run]]:
    """Runs with other props: those of the same build state if there are any, since a modification moves the speed as
    much as a prop does."""
    others = [(edition, run) for edition, run in alike if edition != edition_id]
    return [one for one in others if one[1].state_id == found.state_id] or others


def motors_in(content: Content) -> list[int]:
    """The motors on a boat, by their pieces of hardware."""
    return sorted(entry.get("part_id", 0) for entry in content.parts.values() if entry.get("kind") == "motor")


def _charge_mah(uses: Sequence[RunPack], side: str) -> float | None:
    """What went through the motors of one pack, of packs in parallel together, or of one side."""
    charges = [use.charge_mah for use in packs_on(uses, side)]
    if not uses or uses[0].wiring != "parallel":
        return charges[0] if charges else None
    return sum(one for one in charges if one) if all(charges) else None


def _line(edition: PropEdition, speed_kmh: float, current_a: float | None) -> str:
    text = f"{edition.diameter_mm:.10g};{edition.pitch_mm:.10g};{speed_kmh:.4g}"
    return f"{text};{current_a:.4g}" if current_a is not None else text
