"""What the list of props and a prop's own page show."""

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Annotated

from garage.corrections.tables import Correction
from garage.fields.showing import OWN, FieldValues, by_column, in_words, values
from garage.inventory.sameness import Sameness
from garage.items.prop_slip_store import SlipLine
from garage.items.use_store import Use
from garage.measures import Measure
from garage.moments import day_text
from garage.photos.sheets import Attached, attached
from garage.photos.tables import Attachment
from garage.props.fields import EDITION_FIELDS, FIELDS, RETIREMENT_FIELDS, all_fields
from garage.props.sheets import (
    EditionView,
    PropFacts,
    edition_view,
    prop_facts,
    ratio_text,
    workshop_cautions,
)
from garage.props.tables import Prop, PropEdition
from garage.reference import Caution
from garage.shelf.fields import LENT_FIELDS
from garage.shelf.lending import lent_values, standing_of
from garage.shelf.sheets import ShelfSheet, shelf_sheet
from garage.shelf.store import Kept
from garage.shelf.tables import Loan
from garage.units import DisplayUnits, show

_MENDED = by_column(EDITION_FIELDS)
_BLADE_PITCHES = "pitch_per_blade_mm"


@dataclass(frozen=True)
class PropLine:
    """One prop in the list, as its latest edition is."""

    id: int
    code: str
    printed_name: str
    edition: int
    reworks: str
    diameter: Measure
    pitch: Measure
    ratio: str
    blades: int
    hand: str
    material: str
    condition: str
    retired_on: str
    fields: Annotated[FieldValues, FIELDS, OWN]
    edition_fields: Annotated[FieldValues, EDITION_FIELDS]
    lent: str
    loan: Annotated[FieldValues, LENT_FIELDS]
    end: Annotated[FieldValues, RETIREMENT_FIELDS]


@dataclass(frozen=True)
class PropListSheet:
    """Props in use, or retired ones."""

    rows: list[PropLine]
    retired: bool
    page: int
    more: bool


@dataclass(frozen=True)
class PropSheet:
    """One prop: as it is, how it became so, what it did, what is attached, where it lies."""

    facts: PropFacts
    now: EditionView
    editions: list[EditionView]
    use: Use
    slips: list[SlipLine]
    cautions: list[Caution]
    attached: Attached
    shelf: ShelfSheet
    same: Sameness


def prop_list_sheet(
    found: Sequence[tuple[Prop, PropEdition]],
    lent: Mapping[int, Loan],
    *,
    today: str,
    retired: bool,
    page: int,
    limit: int,
) -> PropListSheet:
    """The list; `found` holds one more than `limit` if there is a further page."""
    rows = [_line(prop, edition, lent.get(prop.id), today) for prop, edition in found[:limit]]
    return PropListSheet(rows, retired, page, len(found) > limit)


def prop_sheet(
    prop: Prop,
    editions: Sequence[PropEdition],
    mended: Mapping[int, Sequence[Correction]],
    use: Use,
    slips: list[SlipLine],
    rows: Sequence[Attachment],
    receipts: Sequence[Attachment],
    kept: Kept,
    today: str,
    units: DisplayUnits,
    same: Sameness,
) -> PropSheet:
    """The page of one prop; `editions` newest first."""
    views = [edition_view(one, _mended_words(mended.get(one.id, []), units)) for one in editions]
    return PropSheet(
        prop_facts(prop),
        views[0],
        views,
        use,
        slips,
        workshop_cautions(prop),
        attached("prop", prop.id, rows),
        shelf_sheet("prop", prop.id, kept, receipts, today, retired=bool(prop.retired_on)),
        same,
    )


def _line(prop: Prop, edition: PropEdition, loan: Loan | None, today: str) -> PropLine:
    view = edition_view(edition)
    return PropLine(
        id=prop.id,
        code=prop.code,
        printed_name=prop.printed_name,
        edition=edition.number,
        reworks=edition.reworks,
        diameter=view.diameter,
        pitch=view.pitch,
        ratio=ratio_text(edition),
        blades=prop.blades,
        hand=prop.hand,
        material=prop.material,
        condition=edition.condition,
        retired_on=prop.retired_on,
        fields=values(all_fields(), prop),
        edition_fields=view.fields,
        lent=standing_of(prop, loan, today),
        loan=lent_values(loan),
        end=values(RETIREMENT_FIELDS, prop),
    )


def _mended_words(slips: Sequence[Correction], units: DisplayUnits) -> list[str]:
    return [_words(slip, units) for slip in slips if slip.field == _BLADE_PITCHES or slip.field in _MENDED]


def _words(mended: Correction, units: DisplayUnits) -> str:
    """`Mended on 9 May 2026: diameter 44 mm stood as 24 mm (typed wrong)`."""
    label = "pitch of each blade" if mended.field == _BLADE_PITCHES else _MENDED[mended.field].in_sentence
    old, new = (_value(text, mended.field, units) if text else "open" for text in (mended.old, mended.new))
    return f"Mended on {day_text(mended.at[:10])}: {label} was {old}, is {new} ({mended.why})."


def _value(text: str, field: str, units: DisplayUnits) -> str:
    """A stored value as it is worth reading; the pitches of the blades with semicolons."""
    if field != _BLADE_PITCHES:
        return in_words(_MENDED[field], text, units)
    return "; ".join(str(show(pitch, "length", units.unit("length"))) for pitch in json.loads(text))
