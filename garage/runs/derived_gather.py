"""Gathers what a run's slip, C-rate and heat are worked out from."""

import json
from collections.abc import Iterable, Mapping, Sequence
from statistics import fmean
from typing import Any

from sqlmodel import Session, col, select

from garage.db.in_ids import in_
from garage.drives.tables import Part
from garage.handed_down import MeasuredSlip
from garage.measures import Measure
from garage.packs.tables import Pack, PackReading
from garage.props.tables import PropEdition
from garage.runs.derived import PackLook, RunLook, pack_lines, slip_lines
from garage.runs.store import packs_of, props_of
from garage.runs.tables import Run, RunPack, RunProp
from garage.states.fold import split_place
from garage.states.store import state, state_content
from garage.states.tables import BuildState

_MOTOR_FIGURES = ("kv_stated", "kv_measured", "resistance_mohm", "no_load_current_a")


def derived(
    session: Session,
    run: Run,
    props: list[RunProp],
    uses: list[tuple[RunPack, Pack]],
    measured_slip: MeasuredSlip,
) -> list[tuple[str, Measure]]:
    """What follows from a run, as far as what it needs is known: slip by a measured shaft speed where it is logged,
    else the apparent one, of a boat with two screws on each side."""
    made_with, lines = state(session, run.state_id), list(measured_slip(session, run.id))
    # A measured slip and an apparent one are not to be compared: where the one is known, the other is not told.
    for one in [] if lines else sorted(props, key=lambda prop: prop.place):
        edition, motor = session.get(PropEdition, one.edition_id), motor_of(session, made_with, one.place)
        side = "" if len(props) == 1 else one.place
        lines += slip_lines(_run_look(run, edition, motor, _on_side([use for use, _ in uses], one.place)), side)
    for use, pack in uses:
        lines += pack_lines(run.duration_s, _pack_look(session, run, use, pack))
    return lines


def slips(session: Session, runs: Sequence[Run], prop_id: int) -> dict[int, tuple[Measure, Measure]]:
    """Apparent pitch speed and slip of one prop in some runs, by run, where its size, Kv, volts and speed are known.

    The number of queries does not depend on how many runs there are.
    """
    ids = [run.id for run in runs]
    props, uses = props_of(session, ids), packs_of(session, ids)
    wanted = {one.edition_id for found in props.values() for one in found}
    editions = {row.id: row for row in session.exec(select(PropEdition).where(in_(col(PropEdition.id), wanted)))}
    state_ids = {run.state_id for run in runs}
    made_with = {row.id: row for row in session.exec(select(BuildState).where(in_(col(BuildState.id), state_ids)))}
    turned = {
        run_id: next((one for one in found if editions[one.edition_id].prop_id == prop_id), None)
        for run_id, found in props.items()
    }
    motors = {
        run.id: _motor_in(made_with[run.state_id], one.place) for run in runs if run.id and (one := turned.get(run.id))
    }
    parts = _parts(session, motors.values())
    told = {}
    for run in runs:
        one = turned.get(run.id)
        if run.id is None or one is None:
            continue
        motor = motors[run.id]
        on_side = _on_side(uses.get(run.id, []), one.place)
        lines = slip_lines(_run_look(run, editions[one.edition_id], motor | _known(parts, motor), on_side))
        if len(lines) == 2:
            told[run.id] = (lines[0][1], lines[1][1])
    return told


def motor_of(session: Session, made_with: BuildState, place: str = "left") -> dict[str, Any]:
    """The motor of a state, with what is known of that piece of hardware today; of two, the one at `place`."""
    motor = _motor_in(made_with, place)
    return motor | _known(_parts(session, [motor]), motor)


def _motor_in(made_with: BuildState, place: str) -> dict[str, Any]:
    motors = {key: entry for key, entry in state_content(made_with).parts.items() if entry["kind"] == "motor"}
    at_place = (entry for key, entry in motors.items() if split_place(key)[1] == place)
    return dict(next(at_place, next(iter(motors.values()), {})))


def _on_side(uses: Sequence[RunPack], place: str) -> Sequence[RunPack]:
    """The packs of that side where each side has its own; else all of them."""
    return [use for use in uses if use.wiring == place] or uses


def _parts(session: Session, motors: Iterable[Mapping[str, Any]]) -> dict[int, Part]:
    ids = {motor["part_id"] for motor in motors if "part_id" in motor}
    return {row.id: row for row in session.exec(select(Part).where(in_(col(Part.id), ids)))}


def _known(parts: Mapping[int, Part], motor: Mapping[str, Any]) -> dict[str, Any]:
    """Kv and the like were measured later on many a motor: it is the same motor, so they count."""
    row = parts.get(motor.get("part_id", 0))
    figures = {name: getattr(row, name) for name in _MOTOR_FIGURES} if row else {}
    return {name: figure for name, figure in figures.items() if figure is not None}


def _run_look(run: Run, edition: PropEdition | None, motor: Mapping[str, Any], uses: Sequence[RunPack]) -> RunLook:
    measured = motor.get("kv_measured")
    return RunLook(
        run.speed_kmh,
        run.duration_s,
        edition.diameter_mm if edition else None,
        edition.pitch_mm if edition else None,
        measured or motor.get("kv_stated"),
        "measured" if measured else "stated",
        _motor_volts(uses),
    )


def _motor_volts(uses: Sequence[RunPack]) -> float | None:
    """Rested volts that one motor had: packs in series add up, any other wiring gives each motor one pack's."""
    volts = [use.rested_v for use in uses]
    if not volts or volts[0] is None:
        return None
    if uses[0].wiring != "series":
        return volts[0]
    known = [volt for volt in volts if volt is not None]
    return sum(known) if len(known) == len(volts) else None


def _pack_look(session: Session, run: Run, use: RunPack, pack: Pack) -> PackLook:
    reading = session.exec(
        select(PackReading)
        .where(
            PackReading.pack_id == use.pack_id,
            PackReading.at <= run.started_at,
            # By alternating current a cell reads lower than it does under load: of no use for heat.
            PackReading.method != "AC 1 kHz",
            col(PackReading.set_aside_at).is_(None),
        )
        .order_by(col(PackReading.at).desc())
        .limit(1)
    ).first()
    return PackLook(
        pack.code,
        pack.cells_s,
        pack.capacity_measured_mah or pack.capacity_mah,
        pack.mass_g,
        use.rested_v,
        use.charge_mah,
        fmean(json.loads(reading.cells_mohm)) if reading else None,
    )
