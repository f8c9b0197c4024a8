"""Gathers what a run's slip, C-rate and heat are worked out from."""

import json
from collections.abc import Mapping, Sequence
from statistics import fmean
from typing import Any

from sqlmodel import Session, col, select

from garage.builds.state_store import state, state_content
from garage.builds.tables import BuildState
from garage.db.among import among
from garage.measures import Measure
from garage.packs.tables import Pack, PackReading
from garage.props.tables import PropEdition
from garage.runs.store import packs_of, props_of
from garage.runs.tables import Run, RunPack, RunProp
from garage.runs.worked_out import PackLook, RunLook, pack_lines, slip_lines


def worked_out(
    session: Session, run: Run, props: list[RunProp], uses: list[tuple[RunPack, Pack]]
) -> list[tuple[str, Measure]]:
    """What follows from a run, as far as what it needs is known. Of a boat with two screws, one side."""
    edition = session.get(PropEdition, props[0].edition_id) if props else None
    lines = slip_lines(_run_look(run, edition, state(session, run.state_id), [use for use, _ in uses]))
    for use, pack in uses:
        lines += pack_lines(run.duration_s, _pack_look(session, run, use, pack))
    return lines


def slips(session: Session, runs: Sequence[Run]) -> dict[int, tuple[Measure, Measure]]:
    """Apparent pitch speed and slip of some runs, by run, where prop, Kv, volts and speed are known.

    The number of queries does not depend on how many runs there are.
    """
    ids = [run.id for run in runs if run.id is not None]
    props, uses = props_of(session, ids), packs_of(session, ids)
    wanted = {found[0].edition_id for found in props.values()}
    editions = {row.id: row for row in session.exec(select(PropEdition).where(among(col(PropEdition.id), wanted)))}
    state_ids = {run.state_id for run in runs}
    states = {row.id: row for row in session.exec(select(BuildState).where(among(col(BuildState.id), state_ids)))}
    told = {}
    for run in runs:
        assert run.id is not None
        of_run = props.get(run.id, [])
        edition = editions.get(of_run[0].edition_id) if of_run else None
        lines = slip_lines(_run_look(run, edition, states[run.state_id], uses.get(run.id, [])))
        if len(lines) == 2:
            told[run.id] = (lines[0][1], lines[1][1])
    return told


def _run_look(run: Run, edition: PropEdition | None, made_with: BuildState, uses: Sequence[RunPack]) -> RunLook:
    parts = state_content(made_with).parts.values()
    motor: Mapping[str, Any] = next((entry for entry in parts if entry["kind"] == "motor"), {})
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
