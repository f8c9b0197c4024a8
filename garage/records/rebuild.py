"""A run's rebuild sheet put together."""

from sqlmodel import Session

from garage.corrections.store import corrections_of
from garage.hulls.store import hull
from garage.moments import Moment
from garage.own_fields.at_hand import own_words
from garage.photos.sheets import AttachedItem, attached_item
from garage.photos.store import photos_of
from garage.records import rebuild_sheets as sheets
from garage.records import rebuild_store as store
from garage.records.conditions import condition_words
from garage.runs import rests_store
from garage.runs.entry.written import mended_words
from garage.runs.lines.line import line_of
from garage.runs.lines.store import line_facts
from garage.runs.service_due import due_of
from garage.runs.store import run, temperatures_of
from garage.runs.tables import Run
from garage.states.gather import sheet_beside
from garage.states.store import Content, current_state, state, state_content
from garage.units import DisplayUnits
from garage.waters.outing_store import outing

# So many pictures are printed; the rest stay on the run's own page.
_MOST_PHOTOS = 8
_WRITTEN = (
    ("throttle_eased", "Throttle eased"),
    ("rudder_trim", "Rudder held"),
    ("outlet", "Water at the outlet"),
    ("sun", "Sky"),
    ("note", "Note"),
    ("try_next", "To try next"),
)


def rebuild_sheet(session: Session, run_id: int, now: Moment, units: DisplayUnits) -> sheets.RebuildSheet:
    """The sheet of one run. Raises NotFound."""
    found = run(session, run_id)
    day = outing(session, found.outing_id)
    then, current = state(session, found.state_id), current_state(session, found.hull_id)
    boat = hull(session, found.hull_id)
    sheet, beside = sheet_beside(session, boat, then, current, units, rests_store)
    latest = store.latest_run(session, found.hull_id) or found
    # What the latest run was made with is asked together with what this one was.
    facts = line_facts(session, list({one.id: one for one in (found, latest)}.values()))
    props = store.props_then(session, facts.props[run_id])
    packs = store.packs_then(session, found, facts, now.utc)
    return sheets.RebuildSheet(
        run=line_of(found, facts),
        made=Moment(found.started_at, found.offset_min).clock() if found.start_time_known else "",
        conditions=condition_words(day, units),
        notes=_notes(found, units),
        state=sheet,
        props=[sheets.prop_sheet(one, units) for one in props],
        packs=[sheets.pack_sheet(one, units) for one in packs],
        temperatures=[sheets.temperature_sheet(row, day) for row in temperatures_of(session, [run_id]).get(run_id, [])],
        service=[one.text for one in due_of(session, [boat], found.started_at)[boat.id]],
        photos=_photos(session, found, state_content(then)),
        mended=mended_words(corrections_of(session, "run", [run_id]).get(run_id, []), units),
        now_number=current.number if current else None,
        different=beside.lines if beside else [],
        since=sheets.since_then(
            props, packs, store.prop_words(facts.props[latest.id]), store.prop_words(facts.props[run_id])
        ),
        printed_on=now,
    )


def _notes(found: Run, units: DisplayUnits) -> list[tuple[str, str]]:
    written = [(words, getattr(found, column)) for column, words in _WRITTEN if getattr(found, column)]
    return written + own_words("run", found, units)


def _photos(session: Session, found: Run, content: Content) -> list[AttachedItem]:
    """Pictures of the run and its state, then of the steps that are on her and of what they belong to."""
    steps = [("step", step["id"]) for fitted in content.fitted.values() for step in fitted.get("steps") or []]
    modifications = [("modification", int(key)) for key in content.fitted]
    owners = [("run", found.id), ("state", found.state_id), *steps, *modifications]
    rows = photos_of(session, owners, limit=_MOST_PHOTOS)
    return [attached_item(row) for row in rows]
