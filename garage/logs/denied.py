"""Figures of a log that contradicts itself, kept for the runs they may have become the speed of."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from sqlmodel import Session

from garage.calc.track.agreement import DISPUTED
from garage.calc.track.measure import Measures
from garage.logs.tables import LogFile, LogPiece
from garage.runs.denied_store import drop_denied, keep_denied

_KMH = 3.6


def denied_kmh(measures: Measures) -> list[float]:
    """What the receiver says where its places deny it, in km/h as a run would store it."""
    speeds = [one.speed_ms for one in measures.denied]
    if measures.agreement.by == "ratio":
        # All of it reads too high, so what its passes show does as well; what the places may say stays free.
        of_passes = [speed for one in measures.passes for speed in (one.peak_ms, one.course_ms) if speed is not None]
        speeds += [speed for speed in of_passes if speed > (measures.agreement.places_ms or 0.0)]
    return sorted({round(speed * _KMH, 2) for speed in speeds})


def note_denied(
    session: Session, row: LogFile, pieces: Sequence[LogPiece], earlier: Mapping[int, Iterable[float]] | None = None
) -> None:
    """Keep what the pieces of a log contradict themselves in, for the runs they belong to; figures that hold now are
    dropped. `earlier` are figures that a piece had shown before, by its number."""
    for piece in pieces:
        if piece.run_id is None:
            continue
        found = json.loads(piece.found)
        if found.get("agreement") == DISPUTED:
            said = found["witnesses"]
            figures = {*found.get("denied_kmh", ()), *(earlier or {}).get(piece.number, ())}
            keep_denied(session, piece.run_id, row.id, figures, said["receiver_kmh"], said["places_kmh"])
        else:
            drop_denied(session, piece.run_id, row.id, figures_of(found))


def figures_of(found: Mapping[str, Any]) -> list[float]:
    """The speeds that a piece shows, as a run would store them."""
    both = found.get("two_way") or {}
    shown = (found.get("top_speed_kmh"), both.get("speed_kmh"), found.get("peak_kmh"))
    return [round(speed, 2) for speed in shown if speed is not None and round(speed, 2) > 0]
