"""The templates: what each may count on (sheet, entry, site) and how a number is written."""

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from functools import cache
from itertools import groupby
from operator import attrgetter
from pathlib import Path
from typing import Any

from fastapi import Request, Response
from fastapi.responses import HTMLResponse
from jinja2 import Environment, FileSystemLoader, StrictUndefined, pass_context
from jinja2.runtime import Context
from markupsafe import Markup, escape

from garage.calc.effect.verdict import verdict_said
from garage.measures import Measure
from garage.moments import Moment, day_text
from garage.paths import TEMPLATES_DIR
from garage.units import DisplayUnits, Shown, show
from garage.web import numbers
from garage.web.asking import Question, kept_of
from garage.web.compiled import CompiledTemplates
from garage.web.controls import asked_as
from garage.web.desk import Typed
from garage.web.fields import TO_THE_SECOND, to_the_minute
from garage.web.guard import is_loopback
from garage.web.lines import as_lines, with_roles
from garage.web.notices import COOKIE, take_notice
from garage.web.numbers import Numbered, kept_number, number_field
from garage.web.origins import grouped, origin, tells_origins
from garage.web.rooms_bar import BAR, RoomLink, room_of
from garage.web.rows import MORE, rows_shown
from garage.web.screen import screen_of
from garage.web.shown import NOBODY, FormShown, Meanwhile, kept_shown, kept_units, shown_field

_SHOWS_NOTHING = {"x-upload", "x-look"}


@dataclass(frozen=True)
class Entry:
    """What stands in a form's fields: what was typed, else what the sheet says; and what was wrong. `helps` are pages
    on which what stands against it is put right."""

    typed: Typed | None = None
    errors: Mapping[str, str] = field(default_factory=dict)
    values: Mapping[str, Any] = field(default_factory=dict)
    labels: dict[str, str] = field(default_factory=dict)
    row_asked: Mapping[str, str] = field(default_factory=dict)
    meanwhile: Meanwhile = NOBODY
    helps: tuple[tuple[str, str], ...] = ()
    questions: Mapping[str, Question] = field(default_factory=dict)

    @property
    def kept(self) -> dict[str, str]:
        """The answers given so far, which go along in the form."""
        return kept_of(self.typed or {})

    def labelled(self, name: str, label: str) -> str:
        """`label` itself, remembered, so that the summary of what was wrong calls field `name` as the form does."""
        self.labels[name] = label
        return label

    def value(self, name: str) -> str:
        """The text in field `name`. A tick box left open is simply absent from what was typed."""
        if self.typed is not None and len(self.typed):
            return self.typed.get(name, "")
        return self.values.get(name, "") or ""

    def chosen(self, name: str) -> list[str]:
        """The texts chosen in a field of several."""
        if self.typed is not None and len(self.typed):
            return self.typed.all(name)
        value = self.values.get(name, [])
        return [value] if isinstance(value, str) else list(value)

    def error(self, name: str) -> str:
        return self.errors.get(name, "")

    def touched(self, names: Iterable[object], before: str = "") -> bool:
        """Whether something stands in one of some fields, or is wrong with it, so that it has to be in sight; what they
        are called begins with `before`."""
        return any(self.value(name) or self.error(name) for name in (f"{before}{one}" for one in names))

    def minute(self, name: str) -> str:
        """The day and time in field `name` without its seconds."""
        return to_the_minute(self.value(name))

    def to_the_second(self, name: str) -> str:
        """The time that the form was opened with, where it has seconds; it goes along in a field of its own."""
        sent, text = self.value(name + TO_THE_SECOND), self.value(name)
        return sent or (text if to_the_minute(text) != text else "")

    def rows(self, name: str, usual: int) -> list[int]:
        """The numbers of the rows that the list `name` shows; of one row more, asked for by itself, that one."""
        if self.row_asked.get(MORE) == name:
            last = self.row_asked.get(f"{name}_rows", "")
            return [int(last) + 1] if last.isascii() and last.isdigit() and len(last) < 4 else [usual + 1]
        typed = self.typed if self.typed is not None and len(self.typed) else None
        return rows_shown(name, usual, self.values if typed is None else typed, typed.get(MORE, "") if typed else "")

    def theirs(self, name: str) -> list[str] | None:
        """What somebody else wrote into field `name` meanwhile; None where nobody did."""
        return self.meanwhile.values.get(name)


@dataclass(frozen=True)
class Site:
    """What every page knows of where it stands; `garage` tells this notebook from others at the same address."""

    path: str
    demo: bool
    notice: Any
    today: str
    now_local: str
    units: Any
    at_desk: bool
    representations: tuple[tuple[str, str], ...] = ()
    read_only: bool = False
    screen: str = ""
    garage: str = ""

    @property
    def rooms(self) -> tuple[RoomLink, ...]:
        """The rooms in the bar."""
        return BAR

    @property
    def room(self) -> RoomLink:
        """The room in which this page lies."""
        return room_of(self.path)


@pass_context
def _shown(_context: Context, measure: Measure | None, decimals: int | None = None, how: bool = True) -> Markup:
    """A measure as the person reads it: number, small unit, and how it is known."""
    if measure is None or measure.value is None:
        return Markup('<span class="how">not known</span>')
    unit = kept_units.get().unit(measure.kind)
    text = show(measure.value, measure.kind, unit, decimals)
    html = _with_unit(text)
    if measure.low is not None and measure.high is not None:
        low, high = (show(end, measure.kind, unit, decimals).text for end in (measure.low, measure.high))
        html += Markup(' <span class="unit">({} to {})</span>').format(low, high)
    if how and measure.origin:
        html += origin(measure.origin, before=" ")
    if measure.caution:
        html += Markup(' <span class="flag">{}</span>').format(measure.caution)
    return html


@pass_context
def _quantity(_context: Context, value: float | None, kind: str, decimals: int | None = None) -> Markup:
    """A bare number of `kind` with its unit, or a dash."""
    if value is None:
        return Markup("–")
    text = show(value, kind, kept_units.get().unit(kind), decimals)
    return _with_unit(text)


@pass_context
def _figure(_context: Context, value: float | None, kind: str, decimals: int | None = None) -> str:
    """The digits of `value` alone, for where the unit stands in a heading; nothing for nothing."""
    return "" if value is None else show(value, kind, kept_units.get().unit(kind), decimals).text


def _with_unit(text: Shown) -> Markup:
    """Digits and a small unit; the sign of a degree stands close."""
    css = "unit close" if text.unit == "°" else "unit"
    return Markup('{}<span class="{}">{}</span>').format(text.text, css, text.unit)


@pass_context
def _unit(_context: Context, kind: str) -> str:
    """The unit that the person prefers for `kind`."""
    return kept_units.get().unit(kind)


def _day(moment: Moment | str | None) -> str:
    if not moment:
        return ""
    return moment.day() if isinstance(moment, Moment) else day_text(moment)


def _short_day(moment: Moment) -> str:
    """The local date with its month cut short, `31 Oct 2026`, for a line of a table."""
    day, month, year = moment.day().split()
    return f"{day} {month if len(month) < 5 else month[:3]} {year}"


def _by_month(rows: Iterable[Any], path: str = "started") -> list[tuple[str, list[Any]]]:
    """Rows month by month in their order, `October 2026` and those of it, by the moment that each has at `path`."""
    when = attrgetter(path)
    months = groupby(rows, key=lambda row: when(row).day().partition(" ")[2])
    return [(month, list(found)) for month, found in months]


def _commonest(rows: Iterable[Any], name: str) -> str:
    """What more than half of `rows` say under `name`, all but one part between commas at most, for a caption that says
    it once; nothing if none does."""
    said = Counter(getattr(row, name) for row in rows)
    text = said.most_common(1)[0][0] if said else ""
    alike = sum(times for other, times in said.items() if _near(other, text))
    return text if alike * 2 > said.total() else ""


def _near(text: str, usual: str) -> bool:
    """Whether a text says the same as another but for one part between commas, not the first, at most."""
    parts, others = text.split(", "), usual.split(", ")
    if len(parts) != len(others) or parts[0] != others[0]:
        return False
    return sum(part != other for part, other in zip(parts, others, strict=True)) <= 1


def _unlike(text: str, usual: str) -> str:
    """What `text` says otherwise than `usual`, part by part between commas where both are put alike; else all of it."""
    parts, others = text.split(", "), usual.split(", ")
    if len(parts) != len(others) or parts[0] != others[0]:
        return text if text != usual else ""
    return ", ".join(part for part, other in zip(parts, others, strict=True) if part != other)


def _plain(text: Any) -> str:
    """What stands on a page as words alone, for the closed line of a fold; a unit keeps its distance."""
    return Markup(str(text).replace('<span class="unit">', "\u00a0")).striptags()


def _paragraphs(text: str) -> Markup:
    """Typed text with its line breaks kept, and nothing in it taken for markup."""
    return Markup("<br>").join(escape(line) for line in (text or "").splitlines())


def _sentence(text: str) -> str:
    """`text` with its first letter large and the rest as it was: "GPS unit" stays so."""
    return text[:1].upper() + text[1:]


@cache
def make_environment() -> Environment:
    """The Jinja environment: escaping always on, and a name that is missing is an error. The apps of a process share
    one, since it holds nothing of theirs: what one has compiled, none compiles again."""
    environment = Environment(
        loader=FileSystemLoader(TEMPLATES_DIR),
        bytecode_cache=CompiledTemplates(TEMPLATES_DIR, (Path(__file__), Path(numbers.__file__))),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        auto_reload=False,
        extensions=[Numbered],
    )
    environment.globals |= {"number_field": number_field, "shown_field": shown_field}
    environment.tests["telling_origins"] = tells_origins
    environment.filters |= {
        "shown": _shown,
        "origin": origin,
        "grouped": grouped,
        "quantity": _quantity,
        "figure": _figure,
        "day": _day,
        "short_day": _short_day,
        "commonest": _commonest,
        "by_month": _by_month,
        "paragraphs": _paragraphs,
        "preferred_unit": _unit,
        "asked_as": asked_as,
        "sentence": _sentence,
        "as_lines": as_lines,
        "with_roles": with_roles,
        "unlike": _unlike,
        "plain": _plain,
        "verdict_said": verdict_said,
    }
    return environment


def render(
    request: Request,
    template: str,
    sheet: Any,
    entry: Entry | None = None,
    *,
    status: int = 200,
    representations: tuple[tuple[str, str], ...] = (),
    number: str = "",
    shown: FormShown | None = None,
    units: DisplayUnits | None = None,
) -> Response:
    """The page of `template` about `sheet`; `representations` name the same content in other forms,
    `number` is that of a form that was refused, `shown` what its edit form shows, `units`
    those that it is written in, if they are not the preferred ones."""
    state = request.app.state
    entry, units = entry or Entry(), units or state.units
    asked = request.query_params if "hx-request" in request.headers else {}
    entry = replace(entry, values=getattr(sheet, "values", None) or {}, row_asked=asked)
    moment = Moment.of(state.settings.clock())
    notice = take_notice(request)
    desk = is_loopback(request.scope) or not state.settings.lan
    site = Site(
        request.url.path,
        state.demo,
        notice,
        moment.date(),
        moment.local_text(),
        units,
        desk,
        representations,
        state.settings.read_only,
        screen_of(request),
        state.garage,
    )
    kept_units.set(units)
    kept_number.set(number)
    kept_shown.set(shown)
    html = state.templates.get_template(template).render(sheet=sheet, entry=entry, site=site)
    response = HTMLResponse(html, status_code=status)
    # After an upload with a progress bar the browser fetches this page a second time, and shows that one; a script that
    # only looks whether something changed shows none.
    if site.notice is not None and not _SHOWS_NOTHING & set(request.headers):
        response.delete_cookie(COOKIE, httponly=True, samesite="strict")
    return response
