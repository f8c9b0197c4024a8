"""Gathers what a run's own page shows."""

import json
from collections.abc import Mapping, Sequence
from dataclasses import replace

from sqlmodel import Session

from garage.corrections.sheets import Mended
from garage.corrections.store import corrections_of
from garage.fields.forms import held
from garage.fields.showing import facts as facts_of
from garage.fields.showing import values
from garage.handed_down import MeasuredSlip
from garage.measures import Measure
from garage.moments import Moment
from garage.packs.store import pack_standings, pack_text, pack_texts
from garage.packs.tables import Pack
from garage.photos.sheets import attached
from garage.photos.store import attachments
from garage.preferences.store import not_measured
from garage.reference import temperature_limits
from garage.runs import sheets
from garage.runs.against_store import against
from garage.runs.derived_gather import derived
from garage.runs.entry.convert_units import in_units
from garage.runs.entry.written import mended_words
from garage.runs.fields import FIELDS, PACK_FIELDS, run_fields
from garage.runs.lines.line import all_flags, line_of
from garage.runs.lines.missing import missing
from garage.runs.lines.store import PackOn, PropOn, line_facts
from garage.runs.moved_store import moved_words
from garage.runs.moves_store import moves_of
from garage.runs.not_known import not_known_of
from garage.runs.service_due import due
from garage.runs.store import incidents_of, run, temperatures_of
from garage.runs.tables import Run, RunMove, RunPack
from garage.states.store import state_texts
from garage.units import DisplayUnits, show
from garage.waters.outing_store import outing


def run_page(session: Session, run_id: int, units: DisplayUnits, measured_slip: MeasuredSlip) -> sheets.RunSheet:
    """Everything about one run. Raises NotFound."""
    found = run(session, run_id)
    facts = line_facts(session, [found])
    line, day = line_of(found, facts), outing(session, found.outing_id)
    packs, props = facts.packs[run_id], facts.props[run_id]
    uses, read = [on.use for on in packs], temperatures_of(session, [run_id])[run_id]
    codes = _codes(session, packs, {row.pack_id for row in read if row.pack_id})
    moves = moves_of(session, [run_id]).get(run_id, [])
    return sheets.RunSheet(
        line=line,
        start_known=found.start_time_known,
        set_aside_reason=found.set_aside_reason,
        speed=Measure(found.speed_kmh, "speed", line.known),
        counting=facts.places[run_id].counting,
        against=against(session, found),
        flags=[replace(flag, why=in_units(flag.why, units)) for flag in all_flags(found, facts)],
        measures=sheets.measures_of(found),
        words=sheets.words_of(found),
        ratings=sheets.ratings_of(found),
        try_next=found.try_next,
        try_next_done=found.try_next_done_at is not None,
        props=[_prop_row(on) for on in props],
        packs=_packs(session, found, packs, facts.retire),
        worked_out=derived(
            session,
            found,
            [(on.use, on.made) for on in props],
            [(on.use, on.pack) for on in packs],
            measured_slip,
        ),
        temperatures=[
            sheets.temperature_row(
                row, day.air_c, codes.get(row.pack_id or 0, ""), too_hot(row.spot, row.temperature_c, units)
            )
            for row in read
        ],
        incidents=_incidents(session, run_id),
        services=due(session, found.hull_id, found.started_at),
        missing=_missing(session, found, uses, len(read), len(props)),
        waiting=found.waiting,
        waved=found.waved_away_at is not None,
        pins=_pins(session, moves),
        corrections=_mended(session, run_id, moves, units),
        attached=attached("run", run_id, attachments(session, "run", run_id)),
        values={},
        fields=values(run_fields(), found),
    )


def _missing(session: Session, found: Run, packs: Sequence[RunPack], temperatures: int, props: int) -> list[str]:
    answered = (not_known_of(found.not_known), not_measured(session))
    return missing(held(FIELDS, found), packs, temperatures, props, *answered)


def too_hot(spot: str, reading_c: float, units: DisplayUnits) -> str:
    """In words, if a reading is above a limit of its place."""
    place = "controller" if spot == "speed controller" else spot
    limits = [one for one in temperature_limits().values() if one.place == place and one.side == "above"]
    passed = [one.limit_c for one in limits if reading_c > one.limit_c]
    return f"above {show(max(passed), 'temperature', units.unit('temperature'))}" if passed else ""


def _prop_row(on: PropOn) -> sheets.PropRow:
    return sheets.PropRow(on.edition.prop_id, "" if on.place == "single" else on.place, on.edition.text)


def _packs(session: Session, found: Run, packs: list[PackOn], retire: Mapping[int, str]) -> list[sheets.PackRow]:
    standings = pack_standings(session, {on.pack.id for on in packs}, found.started_at)
    return [_pack_row(on.use, on.pack, standings[on.pack.id].text, retire.get(on.pack.id, ""), found) for on in packs]


def _pack_row(use: RunPack, pack: Pack, standing: str, retire: str, found: Run) -> sheets.PackRow:
    volts = json.loads(use.volts_after) if use.volts_after else []
    is_measured = pack.capacity_measured_mah is not None
    capacity = pack.capacity_measured_mah or pack.capacity_mah
    per_cell = use.rested_v / pack.cells_s if use.rested_v is not None else None
    return sheets.PackRow(
        use.pack_id,
        pack.code,
        pack_text(pack).text,
        "" if use.wiring == "single" else use.wiring,
        standing,
        retire,
        Measure(use.start_temperature_c, "temperature", "measured"),
        Measure(use.rested_v, "voltage", "measured"),
        Measure(per_cell, "voltage", "pack by its cells"),
        Measure(use.charge_mah, "charge", "as the charger says"),
        sheets.share_of(use.charge_mah, capacity, "measured" if is_measured else "stated"),
        sheets.average_current(use.charge_mah, found.duration_s),
        Measure(use.end_v, "voltage", "added up from its cells" if volts else "measured"),
        " ".join(f"{volt:.2f}" for volt in volts),
        sheets.spread_of(volts),
        values(PACK_FIELDS, use),
        facts_of(PACK_FIELDS, use),
    )


def _codes(session: Session, packs: list[PackOn], ids: set[int]) -> dict[int, str]:
    """The codes of packs that were measured; as a rule those that were on board."""
    known = {on.pack.id: on.pack.code for on in packs}
    others = pack_texts(session, ids - set(known)) if ids - set(known) else {}
    return known | {pack_id: text.code for pack_id, text in others.items()}


def _incidents(session: Session, run_id: int) -> list[sheets.IncidentRow]:
    return [
        sheets.IncidentRow(
            row.id,
            row.kind,
            row.cause,
            row.recovered,
            row.damaged,
            row.spoiled_speed,
            row.note,
            row.set_aside_at is not None,
        )
        for row in incidents_of(session, [run_id])[run_id]
    ]


def _pins(session: Session, moves: Sequence[RunMove]) -> list[sheets.PinRow]:
    pins = [(move, int(move.from_value), int(move.to_value)) for move in moves if move.what == "state"]
    if not pins:
        return []
    names = state_texts(session, {state for _, old, new in pins for state in (old, new)})
    return [sheets.PinRow(Moment(move.at, 0), names[old][0], names[new][0], move.why) for move, old, new in pins]


def _mended(session: Session, run_id: int, moves: Sequence[RunMove], units: DisplayUnits) -> list[Mended]:
    """What stood in a run before, oldest first."""
    rows = corrections_of(session, "run", [run_id]).get(run_id, [])
    return sorted((*mended_words(rows, units), *moved_words(session, moves)), key=lambda one: one.at.utc)
