"""What runs were made with, put right: packs, props, build state; of one run, of several, or swapped between two."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from sqlmodel import Session, col, select

from garage.errors import Conflict
from garage.hulls.store import hull
from garage.mending.asked import once, runs_of_day, the_run
from garage.mending.operation import Ask, Operation, Planned
from garage.mending.outing_parts import run_choices
from garage.mending.run_steps import listed, moving, not_known_steps, started, state_step
from garage.mending.steps import Put, Step
from garage.moments import Moment
from garage.packs.store import pack_text, packs_by_ids
from garage.packs.tables import Pack
from garage.props.store import edition_texts
from garage.props.tables import PropEdition
from garage.runs.entry.resolve_store import HIGHEST_CELL_V, LOWEST_CELL_V, wirings_of
from garage.runs.entry.write import places_of
from garage.runs.form_data import PackUse, PropUse
from garage.runs.moves import Move, packs_of_text, packs_text, props_text
from garage.runs.moves_store import moves_of
from garage.runs.store import (
    packs_of,
    packs_written,
    props_of,
    props_written,
    runs_by_ids,
    temperatures_of,
)
from garage.runs.tables import Run
from garage.states.query_store import given_way, moment_of, state, states
from garage.units import DisplayUnits
from garage.web.fields import Reader

NOT_KNOWN = "none"
_OPEN = (NOT_KNOWN, "not known any more")
_TWO_PACKS = [("series", "in series"), ("parallel", "in parallel"), ("left", "one on each side")]
_AROUND, _MOST_OFFERED = 12, 400


def _around(session: Session, kept: Run, *, same_boat: bool = False) -> list[Run]:
    """The runs that something may have been mixed up with: those of its outing, and of its boat before and after."""
    around = once(session, ("around", kept.id), lambda: _read_around(session, kept))
    return [one for one in around if one.hull_id == kept.hull_id or not same_boat]


def _read_around(session: Session, kept: Run) -> list[Run]:
    before = select(Run).where(Run.hull_id == kept.hull_id, Run.started_at < kept.started_at)
    after = select(Run).where(Run.hull_id == kept.hull_id, Run.started_at > kept.started_at)
    found = [
        *session.exec(before.order_by(col(Run.started_at).desc(), col(Run.id).desc()).limit(_AROUND)),
        *session.exec(after.order_by(col(Run.started_at), col(Run.id)).limit(_AROUND)),
        *(one for one in runs_of_day(session, kept.outing_id)),
    ]
    others = {one.id: one for one in found if one.id != kept.id}
    return sorted(others.values(), key=lambda one: (one.outing_id != kept.outing_id, one.started_at, one.number))


def _also_ask(session: Session, kept: Run, *, same_boat: bool = False) -> list[Ask]:
    options = run_choices(session, _around(session, kept, same_boat=same_boat), day=True)
    return [Ask("also", "These runs too", "many", "whatever else was written the same way", options)] * bool(options)


def _also(session: Session, reader: Reader, kept: Run, *, same_boat: bool = False) -> list[Run]:
    around = {str(one.id): one for one in _around(session, kept, same_boat=same_boat)}
    return [kept, *(around[one] for one in reader.several("also", around))]


# Packs


def _pack_asks(session: Session, uses: Sequence[PackUse] = ()) -> list[Ask]:
    packs = session.exec(select(Pack).order_by(Pack.code).limit(_MOST_OFFERED)).all()
    options = [(str(one.id), pack_text(one).text + (", out of use" if one.retired_on else "")) for one in packs]
    first, second = (str(use.pack_id) for use in (*uses, *[PackUse(0)] * 2)[:2])
    wiring = uses[0].wiring if len(uses) > 1 else ""
    return [
        Ask("pack", "Pack", "choice", "what was read after the run stays with the run", [_OPEN, *options],
            first if uses else "", required=True),
        Ask("second", "Second pack", "choice", "where there were two", options, second if len(uses) > 1 else ""),
        Ask("wiring", "Two packs wired", "choice", "", _TWO_PACKS, wiring),
    ]  # fmt: skip


def _read_packs(session: Session, reader: Reader) -> list[tuple[Pack, str]]:
    """The packs chosen, each with its wiring; none for not known."""
    known = {str(one.id): one for one in session.exec(select(Pack).limit(_MOST_OFFERED))}
    first = reader.choice("pack", [NOT_KNOWN, *known], required=True)
    second = reader.choice("second", known)
    wiring = reader.choice("wiring", [value for value, _ in _TWO_PACKS])
    if second and first in ("", NOT_KNOWN, second):
        reader.fail("second", "A second pack goes with another first one.")
    if second and not wiring:
        reader.fail("wiring", "How were the two wired?")
    reader.finish()
    chosen = [known[one] for one in (first, second) if one in known]
    return list(zip(chosen, wirings_of(len(chosen), wiring), strict=True))


@dataclass(frozen=True)
class _Uses:
    """The packs of a run before and after, and which pack's readings went to which."""

    before: tuple[PackUse, ...]
    after: tuple[PackUse, ...]
    instead: Mapping[int, int]


def _with_readings(kept: Run, before: Sequence[PackUse], packs: Sequence[tuple[int, str]]) -> _Uses:
    """Other packs in a run, with what was read off those that stood there. Raises Conflict where there is no place for
    readings of two."""
    ids = [pack_id for pack_id, _ in packs]
    instead = {use.pack_id: use.pack_id for use in before if use.pack_id in ids}
    free = [one for one in packs if one[0] not in instead]
    for use in (one for one in before if one.pack_id not in instead):
        alike = next((one for one in free if one[1] == use.wiring), free[0] if free else None)
        if alike:
            instead[use.pack_id] = alike[0]
            free.remove(alike)
        elif _was_read(use) and packs:
            raise Conflict(
                f"Run {kept.number} has readings of {len(before)} packs: there would be no pack for some of them.",
                (f"/runs/{kept.id}/edit", f"Take the readings off that are not of run {kept.number}"),
            )
    of_new = {instead[use.pack_id]: use for use in before if use.pack_id in instead}
    after = [replace(of_new.get(one, PackUse(one)), pack_id=one, wiring=wiring) for one, wiring in packs]
    return _Uses(tuple(before), tuple(after), instead)


def _was_read(use: PackUse) -> bool:
    return replace(use, wiring="single") != PackUse(use.pack_id)


def _uses_of(session: Session, runs: Sequence[Run]) -> dict[int, tuple[PackUse, ...]]:
    packs = packs_of(session, [one.id for one in runs])
    return {one.id: packs_written(packs[one.id]) for one in runs}


def _pack_steps(
    session: Session, reader: Reader, chosen: Sequence[tuple[Run, Sequence[PackUse], Sequence[tuple[int, str]]]]
) -> tuple[list[Step], list[str]]:
    """Steps that give runs other packs: each told with those it has (or had), and those it gets."""
    read = temperatures_of(session, [kept.id for kept, _, _ in chosen])
    packs = packs_by_ids(session, {pack_id for _, _, new in chosen for pack_id, _ in new})
    stands = _uses_of(session, [kept for kept, _, _ in chosen])
    steps: list[Step] = []
    notes: list[str] = []
    for kept, had, new in chosen:
        uses = _with_readings(kept, had, new)
        for row in read[kept.id]:
            if row.pack_id and (other := uses.instead.get(row.pack_id, row.pack_id)) != row.pack_id:
                steps.append(Put("run_temperature", row.id, {"pack_id": row.pack_id}, {"pack_id": other}))
        steps += moving([Move(kept.id, "packs", packs_text(stands[kept.id]), packs_text(uses.after))])
        steps += not_known_steps(kept, also=[] if new else ["pack"], known=["pack"] if new else [])
        notes += _unfit(reader, kept, uses.after, packs)
        if not new and any(map(_was_read, had)):
            notes.append(f"What was read off the pack of run {kept.number} is kept with this, and comes back with it.")
    return steps, notes


def _unfit(reader: Reader, kept: Run, uses: Iterable[PackUse], packs: Mapping[int, Pack]) -> list[str]:
    """What was read and cannot be of the pack it is of then."""
    notes = []
    for use in uses:
        pack = packs[use.pack_id]
        cells = pack.cells_s
        words = []
        if use.volts_after and len(use.volts_after) != cells:
            words.append(f"{len(use.volts_after)} cell voltages, and it has {cells} cells")
        if use.rested_v is not None and not LOWEST_CELL_V * cells <= use.rested_v <= HIGHEST_CELL_V * cells:
            words.append(f"{reader.shown(use.rested_v, 'voltage')} rested, which {cells} cells do not have")
        if use.charge_mah is not None and use.charge_mah > 2 * pack.capacity_mah:
            words.append(f"{reader.shown(use.charge_mah, 'charge')} put back, more than twice what it holds")
        if words:
            told = f"What is written for run {kept.number} does not fit pack {pack.code}: {'; '.join(words)}."
            notes.append(f"{told} It stays as it is written.")
    return notes


def _had(session: Session, kept: Run, uses: Sequence[PackUse]) -> Sequence[PackUse]:
    """The packs of a run with their readings; those of one whose pack was said to be not known are in the ledger."""
    if uses:
        return uses
    last = [move for move in moves_of(session, [kept.id]).get(kept.id, []) if move.what == "packs"][-1:]
    return packs_of_text(last[0].from_value) if last and last[0].to_value == "[]" else ()


def _asks_packs(session: Session, run_id: int, _units: DisplayUnits) -> Sequence[Ask]:
    kept = the_run(session, run_id)
    return [*_pack_asks(session, _uses_of(session, [kept])[run_id]), *_also_ask(session, kept)]


def _plan_packs(session: Session, reader: Reader, run_id: int, _now: Moment) -> Planned:
    kept = the_run(session, run_id)
    runs = _also(session, reader, kept)
    return _packs_planned(session, reader, runs)


def _packs_planned(session: Session, reader: Reader, runs: Sequence[Run]) -> Planned:
    chosen = _read_packs(session, reader)
    new = [(pack.id, wiring) for pack, wiring in chosen]
    uses = _uses_of(session, runs)
    steps, notes = _pack_steps(session, reader, [(one, _had(session, one, uses[one.id]), new) for one in runs])
    codes = " and ".join(pack.code for pack, _ in chosen)
    return Planned(
        _of_runs(
            runs, f"made with pack{'s' if len(chosen) > 1 else ''} {codes}" if chosen else _UNKNOWN.format("pack")
        ),
        steps,
        notes,
    )


_UNKNOWN = "made with a {} that nobody knows any more"


def _of_runs(runs: Sequence[Run], words: str) -> str:
    if len(runs) == 1:
        return f"Run {runs[0].number} was {words}"
    return f"Runs {listed([str(one.number) for one in runs])} were {words}"


def _asks_day_packs(session: Session, outing_id: int, _units: DisplayUnits) -> Sequence[Ask]:
    return [_runs_ask(session, outing_id), *_pack_asks(session)]


def _runs_ask(session: Session, outing_id: int) -> Ask:
    runs = runs_of_day(session, outing_id)
    return Ask("runs", "Which runs", "many", options=run_choices(session, runs))


def _no_runs(session: Session, outing_id: int) -> str:
    return "" if runs_of_day(session, outing_id) else "It has no runs."


def _ticked(session: Session, reader: Reader, outing_id: int) -> list[Run]:
    known = {str(one.id): one for one in runs_of_day(session, outing_id)}
    ticked = reader.several("runs", known)
    if not ticked and "runs" not in reader.errors:
        reader.fail("runs", "Tick the runs it is about.")
    return [known[one] for one in ticked]


def _plan_day_packs(session: Session, reader: Reader, outing_id: int, _now: Moment) -> Planned:
    return _packs_planned(session, reader, _ticked(session, reader, outing_id))


# Props


def _prop_options(session: Session) -> list[tuple[str, str]]:
    return once(session, "props", lambda: _read_prop_options(session))


def _read_prop_options(session: Session) -> list[tuple[str, str]]:
    ids = session.exec(select(PropEdition.id).order_by(col(PropEdition.id).desc()).limit(_MOST_OFFERED)).all()
    made = edition_texts(session, [one for one in ids if one])
    named = sorted(made.values(), key=lambda one: (one.prop_id, one.id))
    return [_OPEN, *((str(one.id), one.text) for one in named)]


def _prop_asks(session: Session, places: Sequence[str], uses: Iterable[PropUse] = ()) -> list[Ask]:
    stands = {use.place: str(use.edition_id) for use in uses}
    options = _prop_options(session)
    return [
        Ask(f"prop_{place}", "Prop" if place == "single" else f"Prop, {place}", "choice", "", options,
            stands.get(place, ""), required=True)
        for place in places
    ]  # fmt: skip


def _read_props(session: Session, reader: Reader, places: Sequence[str]) -> tuple[PropUse, ...]:
    values = [value for value, _ in _prop_options(session)]
    chosen = [(place, reader.choice(f"prop_{place}", values, required=True)) for place in places]
    reader.finish()
    return tuple(PropUse(int(one), place) for place, one in chosen if one != NOT_KNOWN)


def _prop_steps(session: Session, chosen: Mapping[int, tuple[PropUse, ...]], runs: Sequence[Run]) -> list[Step]:
    stands = props_of(session, chosen)
    steps: list[Step] = []
    for one in runs:
        before, new = props_text(props_written(stands[one.id])), props_text(chosen[one.id])
        steps += moving([Move(one.id, "props", before, new)])
        known = bool(chosen[one.id])
        steps += not_known_steps(one, also=[] if known else ["prop"], known=["prop"] if known else [])
    return steps


def _same_places(session: Session, runs: Sequence[Run], places: Sequence[str]) -> None:
    for one in runs:
        boat = hull(session, one.hull_id)
        if places_of(boat) != tuple(places):
            raise Conflict(
                f"{boat.name} of run {one.number} carries her props at other places.",
                (f"/otherwise/run/{one.id}/props", f"Put the props of run {one.number} right by themselves"),
            )


def _asks_props(session: Session, run_id: int, _units: DisplayUnits) -> Sequence[Ask]:
    kept = the_run(session, run_id)
    places = places_of(hull(session, kept.hull_id))
    uses = props_written(props_of(session, [run_id])[run_id])
    return [*_prop_asks(session, places, uses), *_also_ask(session, kept)]


def _plan_props(session: Session, reader: Reader, run_id: int, _now: Moment) -> Planned:
    kept = the_run(session, run_id)
    return _props_planned(session, reader, _also(session, reader, kept), places_of(hull(session, kept.hull_id)))


def _props_planned(session: Session, reader: Reader, runs: Sequence[Run], places: Sequence[str]) -> Planned:
    new = _read_props(session, reader, places)
    _same_places(session, runs, places)
    made = edition_texts(session, {use.edition_id for use in new}) if new else {}
    words = "; ".join((f"{use.place}: " if use.place != "single" else "") + made[use.edition_id].text for use in new)
    said = _of_runs(runs, f"made with prop {words}" if new else _UNKNOWN.format("prop"))
    return Planned(said, _prop_steps(session, {one.id: new for one in runs}, runs))


def _asks_day_props(session: Session, outing_id: int, _units: DisplayUnits) -> Sequence[Ask]:
    return [_runs_ask(session, outing_id), *_prop_asks(session, ("single",))]


def _plan_day_props(session: Session, reader: Reader, outing_id: int, _now: Moment) -> Planned:
    return _props_planned(session, reader, _ticked(session, reader, outing_id), ("single",))


# Build states


def _asks_state(session: Session, run_id: int, _units: DisplayUnits) -> Sequence[Ask]:
    kept = the_run(session, run_id)
    hint = "a change that was forgotten is put in at its date instead, and moves all its runs"
    stands = str(kept.state_id)
    options = [_OPEN, *_state_choices(session, kept.hull_id)]
    return [
        Ask("state", "Build state", "choice", hint, options, stands, required=True),
        *_also_ask(session, kept, same_boat=True),
    ]


def _state_choices(session: Session, hull_id: int) -> list[tuple[str, str]]:
    found = states(session, hull_id, limit=_MOST_OFFERED)
    gone = given_way(session, [one.id for one in found])
    return [
        (str(one.id), f"{one.number}, of {moment_of(one).day()}, {one.mark}") for one in found if one.id not in gone
    ]


def _plan_state(session: Session, reader: Reader, run_id: int, _now: Moment) -> Planned:
    kept = the_run(session, run_id)
    runs = _also(session, reader, kept, same_boat=True)
    values = [value for value, _ in _state_choices(session, kept.hull_id)]
    chosen = reader.choice("state", [NOT_KNOWN, *values], required=True)
    reader.finish()
    if chosen == NOT_KNOWN:
        steps: list[Step] = [step for one in runs for step in not_known_steps(one, also=["state"])]
        note = "They stay where they stand in her history; what was on her is not taken for known."
        return Planned(_of_runs(runs, _UNKNOWN.format("build state")), steps, [note])
    target = state(session, int(chosen))
    steps = [*moving([state_step(one, target) for one in runs])]
    steps += [step for one in runs for step in not_known_steps(one, known=["state"])]
    notes = [
        f"Run {one.number} of {started(one).day()} was before that state was made, {moment_of(target).day()}."
        for one in runs
        if one.started_at < target.made_at
    ]
    return Planned(_of_runs(runs, f"made with build state {target.number}"), steps, notes)


# Two runs that changed places


_PARTS = [("packs", "the packs"), ("props", "the props"), ("state", "the build state")]


def _asks_swap(session: Session, run_id: int, _units: DisplayUnits) -> Sequence[Ask]:
    kept = the_run(session, run_id)
    options = run_choices(session, _around(session, kept), day=True)
    hint = "what was read stays with each run"
    return [
        Ask("other", "The other run", "choice", "", options, required=True),
        Ask("what", "What changed places", "many", hint, _PARTS, "packs"),
    ]


def _swap_refused(session: Session, run_id: int) -> str:
    return "" if _around(session, the_run(session, run_id)) else "There is no other run of its day or its boat."


def _plan_swap(session: Session, reader: Reader, run_id: int, _now: Moment) -> Planned:
    kept = the_run(session, run_id)
    other_id = reader.choice("other", [str(one.id) for one in _around(session, kept)], required=True)
    parts = reader.several("what", [value for value, _ in _PARTS])
    if not parts and "what" not in reader.errors:
        reader.fail("what", "Tick what changed places.")
    reader.finish()
    other = runs_by_ids(session, [int(other_id)])[int(other_id)]
    steps: list[Step] = []
    notes: list[str] = []
    if "packs" in parts:
        uses = _uses_of(session, [kept, other])
        ways = [(kept, other), (other, kept)]
        new = {one.id: [(use.pack_id, use.wiring) for use in uses[with_.id]] for one, with_ in ways}
        if not all(new.values()):
            raise Conflict(
                "Of one of the two no pack is known: say which it was, there is nothing to change places with.",
                (f"/otherwise/run/{run_id}/packs", f"Run {kept.number} had another pack"),
                (f"/otherwise/run/{other.id}/packs", f"Run {other.number} had another pack"),
            )
        pack_steps, notes = _pack_steps(session, reader, [(one, uses[one.id], new[one.id]) for one, _ in ways])
        steps += pack_steps
    if "props" in parts:
        _same_places(session, [other], places_of(hull(session, kept.hull_id)))
        props = props_of(session, [kept.id, other.id])
        written = {one.id: props_written(props[one.id]) for one in (kept, other)}
        steps += _prop_steps(session, {kept.id: written[other.id], other.id: written[kept.id]}, [kept, other])
    if "state" in parts:
        if kept.hull_id != other.hull_id:
            raise Conflict(
                f"Run {kept.number} and run {other.number} are of two boats: their build states are not the other’s.",
                (f"/otherwise/run/{run_id}/boat", f"Run {kept.number} was another boat’s"),
                (f"/otherwise/run/{other.id}/boat", f"Run {other.number} was another boat’s"),
            )
        steps += moving([
            Move(one.id, "state", str(one.state_id), str(with_.state_id))
            for one, with_ in ((kept, other), (other, kept))
        ])  # fmt: skip
    if not steps:
        raise Conflict("They are the same in both runs.")
    names = listed([words.removeprefix("the ") for value, words in _PARTS if value in parts])
    said = f"Run {kept.number} and run {other.number} of {started(other).day()} had each other’s {names}"
    return Planned(said, steps, notes)


OPERATIONS = (
    Operation("run", "packs", "It was another pack", "or not known; of several runs too", _asks_packs, _plan_packs),
    Operation("run", "props", "It was another prop", "or not known; of several runs too", _asks_props, _plan_props),
    Operation(
        "run", "state", "It ran with another build state", "or not known; of several runs too",
        _asks_state, _plan_state,
    ),
    Operation(
        "run", "swap", "Two runs had each other’s pack, prop or build state", "what was read stays with each run",
        _asks_swap, _plan_swap, _swap_refused,
    ),
    Operation(
        "outing", "packs", "Several runs had another pack", "tick the runs, choose the pack",
        _asks_day_packs, _plan_day_packs, _no_runs,
    ),
    Operation(
        "outing", "props", "Several runs had another prop", "tick the runs, choose the prop",
        _asks_day_props, _plan_day_props, _no_runs,
    ),
)  # fmt: skip
