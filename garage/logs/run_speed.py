"""A speed measured in a log, written as the run's own; what stood there before is kept as a correction."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from sqlmodel import Session

from garage.moments import Moment
from garage.runs.entry.change_store import change_run, form_of
from garage.runs.store import run


def write_speed(session: Session, run_id: int, offer: Mapping[str, Any], log_name: str, at: Moment) -> None:
    """Write an offer of a log as the speed of a run. Raises NotFound."""
    form = form_of(session, run(session, run_id))
    read = {column: offer[column] for column in ("speed_kmh", "ways", "averaging_s", "course_m", "passes")}
    facts = {**form.facts, "speed_how": "log", **read}
    change_run(session, run_id, replace(form, facts=facts, speed_typed=""), f"measured in the log {log_name}", at, form)
