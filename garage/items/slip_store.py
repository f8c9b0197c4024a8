"""The slip that a prop really had, run by run, beside the speed its pitch would give."""

from collections.abc import Sequence
from dataclasses import dataclass

from sqlmodel import Session

from garage.measures import Measure
from garage.records.store import runs_by_id
from garage.runs.lines import RunLine
from garage.runs.worked_out_store import slips

_MOST_RUNS = 8


@dataclass(frozen=True)
class SlipLine:
    """One run: what it did, what the pitch would give at the shaft speed reckoned, and the slip between."""

    run: RunLine
    pitch_speed: Measure
    slip: Measure


def slips_of(session: Session, prop_id: int, lines: Sequence[RunLine]) -> list[SlipLine]:
    """Slip of a prop in the first few of some runs, those of which it cannot be reckoned left out."""
    ids = [line.id for line in lines if line.speed.value is not None and not line.set_aside][:_MOST_RUNS]
    found = slips(session, runs_by_id(session, ids), prop_id)
    return [SlipLine(line, *found[line.id]) for line in lines if line.id in found]
