"""What this room keeps, for whoever attaches something to it, searches it, or brings it back."""

from garage.fields.definition import searched
from garage.packs.fields import FIELDS, LOG_FIELDS, READING_FIELDS, RETIREMENT_FIELDS, SET_FIELDS
from garage.things import OWN_TEXTS, Binned, Found, Kind, takes_fields, texts

PACK = Kind(
    "pack",
    "pack",
    title="t.code || CASE WHEN t.name <> '' THEN ' · ' || t.name ELSE '' END || ', ' || t.cells_s || 'S'",
    called="trim(t.code || ' ' || t.name)",
    shelved="'Pack ' || t.code",
    url="'/packs/' || t.id",
    came="t.bought_on",
    in_use="t.retired_on = ''",
    aside="t.retired_on <> ''",
    found=Found(
        "pack",
        8,
        "Packs",
        texts(*searched(FIELDS, "title")),
        texts(*searched((*FIELDS, *RETIREMENT_FIELDS), "text"), "damage") + " || ' ' || " + OWN_TEXTS,
        code="code",
    ),
    takes=takes_fields("pack", "Packs", FIELDS, "pack"),
)
PACK_SET = Kind(
    "pack set",
    "pack_set",
    title="t.name",
    url="'/packs/sets'",
    aside="t.retired_on <> ''",
    found=Found(
        "set", 18, "Sets of packs", texts(*searched(SET_FIELDS, "title")), texts(*searched(SET_FIELDS, "text"))
    ),
)


def _of_pack(name: str, table: str, title: str, found: Found, binned: Binned) -> Kind:
    """A kind whose rows belong to a pack: shown on its page, with a time of their own."""
    return Kind(
        name,
        table,
        title,
        url="'/packs/' || t.pack_id",
        joins="JOIN pack ON pack.id = t.pack_id",
        aside="t.set_aside_at IS NOT NULL",
        at="t.at",
        offset_min="t.offset_min",
        found=found,
        binned=binned,
    )


PACK_LOG = _of_pack(
    "pack log",
    "pack_log",
    title="'Pack ' || pack.code || ', ' || t.kind",
    found=Found(
        "pack log", 20, "Pack log", texts(*searched(LOG_FIELDS, "title")), texts(*searched(LOG_FIELDS, "text"))
    ),
    binned=Binned(
        "pack log",
        "pack.code || ', ' || t.kind || ' of ' || substr(t.at, 1, 10)",
        "'/packs/' || t.pack_id || '/log'",
        "'/packs/' || t.pack_id || '/log/' || t.id || '/return'",
        # The discharge of a run comes back with its run.
        only="t.run_id IS NULL",
    ),
)
PACK_READING = _of_pack(
    "pack reading",
    "pack_reading",
    title="'Pack ' || pack.code || ', resistance'",
    found=Found(
        "pack reading",
        21,
        "Resistance readings",
        texts(*searched(READING_FIELDS, "title")),
        texts(*searched(READING_FIELDS, "text")),
    ),
    binned=Binned(
        "resistance reading",
        "pack.code || ', reading of ' || substr(t.at, 1, 10)",
        "'/packs/' || t.pack_id || '/readings'",
        "'/packs/' || t.pack_id || '/readings/' || t.id || '/return'",
    ),
)
THINGS = (PACK, PACK_SET, PACK_LOG, PACK_READING)
