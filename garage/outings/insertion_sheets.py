"""What putting a forgotten change in, or taking one out, would lead to: shown before it is done."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from garage.hulls.tables import Hull
from garage.moments import Moment
from garage.runs.lines.line import RunLine
from garage.states.fold import short
from garage.states.past import PastPlan
from garage.states.wording import change_text
from garage.units import DisplayUnits

MOST_RUNS_SHOWN = 50


@dataclass(frozen=True)
class StateAhead:
    """A state as it would be written; `instead_of` is the number of the one that would give way."""

    made: Moment
    changes: list[str]
    fingerprint: str
    instead_of: int | None


@dataclass(frozen=True)
class PastSheet:
    """The preview: `problems` stand against it; `typed` is what the visit's form held, to be sent along."""

    hull_id: int
    hull: str
    base: int
    withdrawn: int | None
    states: list[StateAhead]
    problems: list[str]
    runs: list[RunLine]
    run_count: int
    typed: list[tuple[str, str]]
    edit: str
    values: dict[str, str]


def past_sheet(
    hull: Hull,
    plan: PastPlan,
    runs: Sequence[RunLine],
    run_count: int,
    units: DisplayUnits,
    typed: Mapping[str, str],
    edit: str = "",
) -> PastSheet:
    """The preview of `plan`."""
    return PastSheet(
        hull.id,
        hull.name,
        plan.base.number,
        plan.withdrawn.number if plan.withdrawn else None,
        [
            StateAhead(
                planned.made,
                [change_text(change, units) for change in planned.changes],
                short(planned.mark),
                planned.old.number if planned.old else None,
            )
            for planned in plan.states
        ],
        list(plan.problems),
        list(runs),
        run_count,
        [(name, text) for name, text in typed.items() if name != "why" and text],
        edit,
        {"why": ""},
    )
