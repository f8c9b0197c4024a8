"""The fields that the demo's person added, and what stands in them."""

from collections.abc import Mapping
from typing import Any

from sqlmodel import Session

from garage.demo.clock import moment
from garage.demo.names import Names
from garage.demo.simulate import stream
from garage.demo.truth import Truth
from garage.demo.typed import typed
from garage.fields.definition import own_column
from garage.own_fields.forms import read_own_field
from garage.own_fields.store import add_own_field
from garage.runs.store import runs_by_ids


def write_own_fields(session: Session, story: Mapping[str, Any], names: Names, truth: Truth) -> None:
    """Each field with a value in every run since, but for those that wait for their evening; `often` says how often
    each of its choices is met."""
    runs = runs_by_ids(session, names.runs.values())
    for told in story["own_fields"]:
        form = read_own_field(typed(told), ())
        column = own_column(add_own_field(session, "run", form, moment(told["since"])).id)
        for when, run_id in names.runs.items():
            if when >= told["since"] and not runs[run_id].waiting:
                draws = stream(truth, "own field", told["label"], when)
                [said] = draws.choices(list(told["often"]), list(told["often"].values()))
                setattr(runs[run_id], column, said)
                session.add(runs[run_id])
    session.flush()
