"""Gathers what a run's own page shows."""

import json
from dataclasses import replace

from sqlmodel import Session, col, select

from garage.corrections.store import corrections_of
from garage.db.in_ids import in_
from garage.fields.forms import held
from garage.fields.showing import facts, values
from garage.handed_down import MeasuredSlip
from garage.measures import Measure
from garage.moments import Moment
from garage.packs.store import pack_standings, pack_text, packs_by_ids
from garage.packs.tables import Pack
from garage.packs.verdict_store import retire_words
from garage.photos.sheets import attached
from garage.photos.store import attachments
from garage.props.store import edition_texts
from garage.reference import temperature_limits
from garage.runs import sheets
from garage.runs.convert_units import in_units
from garage.runs.derived_gather import derived
from garage.runs.fields import FIELDS, PACK_FIELDS
from garage.runs.lines import run_flags, run_lines
from garage.runs.missing import missing
from garage.runs.service_due import due
from garage.runs.store import incidents_of, packs_of, props_of, run, temperatures_of
from garage.runs.tables import PinMove, Run, RunPack
from garage.runs.written import mended_words
from garage.states.store import state_texts
from garage.units import DisplayUnits, show
from garage.waters.outing_store import outing


def run_page(
    session: Session, run_id: int, units: DisplayUnits, measured_slip: MeasuredSlip
) -> sheets.RunSheet:
    """Everything about one run. Raises NotFound."""
    found = run(session, run_id)
    line = run_lines(session, [found])[0]
    day = outing(session, found.outing_id)
    uses, props = packs_of(session, [run_id])[run_id], _props(session, run_id)
    read = temperatures_of(session, [run_id])[run_id]
    codes = _codes(session, {row.pack_id for row in read if row.pack_id})
    mended = corrections_of(session, "run", [run_id]).get(run_id, [])
    return sheets.RunSheet(
        line=line,
        start_known=found.start_time_known,
        set_aside_reason=found.set_aside_reason,
        speed=Measure(found.speed_kmh, "speed", line.known),
        flags=[replace(flag, why=in_units(flag.why, units)) for flag in run_flags(session, found)],
        measures=sheets.measures_of(found),
        words=sheets.words_of(found),
        ratings=sheets.ratings_of(found),
        try_next=found.try_next,
        try_next_done=found.try_next_done_at is not None,
        props=props,
        packs=_packs(session, found, uses),
        worked_out=_derived(session, found, uses, measured_slip),
        temperatures=[
            sheets.temperature_row(
                row, day.air_c, codes.get(row.pack_id or 0, ""), too_hot(row.spot, row.temperature_c, units)
            )
            for row in read
        ],
        incidents=_incidents(session, run_id),
        services=due(session, found.hull_id, found.started_at),
        missing=missing(held(FIELDS, found), uses, len(read), len(props)),
        waiting=found.waiting,
        waved=found.waved_away_at is not None,
        pins=_pins(session, run_id),
        corrections=mended_words(mended, units),
        attached=attached("run", run_id, attachments(session, "run", run_id)),
        values={},
        fields=values(FIELDS, found),
    )


def too_hot(spot: str, reading_c: float, units: DisplayUnits) -> str:
    """In words, if a reading is above a limit of its place."""
    place = "controller" if spot == "speed controller" else spot
    limits = [one for one in temperature_limits().values() if one.place == place and one.side == "above"]
    passed = [one.limit_c for one in limits if reading_c > one.limit_c]
    return f"above {show(max(passed), 'temperature', units.unit('temperature'))}" if passed else ""


def _props(session: Session, run_id: int) -> list[sheets.PropRow]:
    uses = props_of(session, [run_id])[run_id]
    texts = edition_texts(session, {use.edition_id for use in uses})
    return [
        sheets.PropRow(
            texts[use.edition_id].prop_id,
            "" if use.place == "single" else use.place,
            texts[use.edition_id].text,
        )
        for use in uses
    ]


def _derived(
    session: Session, found: Run, uses: list[RunPack], measured_slip: MeasuredSlip
) -> list[tuple[str, Measure]]:
    packs = packs_by_ids(session, [use.pack_id for use in uses])
    props = props_of(session, [found.id])[found.id]
    return derived(session, found, props, [(use, packs[use.pack_id]) for use in uses], measured_slip)


def _packs(session: Session, found: Run, uses: list[RunPack]) -> list[sheets.PackRow]:
    ids = {use.pack_id for use in uses}
    packs = {pack.id: pack for pack in session.exec(select(Pack).where(in_(Pack.id, ids)))}
    standings, retire = pack_standings(session, ids, found.started_at), retire_words(session, ids)
    return [
        _pack_row(use, packs[use.pack_id], standings[use.pack_id].text, retire.get(use.pack_id, ""), found)
        for use in uses
    ]


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
        facts(PACK_FIELDS, use),
    )


def _codes(session: Session, ids: set[int]) -> dict[int, str]:
    rows = session.exec(select(Pack.id, Pack.code).where(in_(Pack.id, ids)))
    return {pack_id: code for pack_id, code in rows if pack_id is not None}


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


def _pins(session: Session, run_id: int) -> list[sheets.PinRow]:
    moves = session.exec(select(PinMove).where(PinMove.run_id == run_id).order_by(col(PinMove.id))).all()
    names = state_texts(
        session, {state for move in moves for state in (move.from_state_id, move.to_state_id)}
    )
    return [
        sheets.PinRow(Moment(move.at, 0), names[move.from_state_id][0], names[move.to_state_id][0], move.why)
        for move in moves
    ]
