"""A visit to the workshop that was otherwise: on another day, never made, on another boat, or forgotten until now."""

from collections.abc import Sequence
from dataclasses import replace

from sqlmodel import Session

from garage.errors import Conflict
from garage.hulls.store import hull, hulls
from garage.hulls.tables import Hull
from garage.mending.histories import plans, visit_of_state, visit_told
from garage.mending.operation import Ask, Operation, Planned
from garage.mending.steps import Visited
from garage.modifications.visit_store import filled, offer_for
from garage.moments import Moment
from garage.states.change_store import ensure_first_state
from garage.states.fold import ChangeFormData
from garage.states.mending_store import mended_content_at
from garage.states.query_store import changes_of, first_live_state, given_way, local_midnight, moment_of, state
from garage.states.settings_list import BALANCE, asked_for, name_at
from garage.states.tables import BuildState, Change
from garage.states.visit_forms import balance_value, read_visit
from garage.states.wording import change_text
from garage.states.write_store import read_change
from garage.units import DisplayUnits
from garage.web.fields import Reader

_MOST_BOATS = 300
_MOST_NUMBERED = 8
_FIRST_STAYS = (
    "A boat’s first build state stays: her history begins with it. When she was built is put right on her own form."
)
_OF_ONE_BOAT = ("fit", "rework", "take off")


def _refused(session: Session, state_id: int) -> str:
    found = state(session, state_id)
    if found.parent_id is None:
        return _FIRST_STAYS
    if gone := given_way(session, [state_id]).get(state_id):
        if gone.new_state_id == found.parent_id:
            return "It was taken out of the history already."
        return f"It was replaced by build state {state(session, gone.new_state_id).number}: put that one right."
    return ""


def _rows(session: Session, state_id: int) -> list[Change]:
    return changes_of(session, [state_id]).get(state_id, [])


def _asks_which(session: Session, state_id: int, units: DisplayUnits) -> list[Ask]:
    """Of a visit with several changes: whether it is only about some of them."""
    rows = _rows(session, state_id)
    if len(rows) < 2:
        return []
    options = [(str(row.id), change_text(read_change(row), units)) for row in rows]
    return [Ask("only", "Only some of it", "many", "with none ticked it is the whole visit", options)]


def _chosen(session: Session, reader: Reader, state_id: int) -> tuple[list[Change], list[Change]]:
    """The changes that it is about, and those of that visit that stay as they are."""
    rows = _rows(session, state_id)
    ids = reader.several("only", [str(row.id) for row in rows]) if len(rows) > 1 else []
    ticked = [row for row in rows if str(row.id) in ids]
    return (ticked or rows), [row for row in rows if ticked and row not in ticked]


def _in_words(rows: Sequence[Change], units: DisplayUnits) -> str:
    texts = [change_text(_done(read_change(row)), units) for row in rows]
    words = "; ".join(texts[:3]) + (f" and {len(texts) - 3} more" if len(texts) > 3 else "")
    return words[:1].upper() + words[1:] or "A visit without changes"


def _done(change: ChangeFormData) -> ChangeFormData:
    """A change without what it found on the boat."""
    return replace(change, detail={name: value for name, value in change.detail.items() if name != "was"})


def _when(moment: Moment) -> str:
    return f"{moment.day()}, {moment.clock()}"


def _only_left(session: Session, found: BuildState, stays: Sequence[Change]) -> Visited:
    """The step that leaves only those changes of a visit that stay, or nothing of it."""
    left = visit_of_state(found, stays) if stays else None
    return Visited(found.hull_id, found.id, visit_of_state(found, _rows(session, found.id)), left)


def _planned(
    session: Session, said: str, steps: Sequence[Visited], notes: Sequence[str] = (), url: str = ""
) -> Planned:
    """The steps, with what they lead to in numbers. Raises Conflict where they do not fit."""
    of_each = plans(session, steps)
    gone = [old.number for plan in of_each for old in plan.rewriting.gone]
    runs = sum(len(plan.runs) for plan in of_each)
    told = [f"{_numbered(gone)} {'gives' if len(gone) == 1 else 'give'} way; pages and marks stay."] if gone else []
    told += [f"{_counted(runs, 'run')} {'goes' if runs == 1 else 'go'} along."] if runs else ["No run moves."]
    return Planned(said, steps, [*notes, *told], url)


def _numbered(numbers: Sequence[int]) -> str:
    if len(numbers) > _MOST_NUMBERED:
        return f"{len(numbers)} build states"
    *most, last = map(str, numbers)
    return f"Build states {', '.join(most)} and {last}" if most else f"Build state {last}"


def _counted(count: int, name: str) -> str:
    return f"{count} {name}" if count == 1 else f"{count} {name}s"


def _beginning(session: Session, boat: Hull, at: Moment) -> list[Visited]:
    """What has to stand before a visit at that time. Raises Conflict before the boat was there."""
    first = first_live_state(session, boat.id) or ensure_first_state(session, boat, at)
    if first.made_at <= at.utc:
        return []
    if boat.built_on and local_midnight(boat.built_on).utc <= at.utc:
        return [Visited(boat.id, None, None, visit_told(local_midnight(boat.built_on), ()))]
    raise Conflict(
        f"The history of {boat.name} begins on {moment_of(first).day()}: nothing was done to her before. When she was "
        "built is put right on her own form."
    )


def _asks_day(session: Session, state_id: int, units: DisplayUnits) -> Sequence[Ask]:
    made = moment_of(state(session, state_id))
    when = Ask("at", "When it really was", "moment", value=made.local_text(), required=True)
    return [when, *_asks_which(session, state_id, units)]


def _plan_day(session: Session, reader: Reader, state_id: int, _now: Moment) -> Planned:
    found = state(session, state_id)
    made = moment_of(found)
    at = reader.moment("at", required=True, was=made)
    if at is not None and at.utc == made.utc:
        reader.fail("at", f"{_when(made)} is what stands there already.")
    goes, stays = _chosen(session, reader, state_id)
    reader.finish()
    assert at is not None
    told = visit_of_state(found, goes) | {"at": at.utc, "offset_min": at.offset_min}
    boat = hull(session, found.hull_id)
    steps = _beginning(session, boat, at)
    if stays:
        put = told | {"note": "", "note_of": None}
        steps += [_only_left(session, found, stays), Visited(boat.id, None, None, put)]
    else:
        steps += [Visited(boat.id, found.id, visit_of_state(found, goes), told)]
    return _planned(session, f"{_in_words(goes, reader.units)}: it was on {_when(at)}, not {_when(made)}", steps)


def _asks_never(session: Session, state_id: int, units: DisplayUnits) -> Sequence[Ask]:
    return _asks_which(session, state_id, units)


def _plan_never(session: Session, reader: Reader, state_id: int, _now: Moment) -> Planned:
    found = state(session, state_id)
    goes, stays = _chosen(session, reader, state_id)
    reader.finish()
    said = f"{_in_words(goes, reader.units)}: never made, though written down for {_when(moment_of(found))}"
    return _planned(session, said, [_only_left(session, found, stays)])


def _asks_boat(session: Session, state_id: int, units: DisplayUnits) -> Sequence[Ask]:
    found = state(session, state_id)
    return [
        Ask("hull", "The boat it really was", "choice", options=_other_boats(session, found.hull_id), required=True),
        Ask("at", "When it was", "moment", value=moment_of(found).local_text(), required=True),
        *_asks_which(session, state_id, units),
    ]


def _other_boats(session: Session, hull_id: int) -> list[tuple[str, str]]:
    return [(str(one.id), one.name) for one in hulls(session, limit=_MOST_BOATS) if one.id != hull_id]


def _plan_boat(session: Session, reader: Reader, state_id: int, _now: Moment) -> Planned:
    found = state(session, state_id)
    chosen = reader.choice("hull", [value for value, _ in _other_boats(session, found.hull_id)], required=True)
    made = moment_of(found)
    at = reader.moment("at", required=True, was=made)
    goes, stays = _chosen(session, reader, state_id)
    reader.finish()
    assert at is not None
    own, other = hull(session, found.hull_id), hull(session, int(chosen))
    changes = [_on_boat(read_change(row), own, other, reader.units) for row in goes]
    note = "" if stays else found.note
    sources = [row.id if row.kind != "set" or row.setting != BALANCE else None for row in goes]
    put = visit_told(at, changes, note, sources, None if stays else found.id)
    steps = [
        _only_left(session, found, stays),
        *_beginning(session, other, at),
        Visited(other.id, None, None, put),
    ]
    said = f"{_in_words(goes, reader.units)}: it was on {other.name}, {_when(at)}, not on {own.name}"
    return _planned(session, said, steps, url=f"/hulls/{other.id}/states")


def _on_boat(change: ChangeFormData, own: Hull, other: Hull, units: DisplayUnits) -> ChangeFormData:
    """A change of one boat as one of another. Raises Conflict where it cannot be."""
    words = change_text(change, units)
    if change.kind in _OF_ONE_BOAT:
        raise Conflict(
            f"{words[:1].upper()}{words[1:]}: a modification belongs to its boat, and this is one of {own.name}. "
            f"Choose the other changes of the visit, or plan it on {other.name} and write there when it was fitted."
        )
    if change.kind != "set":
        return change
    if all((setting.key, place) != (change.setting, change.place) for setting, place in asked_for(other.screws)):
        raise Conflict(f"{words[:1].upper()}{words[1:]}: {other.name} has no {name_at(change.setting, change.place)}.")
    value = change.detail.get("value")
    if change.setting == BALANCE and value is not None:
        typed = value.get("typed")
        mm, percent = (value.get(name) if typed in (name, "both") else None for name in ("mm", "percent"))
        value = balance_value(mm, percent, other)
    return ChangeFormData("set", change.place, setting=change.setting, detail={"value": value}, note=change.note)


def _plan_forgotten(session: Session, reader: Reader, hull_id: int, _now: Moment) -> Planned:
    boat, names = hull(session, hull_id), reader.names()
    at = reader.moment("at", required=True)
    content = mended_content_at(session, hull_id, at.utc if at else "")
    form = read_visit(reader, names, boat, content, offer_for(session, hull_id, content, dict.fromkeys(names, "yes")))
    changes = filled(session, form.changes)
    steps = [*_beginning(session, boat, form.at), Visited(hull_id, None, None, visit_told(form.at, changes, form.note))]
    words = "; ".join(change_text(_done(change), reader.units) for change in changes)
    said = f"{words[:1].upper()}{words[1:]}: made on {_when(form.at)}, and forgotten"
    return _planned(session, said, steps, url=f"/hulls/{hull_id}/states")


def _plan_beside(session: Session, reader: Reader, state_id: int, now: Moment) -> Planned:
    return _plan_forgotten(session, reader, state(session, state_id).hull_id, now)


def _nothing_asked(_session: Session, _thing_id: int, _units: DisplayUnits) -> Sequence[Ask]:
    return ()


def _new_visit(_session: Session, hull_id: int) -> str:
    return f"/hulls/{hull_id}/changes/new"


def _visit_of_boat(session: Session, state_id: int) -> str:
    return _new_visit(session, state(session, state_id).hull_id)


OPERATIONS = (
    Operation(
        "state", "day", "It was on another day", "the whole visit, or only some of it", _asks_day, _plan_day, _refused
    ),
    Operation(
        "state", "never", "It was never made", "the whole visit, or only some of it", _asks_never, _plan_never, _refused
    ),
    Operation(
        "state", "boat", "It was on another boat", "parts and settings go along", _asks_boat, _plan_boat, _refused
    ),
    Operation(
        "state", "forgotten", "Something else was done, and forgotten", "a workshop visit of its own, on its day",
        _nothing_asked, _plan_beside, elsewhere=_visit_of_boat,
    ),
    Operation(
        "hull", "forgotten", "Something was done to her, and forgotten", "a workshop visit, on its day",
        _nothing_asked, _plan_forgotten, elsewhere=_new_visit,
    ),
)  # fmt: skip
