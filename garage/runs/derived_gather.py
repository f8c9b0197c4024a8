"""Gathers what a run's slip, C-rate and heat are worked out from."""

import json
from collections.abc import Iterable, Mapping, Sequence
from statistics import fmean
from typing import Any

from sqlalchemy import text
from sqlmodel import Session, col, select

from garage.db.in_ids import in_
from garage.drives.kinds import PARTS
from garage.drives.tables import Part
from garage.handed_down import MeasuredSlip
from garage.inventory.store import standing_for
from garage.measures import Measure
from garage.packs.tables import Pack
from garage.props.tables import PropEdition
from garage.runs.derived import PackLook, RunLook, pack_lines, slip_lines
from garage.runs.store import packs_of, props_of
from garage.runs.tables import Run, RunPack, RunProp
from garage.states.fold import split_place
from garage.states.store import state, state_content
from garage.states.tables import BuildState

# By alternating current a cell reads lower than it does under load: of no use for heat.
_LATEST_READING = text("""
    SELECT reading.pack_id, reading.cells_mohm
    FROM json_each(:ids) AS asked JOIN pack_reading AS reading ON reading.id = (
        SELECT id FROM pack_reading WHERE pack_id = asked.value AND at <= :utc AND method <> 'AC 1 kHz'
               AND set_aside_at IS NULL ORDER BY at DESC LIMIT 1)
""")
_MOTOR_FIGURES = ("kv_stated", "kv_measured", "resistance_mohm", "no_load_current_a")


def derived(
    session: Session,
    run: Run,
    props: Sequence[tuple[RunProp, PropEdition]],
    uses: Sequence[tuple[RunPack, Pack]],
    measured_slip: MeasuredSlip,
) -> list[tuple[str, Measure]]:
    """What follows from a run, as far as what it needs is known: slip by a measured shaft speed where it is logged,
    else the apparent one, of a boat with two screws on each side."""
    lines = list(measured_slip(session, run.id))
    # A measured slip and an apparent one are not to be compared: where the one is known, the other is not told.
    if not lines:
        lines = _apparent_slip_lines(session, run, props, [use for use, _ in uses])
    readings = _latest_readings(session, [pack.id for _, pack in uses], run.started_at) if uses else {}
    for use, pack in uses:
        lines += pack_lines(run.duration_s, _pack_look(use, pack, readings.get(pack.id)))
    return lines


def _apparent_slip_lines(
    session: Session, run: Run, props: Sequence[tuple[RunProp, PropEdition]], uses: Sequence[RunPack]
) -> list[tuple[str, Measure]]:
    if not props:
        return []
    made_with = state(session, run.state_id)
    motors = {use.place: _motor_in(made_with, use.place) for use, _ in props}
    parts = _parts(session, motors.values())
    lines = []
    for use, edition in sorted(props, key=lambda prop: prop[0].place):
        motor = motors[use.place] | _known(parts, motors[use.place])
        look = _run_look(run, edition, motor, _on_side(uses, use.place))
        lines += slip_lines(look, "" if len(props) == 1 else use.place)
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
    found = {row.id: row for row in session.exec(select(Part).where(in_(col(Part.id), ids)))}
    return {part_id: standing_for(session, PARTS, row) or row for part_id, row in found.items()}


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


def _latest_readings(session: Session, pack_ids: Iterable[int], utc: str) -> dict[int, list[float]]:
    """The cells, in mohm, of the latest reading of each pack up to a moment."""
    rows = session.execute(_LATEST_READING, {"ids": json.dumps(sorted(set(pack_ids))), "utc": utc})
    return {pack_id: json.loads(cells) for pack_id, cells in rows}


def _pack_look(use: RunPack, pack: Pack, cells_mohm: list[float] | None) -> PackLook:
    return PackLook(
        pack.code,
        pack.cells_s,
        pack.capacity_measured_mah or pack.capacity_mah,
        pack.mass_g,
        use.rested_v,
        use.charge_mah,
        fmean(cells_mohm) if cells_mohm else None,
    )
