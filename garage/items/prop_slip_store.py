"""The slip that a prop really had, run by run, beside the speed its pitch would give."""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass

from sqlmodel import Session, col, select

from garage.calc.prop import pitch_speed_kmh, slip
from garage.db.in_ids import in_
from garage.logs.pieces.logged_drive import logged_drive, with_shaft_speed
from garage.measures import Measure
from garage.props.tables import PropEdition
from garage.records.store import runs_by_id
from garage.runs.derived_gather import slips
from garage.runs.lines.line import RunLine
from garage.runs.tables import RunProp

_MOST_RUNS = 8


@dataclass(frozen=True)
class SlipLine:
    """One run: what it did, what the pitch would give at the shaft speed, and the slip between; `basis` says whether
    the shaft speed was measured, or is apparent: reckoned from Kv and volts."""

    run: RunLine
    speed: Measure
    pitch_speed: Measure
    slip: Measure
    basis: str


def slips_of(session: Session, prop_id: int, lines: Sequence[RunLine]) -> list[SlipLine]:
    """Slip of a prop in the first few of some runs: measured where a log has the shaft speed, else apparent; those of
    which it cannot be reckoned left out."""
    ids = [line.id for line in lines if line.speed.value is not None and not line.set_aside][:_MOST_RUNS]
    apparent = slips(session, runs_by_id(session, ids), prop_id)
    pitches = _pitches_mm(session, prop_id, with_shaft_speed(session, ids))
    found = []
    for line in lines:
        measured = _measured(session, line, pitches)
        if measured is not None:
            found.append(measured)
        elif line.id in apparent:
            found.append(SlipLine(line, line.speed, *apparent[line.id], "apparent"))
    return found


def _pitches_mm(session: Session, prop_id: int, run_ids: Collection[int]) -> Mapping[int, float]:
    asked = (
        select(RunProp.run_id, PropEdition.pitch_mm)
        .join(PropEdition, col(PropEdition.id) == col(RunProp.edition_id))
        .where(PropEdition.prop_id == prop_id, in_(col(RunProp.run_id), run_ids))
    )
    return {run_id: pitch_mm for run_id, pitch_mm in session.exec(asked) if pitch_mm}


def _measured(session: Session, line: RunLine, pitches: Mapping[int, float]) -> SlipLine | None:
    logged = logged_drive(session, line.id) if line.id in pitches else None
    if logged is None or not logged.shaft_rpm:
        return None
    how = f"log {logged.log}: shaft speed measured, mean over two seconds"
    pitch_speed = pitch_speed_kmh(logged.shaft_rpm, pitches[line.id])
    share = slip(logged.speed_kmh, pitch_speed)
    caution = "faster than its pitch: look at pitch and speed" if share < 0 else ""
    return SlipLine(
        line,
        Measure(logged.speed_kmh, "speed", "log, mean over two seconds"),
        Measure(pitch_speed, "speed", how),
        Measure(share * 100, "percent", how, caution),
        "measured",
    )
