"""A run as one line: every list that shows runs, and every page that quotes a speed, is made of these."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Annotated

from sqlmodel import Session

from garage.fields.showing import OWN, FieldValues, values
from garage.measures import Measure
from garage.moments import Moment
from garage.packs.store import pack_text
from garage.runs.fields import FIELDS, run_fields
from garage.runs.lines.flags import Flag, PackLook, RunLook, flags_of
from garage.runs.lines.speed_words import known_words, ride_words
from garage.runs.lines.store import LineFacts, PackOn, PropOn, line_facts
from garage.runs.not_known import MAY_BE_UNKNOWN, not_known_of
from garage.runs.tables import Run


@dataclass(frozen=True)
class RunLine:
    """One run. `known` says how the speed is known; `flags` what else to bear in mind.

    The speed carries both as its origin and caution, for pages that quote nothing else. `retire` is what speaks by
    now against those of its packs that are to be retired, each by its code. `not_known` is what was said to be known by
    nobody; a start that is not known is a guess. `speed_typed` is the speed as typed, where in another unit.
    """

    id: int
    number: int
    outing_id: int
    started: Moment
    water: str
    hull_id: int
    hull: str
    state_number: int
    mark: str
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
    not_known: list[str]
    start_known: bool
    speed_typed: str
    fields: Annotated[FieldValues, FIELDS, OWN]

    @property
    def prop_short(self) -> str:
        """Its props by code and edition alone, `P8 ed. 1 + P9 ed. 1`, for a line of a table."""
        sides = (side.rpartition(": ")[2] for side in self.prop.split("; "))
        return " + ".join(side.partition(", ")[0] for side in sides)

    @property
    def packs_short(self) -> str:
        """Its packs by code alone, for a line of a table."""
        return self.packs.partition(" · ")[0]


def run_lines(session: Session, runs: Sequence[Run], known: Mapping[int, str] | None = None) -> list[RunLine]:
    """The lines of `runs`, in their order; the number of queries does not depend on how many there are. `known` is
    what speaks for retiring packs, as `line_facts` takes it."""
    if not runs:
        return []
    facts = line_facts(session, runs, known)
    return [line_of(run, facts) for run in runs]


def all_flags(run: Run, facts: LineFacts) -> list[Flag]:
    """All flags of a run with their reasons, those among them that its line says in other words."""
    return flags_of(_look(run, facts))


def line_of(run: Run, facts: LineFacts) -> RunLine:
    """The line of a run of which everything was read."""
    place = facts.places[run.id]
    flags = [flag.text for flag in flags_of(_look(run, facts)) if not flag.said]
    known = known_words(run, facts.units)
    return RunLine(
        id=run.id,
        number=run.number,
        outing_id=run.outing_id,
        started=Moment(run.started_at, run.offset_min),
        water=place.water,
        hull_id=run.hull_id,
        hull=place.hull,
        state_number=place.state_number,
        mark=place.mark,
        fingerprint=place.fingerprint,
        prop=prop_text(facts.props.get(run.id, [])),
        packs=packs_text(facts.packs.get(run.id, [])),
        retire=_retire_text(facts.packs.get(run.id, []), facts.retire),
        cells_s=run.cells_s,
        kind=run.kind,
        speed=Measure(run.speed_kmh, "speed", known, ", ".join(flags)),
        known=known,
        flags=flags,
        ride=ride_words(run),
        note=run.note,
        set_aside=run.set_aside_at is not None,
        not_known=[word for word in MAY_BE_UNKNOWN if word in not_known_of(run.not_known)],
        start_known=run.start_time_known,
        speed_typed=run.speed_typed,
        fields=values(run_fields(), run),
    )


def _look(run: Run, facts: LineFacts) -> RunLook:
    place = facts.places[run.id]
    return RunLook(
        run.speed_kmh,
        run.speed_how,
        run.averaging_s,
        run.ways,
        run.passes,
        [_pack_look(on) for on in facts.packs.get(run.id, [])],
        tuple(place.hottest.items()),
        place.state_before,
        place.state_number,
        place.counting,
        run.set_aside_at is not None,
        place.speed_limit_kmh,
        place.denied,
        not_known_of(run.not_known),
        run.course_m,
    )


def not_broken_in(runs: Sequence[Run], facts: LineFacts) -> set[int]:
    """Which of some runs were made with a pack that was fresh or breaking in at the time."""
    return {
        run.id
        for run in runs
        if any(on.standing.flag in ("fresh", "breaking in") for on in facts.packs.get(run.id, []))
    }


def _pack_look(on: PackOn) -> PackLook:
    return PackLook(on.pack.code, on.standing.flag, on.standing.text, on.use.start_temperature_c)


def prop_text(props: Sequence[PropOn]) -> str:
    """`P7 ed. 3, 44 × 66`, or both sides of a boat with two screws."""
    return "; ".join((f"{on.place}: " if on.place != "single" else "") + on.edition.text for on in props)


def packs_text(packs: Sequence[PackOn]) -> str:
    """`J · 3S 4 000 mAh`; several packs by their codes and wiring."""
    if len(packs) == 1:
        return pack_text(packs[0].pack).text
    wirings = {on.use.wiring for on in packs} - {"single"}
    codes = " + ".join(on.pack.code for on in packs)
    return f"{codes} in {wirings.pop()}" if wirings in ({"series"}, {"parallel"}) else codes


def _retire_text(packs: Sequence[PackOn], retire: Mapping[int, str]) -> str:
    """`J: retire it: …`, for each pack that is to be retired."""
    return "; ".join(f"{on.pack.code}: {retire[on.pack.id]}" for on in packs if on.pack.id in retire)
