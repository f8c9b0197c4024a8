"""A build state as pages show it: what is on the boat, what made it, what was mended, what took its place."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from garage.corrections.sheets import Mended, mended
from garage.corrections.tables import Correction
from garage.hulls.tables import Hull
from garage.moments import Moment
from garage.states.content_sheets import ContentSheet, content_sheet
from garage.states.fold import Content, Entries, at_place, short
from garage.states.mending_sheets import mended_settings_in_words
from garage.states.mending_store import read_as_mended
from garage.states.query_store import moment_of
from garage.states.tables import BuildState, Change, Fingerprint, Supersession
from garage.states.wording import Difference, change_text, differences
from garage.states.write_store import read_change
from garage.units import DisplayUnits


@dataclass(frozen=True)
class ChangeLine:
    """One change that made a state, as first written, with mistakes mended in it."""

    id: int
    kind: str
    text: str
    note: str
    modification_id: int | None
    part_id: int | None
    mended: list[Mended]


@dataclass(frozen=True)
class GaveWay:
    """The state that took this one's place (or whose place it took), and why."""

    number: int
    at: Moment
    why: str


@dataclass(frozen=True)
class StateSheet:
    """One build state."""

    hull_id: int
    hull: str
    hull_kind: str
    state_id: int
    number: int
    made: Moment
    mark: str
    fingerprint: str
    whole_fingerprint: str
    earlier_fingerprints: list[str]
    earlier_marks: list[str]
    note: str
    note_mended: list[Mended]
    content: ContentSheet
    changes: list[ChangeLine]
    before: int | None
    gave_way: GaveWay | None
    instead_of: list[GaveWay]
    is_current: bool
    is_frozen: bool


@dataclass(frozen=True)
class StateLine:
    """One state in the list of a hull."""

    id: int
    number: int
    made: Moment
    mark: str
    fingerprint: str
    changes: list[str]
    note: str
    gave_way: int | None
    taken_back: bool


@dataclass(frozen=True)
class StateFacts:
    """What a store found out about a state, for its sheet; `fitted` is as it should have read."""

    state: BuildState
    changes: Sequence[Change]
    settings_mended: Mapping[str, list[Correction]]
    fitted: Entries
    notes_mended: Mapping[str, list[Correction]]
    fingerprints: Sequence[Fingerprint]
    numbers: Mapping[int, int]
    gave_way: Supersession | None
    instead_of: Sequence[Supersession]
    is_current: bool
    is_frozen: bool


def state_sheet(hull: Hull, facts: StateFacts, units: DisplayUnits) -> StateSheet:
    """The sheet of one state of `hull`."""
    found = facts.state
    content = read_as_mended(found, dict(facts.settings_mended), facts.fitted)
    earlier = [row for row in facts.fingerprints if row.fingerprint != found.fingerprint]
    own_slips = facts.notes_mended.get("state", [])
    return StateSheet(
        hull_id=hull.id,
        hull=hull.name,
        hull_kind=hull.kind,
        state_id=found.id,
        number=found.number,
        made=moment_of(found),
        mark=found.mark,
        fingerprint=short(found.fingerprint),
        whole_fingerprint=found.fingerprint,
        earlier_fingerprints=[short(row.fingerprint) for row in earlier],
        earlier_marks=[row.mark for row in earlier],
        note=own_slips[-1].new if own_slips else found.note,
        note_mended=[mended(row, "note") for row in own_slips],
        content=content_sheet(content, units, mended_settings_in_words(facts.settings_mended, units)),
        changes=[_change_line(row, facts.notes_mended, units) for row in facts.changes],
        before=facts.numbers.get(found.parent_id) if found.parent_id else None,
        gave_way=_gave_way(facts.gave_way, facts.gave_way.new_state_id, facts) if facts.gave_way else None,
        instead_of=[_gave_way(row, row.old_state_id, facts) for row in facts.instead_of],
        is_current=facts.is_current,
        is_frozen=facts.is_frozen,
    )


def state_lines(
    found: Iterable[BuildState],
    changes: Mapping[int, Sequence[Change]],
    given_way: Mapping[int, Supersession],
    numbers: Mapping[int, int],
    units: DisplayUnits,
) -> list[StateLine]:
    """Some states as lines of a list."""
    lines = []
    for row in found:
        gone = given_way.get(row.id)
        lines.append(
            StateLine(
                row.id,
                row.number,
                moment_of(row),
                row.mark,
                short(row.fingerprint),
                [change_text(read_change(change), units) for change in changes.get(row.id, [])],
                row.note,
                numbers.get(gone.new_state_id) if gone else None,
                gone is not None and gone.new_state_id == row.parent_id,
            )
        )
    return lines


@dataclass(frozen=True)
class DifferencesSheet:
    """What differs between two states of a hull, the slips in both mended."""

    before: int
    before_made: Moment
    after: int
    after_made: Moment
    lines: list[Difference]


def differences_sheet(
    before: BuildState, after: BuildState, then: Content, now: Content, units: DisplayUnits
) -> DifferencesSheet:
    """What differs from `before` to `after`, whose contents are read as mended."""
    lines = differences(then, now, units)
    return DifferencesSheet(before.number, moment_of(before), after.number, moment_of(after), lines)


def _change_line(row: Change, notes_mended: Mapping[str, list[Correction]], units: DisplayUnits) -> ChangeLine:
    slips = notes_mended.get(f"change:{row.id}", [])
    key = at_place(row.setting, row.place)
    values = mended_settings_in_words({key: notes_mended.get(f"value:{row.id}", [])}, units)[key]
    return ChangeLine(
        row.id,
        row.kind,
        change_text(read_change(row), units),
        slips[-1].new if slips else row.note,
        row.modification_id,
        row.part_id,
        [*values, *(mended(slip, "note") for slip in slips)],
    )


def _gave_way(row: Supersession, other_id: int, facts: StateFacts) -> GaveWay:
    return GaveWay(facts.numbers[other_id], Moment(row.at, 0), row.why)
