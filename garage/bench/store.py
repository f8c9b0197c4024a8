"""What the garage knows that a calculator can be filled with, each figure as a text with where it came from."""

import json
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from statistics import fmean
from typing import Any

from sqlmodel import Session

from garage.bench.balance.starting_parts import starting_lines
from garage.bench.balance.store import latest_sheet
from garage.bench.figures import Figure, figure
from garage.bench.own_store import motors_in, own_props
from garage.bench.run_figures import RunFacts, run_figures
from garage.bench.sides import USUAL_SIDE, MadeWith, edition_on, made_with_of, packs_on
from garage.drives.store import part, parts_in_use
from garage.hulls.store import hull, hull_names, hulls
from garage.logs.pieces.logged_drive import logged_drive
from garage.moments import Moment
from garage.packs.log.store import readings
from garage.packs.store import pack, packs_by_ids, packs_in_use
from garage.packs.tables import Pack
from garage.packs.verdict_store import retire_words, with_verdict
from garage.props.store import editions, latest_editions, prop
from garage.props.tables import PropEdition
from garage.runs.derived_gather import motor_of
from garage.runs.store import run, runs_listed
from garage.runs.tables import Run
from garage.states.fold import at_place
from garage.states.settings_list import BALANCE
from garage.states.store import current_state, state, state_content
from garage.waters.outing_store import outing

_MOST_CHOICES = 60
_MOST_RUNS = 15


@dataclass(frozen=True)
class Choice:
    """Something of the garage to fill from."""

    id: int
    text: str


Figures = Mapping[str, Figure]


def choices(session: Session, kind: str) -> list[Choice]:
    """What of one kind can be filled from, a bounded list."""
    return _CHOICES[kind](session)


def figures(
    session: Session, kind: str, thing_id: int, side: str = USUAL_SIDE, made_with: MadeWith | None = None
) -> Figures:
    """Figures of one thing by what they are; of a run with two of everything those of one side, `made_with` being what
    it was made with if that was read. Raises NotFound."""
    if kind != "run":
        return _FIGURES[kind](session, thing_id)
    return _run_figures(session, thing_id, side, made_with or made_with_of(session, thing_id))


def _prop_choices(session: Session) -> list[Choice]:
    return [Choice(one.prop_id, one.text) for one in latest_editions(session, limit=_MOST_CHOICES)]


def _pack_choices(session: Session) -> list[Choice]:
    found = packs_in_use(session, limit=_MOST_CHOICES)
    retire = retire_words(session, [one.id for one in found])
    return [Choice(one.id, with_verdict(one, retire)) for one in found]


def _motor_choices(session: Session) -> list[Choice]:
    return [Choice(one.id, one.text) for one in parts_in_use(session, kind="motor", limit=_MOST_CHOICES)]


def _hull_choices(session: Session) -> list[Choice]:
    return [Choice(one.id, one.name) for one in hulls(session, limit=_MOST_CHOICES)]


def _run_choices(session: Session) -> list[Choice]:
    found = [one for one in runs_listed(session, limit=_MOST_RUNS) if one.set_aside_at is None]
    names = hull_names(session, {one.hull_id for one in found})
    return [
        Choice(one.id, f"{names[one.hull_id]}, {Moment(one.started_at, one.offset_min).day()}, run {one.number}")
        for one in found
    ]


def _prop_figures(session: Session, prop_id: int) -> Figures:
    found = prop(session, prop_id)
    edition = editions(session, prop_id)[0]
    return _edition_figures(edition, f"{found.code}, edition {edition.number}")


def _edition_figures(edition: PropEdition, name: str) -> dict[str, Figure]:
    return figure("diameter", edition.diameter_mm, "mm", name, edition.diameter_from) | figure(
        "pitch", edition.pitch_mm, "mm", name, edition.pitch_from
    )


def _motor_figures(session: Session, part_id: int) -> Figures:
    found = part(session, part_id)
    return motor_figures({column: getattr(found, column) for column in _MOTOR_COLUMNS} | {"code": found.code})


_MOTOR_COLUMNS = ("kv_stated", "kv_measured", "resistance_mohm", "no_load_current_a")


def motor_figures(spec: Mapping[str, Any]) -> dict[str, Figure]:
    """Figures of a motor from its row, or from what a build state remembers of it."""
    name, measured = str(spec.get("code", "motor")), spec.get("kv_measured")
    return (
        figure("kv", measured or spec.get("kv_stated"), "rpm/V", name, "measured" if measured else "stated")
        | figure("motor_resistance", spec.get("resistance_mohm"), "mΩ", name, "as written down, motor alone")
        | figure("no_load_current", spec.get("no_load_current_a"), "A", name, "as written down")
    )


def _pack_figures(session: Session, pack_id: int) -> Figures:
    return pack_figures(session, pack(session, pack_id))


def pack_figures(session: Session, found: Pack) -> dict[str, Figure]:
    """Figures of a pack; its resistance is the mean of the cells in the latest reading."""
    name = f"pack {found.code}"
    measured = found.capacity_measured_mah
    told = (
        figure("cells", found.cells_s, "", name, "")
        | figure("parallel", found.cells_p, "", name, "")
        | figure("capacity", measured or found.capacity_mah, "mAh", name, "measured" if measured else "stated")
        | figure("pack_mass", found.mass_g, "g", name, "weighed")
    )
    latest = readings(session, found.id, limit=1)
    if not latest:
        return told
    read = latest[0]
    # A pack's reading gives each cell of the series; cells in parallel are read as one.
    cell = fmean(json.loads(read.cells_mohm))
    at = f" at {read.temperature_c:g} °C" if read.temperature_c is not None else ""
    known = f"mean of the cells, {read.method}, {Moment(read.at, read.offset_min).day()}{at}"
    return (
        told
        | figure("cell_resistance", cell * found.cells_p, "mΩ", name, known)
        | figure("pack_resistance", cell * found.cells_s, "mΩ", name, f"sum of the cells, {read.method}{at}")
        | figure("reading_resistance", cell, "mΩ", name, known)
        | figure("reading_temperature", read.temperature_c, "°C", name, "at that reading")
    )


def _hull_figures(session: Session, hull_id: int) -> Figures:
    found = hull(session, hull_id)
    told = (
        figure("length", found.length_mm, "mm", found.name, "hull")
        | figure("beam", found.beam_mm, "mm", found.name, "hull, widest")
        | figure("deadrise", found.deadrise_deg, "°", found.name, "hull")
    )
    latest = current_state(session, hull_id)
    if latest is None:
        return told
    content, name = state_content(latest), f"{found.name}, state {latest.number}"
    weighed = content.settings.get(at_place("running_mass", "single"))
    point = content.settings.get(at_place(BALANCE, "single"))
    told |= figure("running_mass", weighed, "g", name, "weighed, with the packs in")
    if isinstance(point, dict) and point.get("datum") == "the transom":
        told |= figure("lcg", point.get("mm"), "mm", name, "measured from the transom")
    kept = latest_sheet(session, latest)
    lines, packs_from = starting_lines(session, found, content)
    if kept is not None:
        told["part"] = Figure(kept[0].parts, f"{found.name}: the balance sheet kept for state {kept[1]}")
    elif lines:
        known = f"{name}: masses as written down{packs_from}; the places are yours to add"
        told["part"] = Figure("\n".join(lines), known)
    return told


def _run_figures(session: Session, run_id: int, side: str, pinned: MadeWith) -> Figures:
    found = run(session, run_id)
    facts, edition_id = run_facts(session, found, pinned, side)
    # A full-throttle current out of a log is not held against the means that others were charged with.
    shares = None if facts.logged and facts.logged.current_a else facts.shares
    return run_figures(facts) | own_props(session, found, edition_id, shares, side)


def run_facts(session: Session, found: Run, pinned: MadeWith, side: str = USUAL_SIDE) -> tuple[RunFacts, int | None]:
    """One run with what it was made with, and its prop's edition; of two of everything that of one side."""
    uses = packs_on(pinned.packs, side)
    packs = packs_by_ids(session, [use.pack_id for use in uses])
    edition = edition_on(session, pinned.props, side)
    made_with = state(session, found.state_id)
    motor = motor_of(session, made_with, side)
    prop_name = f"{prop(session, edition.prop_id).code}, edition {edition.number}" if edition else ""
    if edition and pinned.sides:
        prop_name += f", {side} side"
    facts = RunFacts(
        found,
        outing(session, found.outing_id),
        [(use, packs[use.pack_id], pack_figures(session, packs[use.pack_id])) for use in uses],
        motor_figures(motor) if motor else {},
        _edition_figures(edition, prop_name) if edition else {},
        len(motors_in(state_content(made_with))),
        logged_drive(session, found.id),
    )
    return facts, edition.id if edition else None


_CHOICES: Mapping[str, Callable[[Session], list[Choice]]] = {
    "prop": _prop_choices,
    "motor": _motor_choices,
    "pack": _pack_choices,
    "hull": _hull_choices,
    "run": _run_choices,
}
_FIGURES: Mapping[str, Callable[[Session, int], Figures]] = {
    "prop": _prop_figures,
    "motor": _motor_figures,
    "pack": _pack_figures,
    "hull": _hull_figures,
}
