"""The packs and props of runs already written, as the evening has them: others, those of another run, or not known."""

from collections.abc import Mapping, Sequence
from dataclasses import replace

from sqlmodel import Session

from garage.packs.tables import Pack
from garage.runs.entry.forms import PackPick, split_codes
from garage.runs.entry.resolve_store import resolve_packs, wirings_of
from garage.runs.form_data import PackUse, RunFormData
from garage.runs.lines.store import PackOn
from garage.runs.not_known import NOT_KNOWN
from garage.runs.wiring import WIRINGS
from garage.web.fields import Reader
from garage.web.rows import texts_in

SWAPS = ("packs", "props")


def read_packs(
    session: Session, reader: Reader, row: str, now: RunFormData, on_board: Sequence[PackOn]
) -> tuple[RunFormData, dict[int, Pack]]:
    """The run of a row with the packs that stand in it, and these by number. What was read off a pack stays with the
    run: where one takes another's place, it was written under the wrong name."""
    stood = {on.pack.id: on.pack for on in on_board}
    if not any(name.startswith(f"{row}_pack_") for name in reader.names()):
        return now, stood
    codes = tuple(cell.text for cell in texts_in(reader, f"{row}_pack", split_codes, most=60))
    if [code.casefold() for code in codes] == [NOT_KNOWN]:
        return replace(now, packs=(), not_known=now.not_known | {"pack"}), {}
    if not codes and stood:
        reader.fail(f"{row}_pack_1", f"Which pack? Write “{NOT_KNOWN}” where nobody knows any more.")
    wiring = reader.choice(f"{row}_wiring", ("", *WIRINGS))
    same = [code.casefold() for code in codes] == [on.pack.code.casefold() for on in on_board]
    if not codes or same and (not wiring or wiring == _wiring(now.packs)):
        return now, stood
    pick = PackPick(codes=codes, wiring=wiring, anyway=reader.flag(f"{row}_pack_anyway"))
    packs = resolve_packs(session, reader, pick, field=f"{row}_pack", kept_ids=stood)
    if words := reader.errors.pop(f"{row}_pack_code", ""):
        reader.fail(f"{row}_pack_1", words)
    wirings = wirings_of(len(packs), wiring or _wiring(now.packs))
    return with_packs(now, _in_place_of(now.packs, packs, wirings)), {pack.id: pack for pack in packs}


def with_packs(form: RunFormData, packs: tuple[PackUse, ...]) -> RunFormData:
    """A run with other packs; a temperature of a pack that is in it no more is that of the one in its place."""
    instead = {was.pack_id: use.pack_id for was, use in zip(form.packs, packs, strict=False)}
    there = {use.pack_id for use in packs}
    readings = tuple(
        one if one.pack_id is None or one.pack_id in there else replace(one, pack_id=instead.get(one.pack_id))
        for one in form.temperatures
    )
    return replace(form, packs=packs, temperatures=readings, not_known=form.not_known - {"pack"})


def swap(reader: Reader, before: Mapping[int, RunFormData], now: dict[int, RunFormData]) -> None:
    """Let runs have each other's packs or props where their rows say so, with what was read off the packs: it goes by
    the pack that it was read off. Puts both into `now`; messages go beside the choice."""
    for what in SWAPS:
        swapped: set[int] = set()
        for one in list(now):
            name = f"r{one}_swap_{what}"
            text = reader.text(name, most=12)
            if not text:
                continue
            other = int(text) if text.isascii() and text.isdigit() else 0
            if other not in now or other == one:
                reader.fail(name, "Choose one from the list.")
            elif reader.text(f"r{other}_swap_{what}", most=12) not in ("", str(one)):
                reader.fail(name, "That run is swapped with another one: each with one at a time.")
            elif one not in swapped:
                _swap_both(reader, name, what, (one, other), before, now)
                swapped |= {one, other}


def _swap_both(
    reader: Reader, name: str, what: str, both: tuple[int, int], before: Mapping[int, RunFormData],
    now: dict[int, RunFormData],
) -> None:  # fmt: skip
    one, other = now[both[0]], now[both[1]]
    if any(_things(now[run_id], what) != _things(before[run_id], what) for run_id in both):
        reader.fail(name, f"The {what} of one of them were changed as well: which of the two is it?")
    elif what == "packs":
        now[both[0]] = _answered(with_packs(one, other.packs), other, "pack")
        now[both[1]] = _answered(with_packs(other, one.packs), one, "pack")
    elif not _can_swap_props(one, other):
        reader.fail(name, "These two have their props in other places: write their codes instead.")
    else:
        now[both[0]] = _answered(replace(one, props=other.props), other, "prop")
        now[both[1]] = _answered(replace(other, props=one.props), one, "prop")


def _can_swap_props(one: RunFormData, other: RunFormData) -> bool:
    """Whether the props of both go to the same places; of the same boat they do where none are known of one of them."""
    places = [{use.place for use in form.props} for form in (one, other)]
    return places[0] == places[1] or one.hull_id == other.hull_id and not all(places)


def _answered(form: RunFormData, like: RunFormData, word: str) -> RunFormData:
    """With what is not known of `like` in this, since that was swapped too."""
    return replace(form, not_known=form.not_known - {word} | (like.not_known & {word}))


def _things(form: RunFormData, what: str) -> set[object]:
    return {use.pack_id for use in form.packs} if what == "packs" else set(form.props)


def _wiring(packs: Sequence[PackUse]) -> str:
    return packs[0].wiring if len(packs) > 1 else ""


def _in_place_of(stood: Sequence[PackUse], packs: Sequence[Pack], wirings: Sequence[str]) -> tuple[PackUse, ...]:
    """The packs as uses: one that was there keeps what was read off it, another has what was read off the one that it
    takes the place of."""
    by_id = {use.pack_id: use for use in stood}
    gone = [use for use in stood if use.pack_id not in {pack.id for pack in packs}]
    uses = []
    for pack, wired in zip(packs, wirings, strict=True):
        was = by_id.get(pack.id) or (gone.pop(0) if gone else PackUse(pack.id))
        uses.append(replace(was, pack_id=pack.id, wiring=wired))
    return tuple(uses)
