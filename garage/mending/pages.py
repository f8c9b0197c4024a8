"""Routes of what was otherwise: choosing, looking at what would come of it, saving, taking back."""

from collections.abc import Callable, Sequence
from dataclasses import replace
from urllib.parse import urlencode

from sqlmodel import Session

from garage.db.engine import trying
from garage.errors import Conflict
from garage.mending import sheets
from garage.mending.about import about
from garage.mending.catalog import operation, operations_of
from garage.mending.operation import Ask, Operation, Planned
from garage.mending.preview import Ahead, look_ahead
from garage.mending.steps import mark_of
from garage.mending.store import carry_out, mending, plan_back, take_back, taken_back_by
from garage.moments import Moment
from garage.web.desk import Desk
from garage.web.fields import FormErrors
from garage.web.pages import Done, Pages

pages = Pages()
# Behind the question mark, once the form was filled in.
LOOK = "look"
SEEN = "seen"
_NOT_OF_THE_FORM = (LOOK, "why", SEEN)
_OTHERWISE_BY_NOW = "Something was written since you looked. This is what would come of it now: look once more."


def _ahead(desk: Desk, kind: str, plan: Callable[[Session], Planned]) -> Ahead:
    with trying(desk.request.app.state.engine) as session:
        return look_ahead(session, plan, kind, desk.units, desk.measured_slip, desk.moment)


# What was mended stands before the kinds of things: its address would be taken for one of theirs.
@pages.sheet("/otherwise/done/{mending_id:int}", "mending/done.html")
def show_mending(desk: Desk, mending_id: int) -> sheets.MendingSheet:
    found = mending(desk.session, mending_id)
    back = taken_back_by(desk.session, mending_id)
    ahead, against = None, ""
    helps: list[tuple[str, str]] = []
    if back is None:
        try:
            ahead = _ahead(desk, found.kind, lambda session: plan_back(mending(session, mending_id)))
        except Conflict as conflict:
            against, helps = str(conflict), list(conflict.helps)
    return sheets.MendingSheet(
        found.id,
        found.said,
        found.why,
        found.who,
        Moment.here(found.at),
        found.takes_back_id,
        back.id if back else None,
        ahead,
        against,
        {"why": ""},
        helps,
    )


@pages.action("/otherwise/done/{mending_id:int}/back", on_error=show_mending)
def back(desk: Desk, mending_id: int) -> Done:
    reader = desk.reader()
    why = reader.text("why", most=300)
    reader.finish()
    done = take_back(desk.session, mending_id, why, desk.who, desk.moment)
    return Done(f"/otherwise/done/{done.id}", f"{done.said}.", undo=f"/otherwise/done/{done.id}/back")


@pages.sheet("/otherwise/{kind:str}/{thing_id:int}", "mending/ways.html")
def ways(desk: Desk, kind: str, thing_id: int) -> sheets.WaysSheet:
    found = operations_of(kind)
    return sheets.WaysSheet(about(desk.session, kind, thing_id), [_way(desk.session, one, thing_id) for one in found])


def _way(session: Session, one: Operation, thing_id: int) -> sheets.Way:
    elsewhere = one.elsewhere(session, thing_id)
    url = elsewhere or f"/otherwise/{one.of}/{thing_id}/{one.name}"
    return sheets.Way(one.name, one.title, one.hint, one.refused(session, thing_id), url, bool(elsewhere))


@pages.sheet(
    "/otherwise/{kind:str}/{thing_id:int}/{name:str}",
    "mending/otherwise.html",
    asks={LOOK: "anything, to be told what would come of it; the form's own fields, as `asks` names them, beside it"},
)
def otherwise(desk: Desk, kind: str, thing_id: int, name: str) -> sheets.OtherwiseSheet:
    found = operation(kind, name)
    thing = about(desk.session, kind, thing_id)
    typed = _typed(desk)
    asks = list(found.asks(desk.session, thing_id, desk.units))
    more = found.asks_more(desk.session, thing_id, desk.units, dict(typed))
    wrong: dict[str, str] = {}
    way = _way(desk.session, found, thing_id)
    ahead, against = None, way.refused
    helps: list[tuple[str, str]] = []
    is_sent = LOOK in desk.query or len(desk.typed) > 0
    if not against and is_sent:
        reader = desk.reader() if len(desk.typed) else desk.query_reader()
        try:
            ahead = _ahead(desk, kind, lambda session: found.plan(session, reader, thing_id, desk.moment))
        except FormErrors as errors:
            wrong = dict(errors.errors)
            # Without its fields beside it, what is wrong is said at the top.
            against = "" if asks else " ".join(wrong.values())
        except Conflict as conflict:
            against, helps = str(conflict), list(conflict.helps)
    values = _values(asks, typed, more, is_sent)
    asks += more
    edit = f"{way.url}?{urlencode(typed)}"
    return sheets.OtherwiseSheet(thing, way, asks, ahead, against, typed, edit, values, wrong, helps)


def _values(
    asks: Sequence[Ask], typed: Sequence[tuple[str, str]], more: Sequence[Ask], is_sent: bool
) -> dict[str, str | list[str]]:
    """What stands in the form: what was typed, once it was sent; of several that may be ticked, all that were. What is
    asked because of that (`more`) begins as proposed; a form that a link opened with something in it, else too."""
    told: dict[str, list[str]] = {}
    for name, text in typed:
        told.setdefault(name, []).append(text)
    several = {ask.name for ask in asks if ask.kind == "many"}
    at_first = {} if is_sent else {ask.name: ask.value for ask in asks}
    at_first |= {ask.name: ask.value for ask in more if ask.name not in told}
    values: dict[str, str | list[str]] = {"why": ""}
    for name in {**at_first, **told, **dict.fromkeys(several)}:
        texts = told.get(name, at_first.get(name, "").split() if name in several else [at_first.get(name, "")])
        values[name] = texts if name in several else texts[-1]
    return values


def _typed(desk: Desk) -> list[tuple[str, str]]:
    """All that was typed of the form itself, in its order."""
    if len(desk.typed):
        pairs = [(name, text) for name in desk.typed for text in desk.typed.all(name)]
    else:
        pairs = list(desk.request.query_params.multi_items())
    return [(name, text) for name, text in pairs if name not in _NOT_OF_THE_FORM and text]


@pages.action("/otherwise/{kind:str}/{thing_id:int}/{name:str}", on_error=otherwise)
def save(desk: Desk, kind: str, thing_id: int, name: str) -> Done:
    found = operation(kind, name)
    if refused := found.refused(desk.session, thing_id):
        raise Conflict(refused)
    reader = desk.reader()
    why = reader.text("why", most=300)
    planned = found.plan(desk.session, reader, thing_id, desk.moment)
    if desk.typed.get(SEEN) != mark_of(planned.steps):
        raise Conflict(_OTHERWISE_BY_NOW)
    thing = about(desk.session, kind, thing_id)
    # Long after, nobody remembers of which day run 1 was.
    kept = replace(planned, said=f"{planned.said} ({thing.name})")
    done = carry_out(desk.session, f"{kind} {name}", kept, why, desk.who, desk.moment)
    url = planned.url or thing.url
    return Done(url, f"{planned.said}.", undo=f"/otherwise/done/{done.id}/back")
