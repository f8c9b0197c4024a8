"""The work that a build state keeps of its modifications, as it should have read."""

from collections.abc import Mapping, Sequence
from typing import Any

from sqlmodel import Session

from garage.corrections.tables import Correction
from garage.fields.forms import blank
from garage.modifications.fields import STEP_FIELDS
from garage.modifications.step_corrections import corrected
from garage.modifications.step_mass import total_mass
from garage.modifications.step_store import corrections_of
from garage.modifications.store import mass_detail, step_detail
from garage.modifications.tables import Step
from garage.states.wording import STOOD


def work_as_mended(session: Session, fitted: Sequence[Mapping[str, Any]]) -> list[Mapping[str, Any]]:
    """What some states keep of their modifications, each by the modification's id, with the slips mended in its steps.

    What a state was written with stays, and so does its fingerprint: this is how it is read. A step in which something
    was mended has with it what stood there.
    """
    steps = {step["id"] for one in fitted for detail in one.values() for step in detail.get("steps") or ()}
    slips = corrections_of(session, sorted(steps)) if steps else {}
    return [{key: _as_mended(detail, slips) for key, detail in one.items()} for one in fitted] if slips else [*fitted]


def _as_mended(detail: Mapping[str, Any], slips: Mapping[int, Sequence[Correction]]) -> Mapping[str, Any]:
    kept = detail.get("steps") or ()
    if not any(step["id"] in slips for step in kept):
        return detail
    steps = [corrected(Step(**{**blank(STEP_FIELDS), **_columns(step)}), slips.get(step["id"], ())) for step in kept]
    read = [step_detail(step) for step in steps]
    stood = [now | {STOOD: step} if step["id"] in slips else now for now, step in zip(read, kept, strict=True)]
    masses = dict.fromkeys(("mass_g", "mass_from")) if "mass_g" in detail else {}
    told = {**detail, **masses, "steps": stood, **mass_detail(total_mass(steps))}
    return {name: value for name, value in told.items() if value is not None}


def _columns(step: Mapping[str, Any]) -> dict[str, Any]:
    """What a state keeps of a step, without what was computed of it."""
    columns = {"id", *(field.column for field in STEP_FIELDS)}
    return {name: value for name, value in step.items() if name in columns}
