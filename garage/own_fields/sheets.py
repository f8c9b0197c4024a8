"""What the pages of a person's own fields show."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from garage.fields.definition import Field
from garage.fields.forms import fill, fresh
from garage.own_fields.fields import CHOICE, CHOICES, FIELDS, MEASURES, NUMBER, OWN_KINDS, PLAIN_KINDS, YES_NO
from garage.own_fields.forms import number_texts
from garage.own_fields.tables import THINGS, OwnField
from garage.things import TakesFields
from garage.units import KINDS, DisplayUnits


@dataclass(frozen=True)
class OwnFieldLine:
    """One own field; `name` is what data and table files call it, `unit` that of its values there, `used` how many
    things have a value in it."""

    id: int
    thing: str
    name: str
    label: str
    kind: str
    unit: str
    choices: list[str]
    hint: str
    prior_percent: float
    used: int
    put_away: bool


@dataclass(frozen=True)
class OwnFieldGroup:
    """The own fields of one kind of thing."""

    thing: str
    title: str
    lines: list[OwnFieldLine]


@dataclass(frozen=True)
class OwnFieldListSheet:
    """All own fields, by the things that have them."""

    groups: list[OwnFieldGroup]
    rows: list[OwnFieldLine]


@dataclass(frozen=True)
class OwnFieldFormSheet:
    """The form of an own field; `number` is None for a new one. `used` is how many things have a value in it; choices
    and bounds are then asked for only where it has them."""

    number: int | None
    thing: str
    title: str
    note: str
    label: str
    has_choices: bool
    has_bounds: bool
    kind_words: str
    unit: str
    used: int
    values: dict[str, str]
    fields: tuple[Field, ...] = FIELDS

    @property
    def plain_kinds(self) -> tuple[tuple[str, str], ...]:
        """What most people mean to write, each with its words."""
        return PLAIN_KINDS

    @property
    def measures(self) -> tuple[tuple[str, str], ...]:
        """What the notebook can show in another unit, each with its words."""
        return MEASURES


@dataclass(frozen=True)
class PutAwaySheet:
    """Asking whether an own field is put away."""

    line: OwnFieldLine
    title: str


def own_field_list_sheet(
    rows: Sequence[OwnField], counts: Mapping[int, int], taking: Sequence[TakesFields]
) -> OwnFieldListSheet:
    """The list, with every kind of thing that may be given fields."""
    lines = [own_field_line(row, counts.get(row.id, 0)) for row in rows]
    in_order = sorted(taking, key=lambda one: THINGS.index(one.thing))
    groups = [
        OwnFieldGroup(one.thing, one.title, [line for line in lines if line.thing == one.thing]) for one in in_order
    ]
    return OwnFieldListSheet(groups, lines)


def own_field_line(row: OwnField, used: int) -> OwnFieldLine:
    """One own field as a line."""
    return OwnFieldLine(
        row.id,
        row.thing,
        row.name,
        row.label,
        row.kind,
        KINDS[row.kind].storage_unit if row.kind in KINDS else row.unit,
        ["no", "yes"] if row.kind == YES_NO else row.choices.splitlines(),
        row.hint,
        row.prior_percent,
        used,
        row.set_aside_at is not None,
    )


def new_own_field_sheet(of: TakesFields, units: DisplayUnits) -> OwnFieldFormSheet:
    """The form of a new field."""
    return OwnFieldFormSheet(
        None, of.thing, of.title, of.note, "", True, True, "", "", 0, fresh(FIELDS, units)
    )  # fmt: skip


def own_field_form_sheet(row: OwnField, of: TakesFields, used: int, units: DisplayUnits) -> OwnFieldFormSheet:
    """The form of a field that is there; of what kind it is can be told anew only while nothing stands in it."""
    typed = fill(FIELDS, row, units) | number_texts(row, units)
    typed |= {f"{CHOICES.name}_{number}": text for number, text in enumerate(row.choices.splitlines(), 1)}
    words = dict(OWN_KINDS)[row.kind]
    return OwnFieldFormSheet(
        row.id,
        of.thing,
        of.title,
        of.note,
        row.label,
        not used or row.kind == CHOICE,
        not used or row.kind == NUMBER or row.kind in KINDS,
        words,
        row.unit,
        used,
        typed,
    )
