"""Gathers what the form of a new run needs to know."""

from dataclasses import replace

from sqlmodel import Session, col, select

from garage.errors import NotFound
from garage.hulls.offer import offered
from garage.hulls.store import hull as hull_by_id
from garage.hulls.store import hulls
from garage.hulls.tables import Hull
from garage.measures import Measure
from garage.moments import Moment
from garage.preferences.store import not_measured
from garage.props.store import latest_of
from garage.runs.entry import sheets
from garage.runs.entry.pick_store import Option, pack_offer, prop_options, with_picked
from garage.runs.entry.write import places_of
from garage.runs.store import last_run_of_hull, props_of, so_far
from garage.runs.tables import Run
from garage.states.store import current_state, state_at, state_texts
from garage.units import DisplayUnits
from garage.waters.outing_store import outing, todays_or_open_outing
from garage.waters.store import water, waters
from garage.waters.tables import Outing, Water

MOST_HULLS = 12


def run_form(
    session: Session, hull_text: str, outing_text: str, now: Moment, units: DisplayUnits, picked: str = ""
) -> sheets.RunFormSheet:
    """The form for a hull (else the last one that ran) in an outing (else today's open one); `picked` are the packs
    that were chosen in it already."""
    hull = _hull(session, hull_text)
    day, older = _outing(session, outing_text), None
    if day is None:
        day, older = todays_or_open_outing(session, now)
    place = water(session, day.water_id) if day else None
    form = _blank(session, day, older, place, now, units)
    if hull is None or hull.id is None:
        return form
    last = last_run_of_hull(session, hull.id)
    began = Moment(day.started_at, day.offset_min) if day else now
    on_day = began.date() == now.date()
    state = current_state(session, hull.id) if on_day else state_at(session, hull.id, began.utc)
    was = {use.place: use.edition_id for use in props_of(session, [last.id])[last.id]} if last and last.id else {}
    latest = latest_of(session, was.values())
    props = {place: latest[edition].id for place, edition in was.items()}
    is_first = last is None or day is None or last.outing_id != day.id
    places = places_of(hull)
    options = prop_options(session, hull.id, list(latest.values()))
    packs = pack_offer(session, hull.id, last.cells_s if last else None, began)
    return replace(
        form,
        hull_id=hull.id,
        hull=hull.name,
        as_run=last.number if last else None,
        as_day=Moment(last.started_at, last.offset_min) if last else None,
        state=sheets.kept_state(state.number if state else None, last, _number(session, last)),
        places=places,
        props=sheets.kept_props(places, props, was, {one.id: one for one in latest.values()}),
        prop_options=[Option(str(one.id), one.text) for one in options],
        pack_options=with_picked(session, packs.options, picked),
        reading=sheets.reading_text(last, units, is_first),
        kind=last.kind if last else "speed",
        is_first=is_first,
        cells=(last.cells_s if last else None) or sheets.USUAL_CELLS,
        only_left=packs.only_left,
        values=form.values | sheets.carried_values(last, props, is_first, units) | {"pack": packs.only_left},
    )


def _blank(
    session: Session, day: Outing | None, older: Outing | None, place: Water | None, now: Moment, units: DisplayUnits
) -> sheets.RunFormSheet:
    today, never = now.date(), not_measured(session)
    brief = sheets.outing_brief(day, place, today, units) if day and place else None
    return sheets.RunFormSheet(
        hull_id=None,
        hull="",
        hulls=[Option(str(one.id), name) for one, name in offered(session, limit=MOST_HULLS)],
        outing=brief,
        older_open=sheets.outing_brief(older, water(session, older.water_id), today, units) if older else None,
        waters=[] if day else [Option(str(one.id), one.name) for one in waters(session)],
        number=so_far(session, day.id).next_number if day and day.id else 1,
        as_run=None,
        as_day=None,
        state=None,
        places=(),
        props=[],
        prop_options=[],
        pack_options=[],
        only_left="",
        reading="",
        is_first=True,
        kind="speed",
        course=Measure(place.course_m if place else None, "distance", "of this water"),
        values={} if day else {"water": _last_water(session)},
        quick_spots=sheets.spots_in_sight(never),
        not_measured=tuple(sorted(never)),
    )


def _hull(session: Session, text: str) -> Hull | None:
    """The hull named, or else the one that ran last, or the only one there is."""
    if text.isascii() and text.isdigit() and len(text) < 10:
        try:
            return hull_by_id(session, int(text))
        except NotFound:
            return next(iter(hulls(session, limit=1)), None)
    latest = session.exec(select(Run.hull_id).order_by(col(Run.id).desc()).limit(1)).first()
    if latest is not None:
        return hull_by_id(session, latest)
    few = hulls(session, limit=2)
    return few[0] if len(few) == 1 else None


def _outing(session: Session, text: str) -> Outing | None:
    if not (text.isascii() and text.isdigit() and len(text) < 10):
        return None
    try:
        return outing(session, int(text))
    except NotFound:
        return None


def _last_water(session: Session) -> str:
    """The water of the latest outing, which is likely the one again."""
    latest = session.exec(select(Outing.water_id).order_by(col(Outing.started_at).desc()).limit(1)).first()
    return str(latest) if latest else ""


def _number(session: Session, run: Run | None) -> int | None:
    return state_texts(session, [run.state_id])[run.state_id][0] if run else None
