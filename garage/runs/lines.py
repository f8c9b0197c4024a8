"""A run as one line: every list that shows runs, and every page that quotes a speed, is made of these."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Annotated

from sqlmodel import Session

from garage.fields.showing import FieldValues, values
from garage.measures import Measure
from garage.moments import Moment
from garage.runs.fields import FIELDS
from garage.runs.flags import DeniedLook, Flag, PackLook, RunLook, flags_of
from garage.runs.line_store import LineFacts, line_facts
from garage.runs.speed_words import known_words, ride_words
from garage.runs.tables import Run


@dataclass(frozen=True)
class RunLine:
    """One run. `known` says how the speed is known; `flags` what else to bear in mind.

    The speed carries both as its origin and caution, for pages that quote nothing else. `retire` is what speaks by
    now against those of its packs that are to be retired, each by its code.
    """

    id: int
    number: int
    outing_id: int
    started: Moment
    water: str
    hull_id: int
    hull: str
    state_number: int
    fingerprint: str
    prop: str
    packs: str
    retire: str
    cells_s: int | None
    kind: str
    speed: Measure
    known: str
    flags: list[str]
    ride: str
    note: str
    set_aside: bool
    fields: Annotated[FieldValues, FIELDS]


def run_lines(session: Session, runs: Sequence[Run]) -> list[RunLine]:
    """The lines of `runs`, in their order; the number of queries does not depend on how many there are."""
    if not runs:
        return []
    facts = line_facts(session, runs)
    return [_line(run, facts) for run in runs]


def run_flags(session: Session, run: Run) -> list[Flag]:
    """The flags of one run with their reasons."""
    return flags_of(_look(run, line_facts(session, [run])))


def _line(run: Run, facts: LineFacts) -> RunLine:
    state = facts.states[run.state_id]
    flags = [flag.text for flag in flags_of(_look(run, facts)) if not flag.said]
    known = known_words(run, facts.units)
    return RunLine(
        id=run.id,
        number=run.number,
        outing_id=run.outing_id,
        started=Moment(run.started_at, run.offset_min),
        water=facts.waters[run.outing_id].name,
        hull_id=run.hull_id,
        hull=facts.hulls[run.hull_id],
        state_number=state.number,
        fingerprint=state.fingerprint,
        prop=_prop_text(run.id, facts),
        packs=_pack_text(run.id, facts),
        retire=_retire_text(run.id, facts),
        cells_s=run.cells_s,
        kind=run.kind,
        speed=Measure(run.speed_kmh, "speed", known, ", ".join(flags)),
        known=known,
        flags=flags,
        ride=ride_words(run),
        note=run.note,
        set_aside=run.set_aside_at is not None,
        fields=values(FIELDS, run),
    )


def _look(run: Run, facts: LineFacts) -> RunLook:
    denied = facts.denied.get(run.id)
    packs = [
        PackLook(
            facts.pack_texts[use.pack_id].code,
            facts.standings[use.pack_id, run.started_at].flag,
            facts.standings[use.pack_id, run.started_at].text,
            use.start_temperature_c,
        )
        for use in facts.packs.get(run.id, [])
    ]
    return RunLook(
        run.speed_kmh,
        run.speed_how,
        run.averaging_s,
        run.ways,
        run.passes,
        packs,
        tuple(facts.hottest.get(run.id, {}).items()),
        facts.state_before.get(run.id),
        facts.states[run.state_id].number,
        tuple(facts.spoiled_by.get(run.id, [])),
        run.set_aside_at is not None,
        facts.waters[run.outing_id].speed_limit_kmh,
        DeniedLook(denied.receiver_kmh, denied.places_kmh) if denied else None,
    )


def _prop_text(run_id: int, facts: LineFacts) -> str:
    """`P7 ed. 3, 44 × 66`, or both sides of a boat with two screws."""
    uses = facts.props.get(run_id, [])
    return "; ".join(
        (f"{use.place}: " if use.place != "single" else "") + facts.editions[use.edition_id].text for use in uses
    )


def _pack_text(run_id: int, facts: LineFacts) -> str:
    """`J · 3S 4 000 mAh`; several packs by their codes and wiring."""
    uses = facts.packs.get(run_id, [])
    if len(uses) == 1:
        return facts.pack_texts[uses[0].pack_id].text
    wirings = {use.wiring for use in uses} - {"single"}
    codes = " + ".join(facts.pack_texts[use.pack_id].code for use in uses)
    return f"{codes} in {wirings.pop()}" if wirings in ({"series"}, {"parallel"}) else codes


def _retire_text(run_id: int, facts: LineFacts) -> str:
    """`J: retire it: …`, for each pack that is to be retired."""
    ids = [use.pack_id for use in facts.packs.get(run_id, []) if use.pack_id in facts.retire]
    return "; ".join(f"{facts.pack_texts[pack_id].code}: {facts.retire[pack_id]}" for pack_id in ids)
