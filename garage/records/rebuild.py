"""A run's rebuild sheet put together."""

from sqlmodel import Session

from garage.corrections.sheets import mended_lines
from garage.corrections.store import corrections_of
from garage.moments import Moment
from garage.photos.sheets import AttachedItem, attached_item
from garage.photos.store import attachments
from garage.records import rebuild_sheets as sheets
from garage.records import rebuild_store as store
from garage.records.conditions import condition_words
from garage.runs import rests_store
from garage.runs.lines import run_lines
from garage.runs.service_due import due
from garage.runs.store import run, temperatures_of
from garage.runs.tables import Run
from garage.states.gather import differences_of, sheet_of
from garage.states.store import current_state, state
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
    props, packs = store.props_then(session, run_id), store.packs_then(session, found, now.utc)
    latest = store.props_of_run(session, store.latest_run(session, found.hull_id))
    return sheets.RebuildSheet(
        run=run_lines(session, [found])[0],
        made=Moment(found.started_at, found.offset_min).clock() if found.start_time_known else "",
        conditions=condition_words(day, units),
        notes=_notes(found),
        state=sheet_of(session, then, units, rests_store),
        props=[sheets.prop_sheet(one) for one in props],
        packs=[sheets.pack_sheet(one) for one in packs],
        temperatures=[
            sheets.temperature_sheet(row, day) for row in temperatures_of(session, [run_id]).get(run_id, [])
        ],
        service=[one.text for one in due(session, found.hull_id, found.started_at)],
        photos=_photos(session, found),
        mended=mended_lines(corrections_of(session, "run", [run_id]).get(run_id, [])),
        now_number=current.number if current else None,
        different=differences_of(session, then, current, units).lines if current else [],
        since=sheets.since_then(props, packs, latest, store.props_of_run(session, found)),
        printed_on=now,
    )


def _notes(found: Run) -> list[tuple[str, str]]:
    return [(words, getattr(found, column)) for column, words in _WRITTEN if getattr(found, column)]


def _photos(session: Session, found: Run) -> list[AttachedItem]:
    rows = [*attachments(session, "run", found.id), *attachments(session, "state", found.state_id)]
    return [attached_item(row) for row in rows if row.kind == "photo"][:_MOST_PHOTOS]
