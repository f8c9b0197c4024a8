"""What the page of a visit to the workshop shows."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from garage.hulls.tables import Hull
from garage.moments import Moment
from garage.states.content_sheets import SettingLine, setting_line
from garage.states.fold import ChangeFormData, Content, at_place, short, split_place
from garage.states.query_store import moment_of
from garage.states.settings_list import GROUPS, Setting, asked_for, balance_datum, left_over
from garage.states.tables import PLACES, BuildState
from garage.states.visit_forms import DAMAGE_LINES, PART_LINES, OnOffer, damage_field
from garage.states.wording import change_text, part_name, where
from garage.units import DisplayUnits

_MOST_SAID = 6


@dataclass(frozen=True)
class SettingRow:
    """One setting of the form: its field, what stands there now, and what it is measured from.

    `field` is '' where it can only be cleared: at a place that the hull does not have any more.
    """

    setting: str
    place: str
    name: str
    kind: str
    field: str
    clear: str
    datum: str
    hint: str
    now: SettingLine | None
    choices: tuple[str, ...] = ()
    unit: str = ""


@dataclass(frozen=True)
class SettingRows:
    """A group of settings of the form; `fields` are the names in it."""

    name: str
    rows: list[SettingRow]
    fields: list[str]


@dataclass(frozen=True)
class VisitSheet:
    """The form of a visit. `state` and `mark` say what the boat is in at the time of the visit;
    `is_past` that something later is written down already."""

    hull_id: int
    hull: str
    hull_kind: str
    hull_length_known: bool
    fixed_tube: bool
    two_screws: bool
    state: int | None
    mark: str
    fingerprint: str
    made: Moment | None
    is_past: bool
    fitted: list[tuple[int, str]]
    fittable: list[tuple[int, str]]
    reworkable: list[tuple[int, str]]
    installed: list[tuple[int, str]]
    installable: list[tuple[str, str]]
    groups: list[SettingRows]
    open_damage: list[tuple[str, str]]
    values: dict[str, str]
    places: tuple[str, ...] = PLACES[1:]
    part_lines: int = PART_LINES
    damage_lines: int = DAMAGE_LINES


def visit_sheet(
    hull: Hull,
    found: BuildState | None,
    content: Content,
    offer: OnOffer,
    units: DisplayUnits,
    values: Mapping[str, str],
    *,
    is_past: bool,
) -> VisitSheet:
    """The form of a visit to `hull` while it is in state `found` with `content`, mistakes mended."""
    return VisitSheet(
        hull_id=hull.id,
        hull=hull.name,
        hull_kind=hull.kind,
        hull_length_known=hull.length_mm is not None,
        fixed_tube=hull.fixed_tube,
        two_screws=hull.screws == 2,
        state=found.number if found else None,
        mark=found.mark if found else "",
        fingerprint=short(found.fingerprint) if found else "",
        made=moment_of(found) if found else None,
        is_past=is_past,
        fitted=[(int(key), str(detail.get("title"))) for key, detail in content.fitted.items()],
        fittable=list(offer.fittable.items()),
        reworkable=list(offer.reworkable.items()),
        installed=[
            (entry["part_id"], part_name(entry) + where(split_place(key)[1])) for key, entry in content.parts.items()
        ],
        installable=[(str(part_id), name) for part_id, name in offer.installable.items()],
        groups=[_rows(group, hull, content, units) for group in GROUPS],
        open_damage=[(damage_field(key), "".join(_damage_words(key))) for key in content.damage],
        values=dict(values),
    )


def _damage_words(key: str) -> Iterable[str]:
    what, place = split_place(key)
    return what, where(place)


def _rows(group: str, hull: Hull, content: Content, units: DisplayUnits) -> SettingRows:
    rows = [
        _row(setting, place, hull, content, units)
        for setting, place in asked_for(hull.screws)
        if setting.group == group
    ]
    gone = [
        replace(_row(setting, place, hull, content, units), field="")
        for setting, place in left_over(hull.screws, content.settings)
        if setting.group == group
    ]
    rows += gone
    fields = [row.field for row in rows if row.field and row.kind != "balance"]
    if any(row.kind == "balance" for row in rows):
        fields += ["set_balance_mm", "set_balance_percent"]
    return SettingRows(group, rows, [*fields, *(row.clear for row in rows)])


def _row(setting: Setting, place: str, hull: Hull, content: Content, units: DisplayUnits) -> SettingRow:
    key = at_place(setting.key, place)
    now = setting_line(key, content.settings[key], units, []) if key in content.settings else None
    datum = balance_datum(hull.kind) if setting.kind == "balance" else setting.datum
    return SettingRow(
        setting.key,
        place,
        setting.name + where(place),
        setting.kind,
        setting.field(place),
        f"clear_{setting.key}_{place}",
        datum,
        setting.hint,
        now,
        setting.choices,
        setting.unit,
    )


def said(changes: Sequence[ChangeFormData], units: DisplayUnits) -> str:
    """What was done in a visit, in one line for the next page."""
    texts = [change_text(change, units) for change in changes[:_MOST_SAID]]
    more = f" and {len(changes) - _MOST_SAID} more" if len(changes) > _MOST_SAID else ""
    return "; ".join(texts) + more + "."
