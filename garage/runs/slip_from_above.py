"""Slip that somebody above this room knows: a log measured the shaft speed. The app says who tells it."""

from collections.abc import Callable

from sqlmodel import Session

from garage.measures import Measure
from garage.runs.tables import Run

SlipTeller = Callable[[Session, Run], list[tuple[str, Measure]]]
_tellers: list[SlipTeller] = []


def tell_slip_by(teller: SlipTeller) -> None:
    """From now on ask `teller` for measured slip of a run, by name; it gives nothing where nothing was measured."""
    if teller not in _tellers:
        _tellers.append(teller)


def measured_slip_lines(session: Session, run: Run) -> list[tuple[str, Measure]]:
    """Pitch speed and slip of a run by a measured shaft speed, from the first that knows it; else nothing."""
    for teller in _tellers:
        if lines := teller(session, run):
            return lines
    return []
