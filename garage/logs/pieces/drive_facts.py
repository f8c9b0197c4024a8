"""What a run tells about its drive, for reading slip out of a log."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from sqlmodel import Session

from garage.props.store import edition_texts
from garage.runs.store import packs_of, props_of
from garage.runs.tables import Run
from garage.states.store import state, state_content

_NOMINAL_CELL_V = 3.7


@dataclass(frozen=True)
class DriveFacts:
    """Prop pitch, motor Kv, and volts for when the log has none; empty words where nothing is known."""

    prop: str = ""
    pitch_mm: float | None = None
    kv_rpm_v: float | None = None
    kv_measured: bool = False
    volts: float | None = None
    volts_from: str = ""


def drive_facts(session: Session, run: Run) -> DriveFacts:
    """The facts of a run. With several props or motors the first that tells enough is taken."""
    uses = props_of(session, [run.id])[run.id]
    texts = edition_texts(session, {use.edition_id for use in uses})
    prop = next((texts[use.edition_id] for use in uses if texts[use.edition_id].pitch_mm), None)
    motors = [
        spec for spec in state_content(state(session, run.state_id)).parts.values() if spec.get("kind") == "motor"
    ]
    motor: Mapping[str, Any] = next((spec for spec in motors if spec.get("kv_measured") or spec.get("kv_stated")), {})
    measured = motor.get("kv_measured")
    volts, volts_from = _volts(session, run)
    return DriveFacts(
        prop.text if prop else "",
        prop.pitch_mm if prop else None,
        measured or motor.get("kv_stated"),
        bool(measured),
        volts,
        volts_from,
    )


def _volts(session: Session, run: Run) -> tuple[float | None, str]:
    if not run.cells_s:
        return None, ""
    rested = [use.rested_v for use in packs_of(session, [run.id])[run.id] if use.rested_v]
    if len(rested) == 1:
        return rested[0], "rested voltage before the run, which sags under load"
    return run.cells_s * _NOMINAL_CELL_V, f"assumed {_NOMINAL_CELL_V:g} V a cell"
