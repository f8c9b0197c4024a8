"""What was picked in a run form, settled against what is in the notebook: codes found, packs looked at."""

from collections.abc import Collection, Iterable, Sequence

from sqlmodel import Session

from garage.fields.definition import FormData
from garage.moments import day_text
from garage.packs.store import PackText, packs_by_codes, packs_by_ids
from garage.packs.tables import Pack
from garage.packs.verdict_store import not_without_asking
from garage.props.store import edition_by_code, edition_texts
from garage.runs.entry.forms import HIGHEST_END_V, LOWEST_END_V, PackPick, PropPick
from garage.runs.form_data import PackUse, PropUse
from garage.web.fields import Reader

# Resting volts per cell that a pack can have and still be one: flat out below, over-full above.
LOWEST_CELL_V, HIGHEST_CELL_V = 2.5, 4.5


def resolve_packs(
    session: Session, reader: Reader, pick: PackPick, field: str = "pack", kept_ids: Collection[int] = ()
) -> list[Pack]:
    """The packs picked, in their order; messages go beside `field`, `{field}_code` and `{field}_anyway`.

    Those in `kept_ids` are in the run already and are not questioned again.
    """
    packs = _by_codes(session, reader, pick, field) if pick.codes else _by_ids(session, reader, pick, field)
    if len({pack.id for pack in packs}) < len(packs):
        reader.fail(f"{field}_code", "The same pack is in there twice.")
    asked = [] if pick.anyway else [pack for pack in packs if pack.id not in kept_ids]
    against = not_without_asking(session, asked)
    for pack in asked:
        why = against.get(pack.id, "")
        if pack.retired_on or why:
            gone = pack.retired_reason or pack.retired_how or f"on {day_text(pack.retired_on)}"
            what = f"retired ({gone})" if pack.retired_on else why
            reader.fail(f"{field}_anyway", f"Pack {pack.code}: {what}. Tick this if it really ran.")
    return packs


def _by_codes(session: Session, reader: Reader, pick: PackPick, field: str) -> list[Pack]:
    packs = []
    for code, pack in zip(pick.codes, packs_by_codes(session, pick.codes), strict=True):
        if pack is None:
            reader.fail(f"{field}_code", f"No pack in the notebook has the code {code}.")
        else:
            packs.append(pack)
    return packs


def _by_ids(session: Session, reader: Reader, pick: PackPick, field: str) -> list[Pack]:
    known = packs_by_ids(session, pick.ids)
    if any(pack_id not in known for pack_id in pick.ids):
        reader.fail(field, "Choose one from the list.")
    return [known[pack_id] for pack_id in pick.ids if pack_id in known]


def wirings_of(count: int, wiring: str) -> tuple[str, ...]:
    """The wiring of each of `count` packs: series unless told otherwise, one on each side for `left`."""
    if count < 2:
        return ("single",) * count
    if wiring in ("left", "right"):
        return ("left", "right", *("right",) * (count - 2))
    return (wiring if wiring in ("series", "parallel") else "series",) * count


def pack_uses(
    reader: Reader, packs: Sequence[Pack], wiring: str, readings: Sequence[FormData], rows: Sequence[str]
) -> list[PackUse]:
    """Packs with what was read off each. `rows` are the beginnings of the fields the readings came from."""
    wirings = wirings_of(len(packs), wiring)
    uses = []
    for number, row in enumerate(rows):
        if number < len(packs):
            use = PackUse(packs[number].id, wirings[number], **readings[number])
            check_readings(reader, packs[number], use, row)
            uses.append(use)
        elif any(value not in (None, ()) for value in readings[number].values()):
            reader.fail(f"{row}_charge", "There is no such pack in this run: readings without a pack.")
    for pack, wired in list(zip(packs, wirings, strict=True))[len(rows) :]:
        uses.append(PackUse(pack.id, wired))
    return uses


def check_readings(reader: Reader, pack: Pack | PackText, read: PackUse, row: str) -> None:
    """Put what cannot be true of `pack` beside the fields of its readings, which begin with `row`."""
    cells = pack.cells_s
    if read.rested_v is not None and not LOWEST_CELL_V * cells <= read.rested_v <= HIGHEST_CELL_V * cells:
        words = f"{LOWEST_CELL_V * cells:g} V and {HIGHEST_CELL_V * cells:g} V"
        reader.fail(f"{row}_rested", f"{cells}S rests between {words}: write the voltage of the whole pack.")
    if read.volts_after and len(read.volts_after) != cells:
        count = len(read.volts_after)
        told = "1 is" if count == 1 else f"{count} are"
        reader.fail(f"{row}_volts", f"Pack {pack.code} has {cells} cells, but {told} written here.")
    elif read.end_v is not None and not LOWEST_END_V * cells <= read.end_v <= HIGHEST_END_V * cells:
        words = f"{LOWEST_END_V * cells:g} V and {HIGHEST_END_V * cells:g} V"
        reader.fail(f"{row}_volts", f"{cells}S stands between {words} after a run.")
    if read.charge_mah is not None and read.charge_mah > 2 * pack.capacity_mah:
        holds = f"{pack.capacity_mah:.0f} mAh"
        reader.fail(f"{row}_charge", f"More than twice what pack {pack.code} holds ({holds}).")


def resolve_props(
    session: Session, reader: Reader, picks: Sequence[PropPick], prefix: str = "prop", kept: Iterable[PropUse] = ()
) -> list[PropUse]:
    """The prop editions picked, by place; messages go beside `{prefix}_{place}` and `…_code`. Those `kept` are in the
    run already."""
    known = {use.edition_id for use in kept}
    asked = {pick.edition_id for pick in picks if pick.edition_id} - known
    known |= set(edition_texts(session, asked)) if asked else set()
    uses = []
    for pick in (pick for pick in picks if not pick.not_known):
        if pick.code:
            found = edition_by_code(session, pick.code)
            if found is None or found.id is None:
                words = f"No prop in the notebook has the code {pick.code}."
                reader.fail(f"{prefix}_{pick.place}_code", words)
            else:
                uses.append(PropUse(found.id, pick.place))
        elif pick.edition_id in known:
            uses.append(PropUse(pick.edition_id, pick.place))
        else:
            reader.fail(f"{prefix}_{pick.place}", "Choose one from the list.")
    return uses
