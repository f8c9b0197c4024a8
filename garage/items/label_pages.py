"""Routes of printed labels for packs and props."""

from dataclasses import dataclass, field

from markupsafe import Markup

from garage.access.qr import qr_inline
from garage.measures import Measure
from garage.packs import store as pack_store
from garage.packs.store import pack_text
from garage.packs.tables import Pack
from garage.packs.verdict_store import retire_word, retire_words
from garage.props import store as prop_store
from garage.props.tables import Prop, PropEdition
from garage.web.desk import Desk
from garage.web.pages import Pages

pages = Pages()


PER_SHEET = 24


@dataclass(frozen=True)
class Label:
    """One label. `words` are what Search opens the page by, as printed and in the QR code."""

    words: str
    address: str
    what: str
    facts: list[str]
    size: Measure
    first_charge: str
    is_pack: bool
    retire: str = ""
    code: Markup = field(default=Markup(""), repr=False)


@dataclass(frozen=True)
class LabelSheet:
    """Labels to print, some to a sheet of paper."""

    title: str
    labels: list[Label]
    back: str
    base: str
    page: int
    more: bool


@pages.sheet("/packs/{pack_id:int}/label", "items/labels.html")
def show_pack_label(desk: Desk, pack_id: int) -> LabelSheet:
    pack = pack_store.pack(desk.session, pack_id)
    label = _pack_label(pack, retire_word(desk.session, pack_id))
    return LabelSheet(f"Label of pack {pack.code}", [label], f"/packs/{pack_id}", "", 1, False)


@pages.sheet("/props/{prop_id:int}/label", "items/labels.html")
def show_prop_label(desk: Desk, prop_id: int) -> LabelSheet:
    prop = prop_store.prop(desk.session, prop_id)
    latest = prop_store.latest_edition(desk.session, prop_id)
    return LabelSheet(f"Label of prop {prop.code}", [_prop_label(prop, latest)], f"/props/{prop_id}", "", 1, False)


@pages.sheet("/packs/labels", "items/labels.html")
def show_pack_labels(desk: Desk) -> LabelSheet:
    first = (desk.page - 1) * PER_SHEET
    found = pack_store.packs(desk.session, limit=PER_SHEET + 1, offset=first)
    retire = retire_words(desk.session, [pack.id for pack in found])
    labels = [_pack_label(pack, retire.get(pack.id, "")) for pack in found[:PER_SHEET]]
    more = len(found) > PER_SHEET
    return LabelSheet("Labels of packs", labels, "/packs", "/packs/labels?", desk.page, more)


@pages.sheet("/props/labels", "items/labels.html")
def show_prop_labels(desk: Desk) -> LabelSheet:
    first = (desk.page - 1) * PER_SHEET
    found = prop_store.props(desk.session, limit=PER_SHEET + 1, offset=first)
    labels = [_prop_label(prop, latest) for prop, latest in found[:PER_SHEET]]
    more = len(found) > PER_SHEET
    return LabelSheet("Labels of props", labels, "/props", "/props/labels?", desk.page, more)


def _pack_label(pack: Pack, retire: str) -> Label:
    words = f"pack {pack.code}"
    stated = f"{pack.stated_c:g} C stated" if pack.stated_c else ""
    full = f"full at {pack.full_v_per_cell:g} V a cell"
    what = pack_text(pack).text.split(" · ", 1)[-1]
    facts = [fact for fact in (pack.name, stated, full, pack.connector) if fact]
    size = Measure(pack.mass_g, "mass", "weighed")
    return Label(words, f"/packs/{pack.id}", what, facts, size, pack.first_charged_on, True, retire, qr_inline(words))


def _prop_label(prop: Prop, latest: PropEdition) -> Label:
    words = f"prop {prop.code}"
    both = latest.diameter_mm and latest.pitch_mm
    what = f"{latest.diameter_mm:g} × {latest.pitch_mm:g} mm" if both else prop.printed_name
    hand = f"{prop.blades} blades, {prop.hand} hand"
    facts = [fact for fact in (f"edition {latest.number}", prop.printed_name, hand) if fact]
    size = Measure(latest.mass_g, "mass", "weighed")
    return Label(words, f"/props/{prop.id}", what, facts, size, "", False, "", qr_inline(words))
