"""What the pages of modifications show."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Annotated

from garage.corrections.sheets import Mended
from garage.fields.definition import Field
from garage.fields.forms import fill, fresh
from garage.fields.showing import OWN, Fact, FieldValues, facts, values
from garage.hulls.tables import Hull
from garage.measures import Measure
from garage.modifications.class_hints import Hint, is_about_strakes, strake_hints
from garage.modifications.fields import FIELDS, PERMANENCES, QUICK_STEP_FIELDS, STEP_ACTIONS, all_fields
from garage.modifications.step_cautions import cautions_for
from garage.modifications.step_mass import same_piece_twice, total_mass
from garage.modifications.step_sheets import StepLine, step_line
from garage.modifications.tables import Modification, Step
from garage.moments import Moment
from garage.photos.sheets import Attached
from garage.reference import Caution
from garage.states.tables import BuildState, Change
from garage.units import DisplayUnits

_WORDS_OF_CHANGE = {"fit": "fitted", "rework": "reworked", "take off": "taken off"}


@dataclass(frozen=True)
class ModificationLine:
    """One modification in a list."""

    id: int
    title: str
    status: str
    trial: bool
    steps_done: int
    steps: int
    mass: Measure
    purpose: str
    written: Annotated[FieldValues, FIELDS, OWN]


@dataclass(frozen=True)
class ModificationListSheet:
    """The modifications of one hull."""

    hull_id: int
    hull: str
    rows: list[ModificationLine]
    page: int
    more: bool


@dataclass(frozen=True)
class ModificationFormSheet:
    """The form of a modification; `modification_id` is None for a new one."""

    hull_id: int
    hull: str
    modification_id: int | None
    title: str
    values: dict[str, str]
    permanences: tuple[str, ...] = PERMANENCES
    fields: tuple[Field, ...] = field(default_factory=all_fields)


@dataclass(frozen=True)
class Totals:
    """What the steps come to: mass, time spent, hours that glue asks for, and when the last of it is hard."""

    mass: Measure
    spent: Measure
    hardening: Measure
    hard_at: Moment | None
    is_hardening: bool
    done: int
    steps: int


@dataclass(frozen=True)
class HistoryLine:
    """One change by which a modification came onto the boat or left it."""

    what: str
    state_number: int
    at: Moment
    note: str


@dataclass(frozen=True)
class ModificationSheet:
    """One modification with its steps; `listed` is what its page lists of what was `written` of it."""

    id: int
    hull_id: int
    hull: str
    title: str
    written: Annotated[FieldValues, FIELDS, OWN]
    listed: list[Fact]
    status: str
    dropped_reason: str
    mended: list[Mended]
    moved_on: bool
    steps: list[StepLine]
    aside: list[StepLine]
    totals: Totals
    counted_twice: list[tuple[int, int]]
    hints: list[Hint]
    cautions: list[Caution]
    history: list[HistoryLine]
    attached: Attached
    values: dict[str, str]
    actions: tuple[str, ...] = STEP_ACTIONS
    fields: tuple[Field, ...] = QUICK_STEP_FIELDS


@dataclass(frozen=True)
class FitSheet:
    """Asking when something was fitted, reworked or taken off, and which open steps were done by then."""

    modification_id: int
    hull_id: int
    hull: str
    title: str
    act: str
    permanence: str
    open_steps: list[StepLine]
    mass: Measure
    cautions: list[Caution]
    values: dict[str, str]


@dataclass(frozen=True)
class DropSheet:
    """Asking why a modification is given up."""

    modification_id: int
    hull_id: int
    hull: str
    title: str
    values: dict[str, str]


@dataclass(frozen=True)
class Work:
    """The steps of a modification as they read now, and what is known of each."""

    steps: Sequence[Step]
    frozen: set[int]
    mended: Mapping[int, list[Mended]]

    def lines(self, at: Moment) -> list[StepLine]:
        """The steps as lines, numbered from 1."""
        return [
            step_line(
                step,
                number,
                at,
                frozen=step.id in self.frozen,
                mended=self.mended.get(step.id, ()),
            )
            for number, step in enumerate(self.steps, 1)
        ]


def modification_list_sheet(
    hull: Hull,
    rows: Sequence[Modification],
    statuses: Mapping[int, str],
    steps: Mapping[int, Sequence[Step]],
    *,
    page: int,
    limit: int,
) -> ModificationListSheet:
    """The list; `rows` holds one more than `limit` if there is a further page."""
    lines = [_line(row, statuses, steps) for row in rows[:limit]]
    return ModificationListSheet(hull.id, hull.name, lines, page, len(rows) > limit)


def modification_form_sheet(
    hull: Hull, modification: Modification | None, units: DisplayUnits
) -> ModificationFormSheet:
    """The form of `modification`, or of a new one of `hull`."""
    if modification is None:
        return ModificationFormSheet(hull.id, hull.name, None, "", fresh(all_fields(), units))
    typed = fill(all_fields(), modification, units)
    return ModificationFormSheet(hull.id, hull.name, modification.id, modification.title, typed)


def modification_sheet(
    modification: Modification,
    hull: Hull,
    status: str,
    work: Work,
    aside: Sequence[Step],
    changes: Iterable[tuple[Change, BuildState]],
    attached: Attached,
    at: Moment,
    *,
    moved_on: bool,
    mended: Sequence[Mended] = (),
) -> ModificationSheet:
    """The page of a modification as it stands `at` now; `mended` is what was put right in it."""
    lines = work.lines(at)
    spoken = [modification.title, modification.purpose, *(step.what for step in work.steps)]
    hints = strake_hints(work.steps, hull.length_mm, hull.beam_mm) if is_about_strakes(*spoken) else []
    return ModificationSheet(
        id=modification.id,
        hull_id=modification.hull_id,
        hull=hull.name,
        title=modification.title,
        written=values(all_fields(), modification),
        listed=facts(all_fields(), modification),
        status=status,
        dropped_reason=modification.dropped_reason if status == "dropped" else "",
        mended=list(mended),
        moved_on=moved_on and status == "fitted",
        steps=lines,
        aside=[step_line(step, number, at) for number, step in enumerate(aside, 1)],
        totals=totals(work.steps, lines),
        counted_twice=same_piece_twice(work.steps),
        hints=hints,
        cautions=cautions_for(work.steps),
        history=[_history_line(change, state) for change, state in changes],
        attached=attached,
        values={"action": _likely_action(work.steps)},
    )


def totals(steps: Sequence[Step], lines: Sequence[StepLine]) -> Totals:
    """What the steps come to."""
    mass = total_mass(steps)
    minutes = [step.minutes_spent for step in steps if step.minutes_spent is not None]
    hours = [step.cure_h for step in steps if step.cure_h is not None]
    hard = [line for line in lines if line.hardens_until is not None]
    last = max(hard, key=lambda line: line.hardens_until.utc if line.hardens_until else "", default=None)
    return Totals(
        mass=Measure(mass.mass_g, "mass", mass.origin, mass.caution),
        spent=Measure(sum(minutes) if minutes else None, "minutes", f"written down with {_steps(len(minutes))}"),
        hardening=Measure(sum(hours) if hours else None, "hours", f"added up over {_steps(len(hours))}"),
        hard_at=last.hardens_until if last else None,
        is_hardening=bool(last and last.is_hardening),
        done=sum(step.done_at is not None for step in steps),
        steps=len(steps),
    )


def fit_sheet(modification: Modification, hull: Hull, act: str, steps: Sequence[Step], at: Moment) -> FitSheet:
    """Asking about `act`, which is fit, rework or take off."""
    lines = [step_line(step, number, at) for number, step in enumerate(steps, 1)]
    mass = total_mass([step for step in steps if step.done_at is not None])
    return FitSheet(
        modification_id=modification.id,
        hull_id=modification.hull_id,
        hull=hull.name,
        title=modification.title,
        act=act,
        permanence=modification.permanence,
        open_steps=[line for line in lines if line.done is None],
        mass=Measure(mass.mass_g, "mass", mass.origin, mass.caution),
        cautions=cautions_for([], at_the_boat=True),
        values={"at": at.local_text()},
    )


def _line(row: Modification, statuses: Mapping[int, str], steps: Mapping[int, Sequence[Step]]) -> ModificationLine:
    own = steps.get(row.id, ())
    mass = total_mass(own)
    return ModificationLine(
        id=row.id,
        title=row.title,
        status=statuses[row.id],
        trial=row.trial,
        steps_done=sum(step.done_at is not None for step in own),
        steps=len(own),
        mass=Measure(mass.mass_g, "mass", mass.origin, mass.caution),
        purpose=row.purpose,
        written=values(all_fields(), row),
    )


def _history_line(change: Change, state: BuildState) -> HistoryLine:
    what = _WORDS_OF_CHANGE.get(change.kind, change.kind)
    return HistoryLine(what, state.number, Moment(state.made_at, state.offset_min), change.note)


def _likely_action(steps: Sequence[Step]) -> str:
    """The kind of step that most often follows the last one: the next in the order of work."""
    if not steps:
        return STEP_ACTIONS[0]
    last = STEP_ACTIONS.index(steps[-1].action)
    return STEP_ACTIONS[min(last + 1, len(STEP_ACTIONS) - 1)]


def _steps(count: int) -> str:
    return "1 step" if count == 1 else f"{count} steps"
