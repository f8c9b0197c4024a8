"""Which runs wait for their evening: in SQL as by the rule itself, whatever a person measures."""

import random

import pytest
from sqlmodel import select

from garage.fields.forms import held
from garage.hulls.store import hull
from garage.moments import Moment
from garage.preferences.instruments import BY_NAME, INSTRUMENTS, OF_SPOT
from garage.preferences.store import keep_not_measured, not_measured
from garage.runs.fields import FIELDS, PACK_FIELDS, run_fields
from garage.runs.lines.missing import is_waiting, missing
from garage.runs.store import packs_of, props_of, temperatures_of
from garage.runs.tables import Run, RunPack, RunProp, RunTemperature
from garage.runs.waiting_store import LOOKED_AT, ask_by, asked_in_vain
from garage.states.store import ensure_first_state
from garage.waters.fields import OUTING_FIELDS

RATINGS = [field.column for field in FIELDS if field.kind == "rating"]


def test_every_instrument_that_a_field_names_is_there_and_every_one_is_asked_by_something():
    asked = {one.instrument for one in (*FIELDS, *PACK_FIELDS, *OUTING_FIELDS) if one.instrument}
    assert asked | set(OF_SPOT.values()) | {"resistance"} == set(BY_NAME)
    assert all(one.costs.endswith(".") for one in INSTRUMENTS)


def some_runs(world, count: int, chance: random.Random) -> None:
    """Runs with any of what is missed written or open."""
    session, pick = world.session, chance.choice
    state = ensure_first_state(session, hull(session, world.medlar), Moment("2026-05-09T09:00:00Z", 0))
    for number in range(1, count + 1):
        facts = {
            "kind": pick(["speed", "speed", "tune"]), "speed_kmh": pick([None, 80.0]),
            "speed_how": pick(["", "by eye", "log"]), "ways": pick(["", "one way"]), "passes": pick([None, 2]),
            "duration_s": pick([None, 60.0]), **{column: pick([None, None, 3]) for column in RATINGS},
            "not_known": pick(["", "", "pack prop", "speed"]),
            "set_aside_at": pick([None, None, "2026-05-10T09:00:00Z"]),
            "waved_away_at": pick([None, None, None, "2026-05-10T09:00:00Z"]),
        }  # fmt: skip
        at = {"started_at": f"2026-05-09T10:{number:02}:00Z", "created_at": "2026-05-09T12:00:00Z"}
        run = Run(outing_id=world.outing, number=number, hull_id=world.medlar, state_id=state.id, **at, **facts)
        session.add(run)
        session.flush()
        for code in chance.sample("JK", chance.randrange(3)):
            read = {name: pick([None, 9.0]) for name in ("start_temperature_c", "rested_v", "charge_mah", "end_v")}
            session.add(RunPack(run_id=run.id, pack_id=world.packs[code], **read))
        if pick([True, False]):
            session.add(RunProp(run_id=run.id, place="single", edition_id=world.edition))
        if pick([True, False]):
            session.add(RunTemperature(run_id=run.id, position=0, spot="other", temperature_c=30.0))
    session.flush()


@pytest.mark.parametrize("seed", [3, 4])
def test_what_waits_in_sql_is_what_waits_by_the_rule_for_any_instruments_both_ways(world, seed: int):
    chance, session = random.Random(seed), world.session
    some_runs(world, 50, chance)
    names = [one.name for one in INSTRUMENTS]
    for never in ([], names, *(chance.sample(names, chance.randrange(1, 12)) for _ in range(4)), []):
        ask_by(session, never)
        runs = session.exec(select(Run)).all()
        ids = [run.id for run in runs]
        packs, props, read = packs_of(session, ids), props_of(session, ids), temperatures_of(session, ids)
        by_rule = {
            run.id: is_waiting(
                run, held(run_fields(), run), packs[run.id], len(read[run.id]), len(props[run.id]), never
            )
            for run in runs
        }  # fmt: skip
        assert {run.id: run.waiting for run in runs} == by_rule
        assert len(set(by_rule.values())) == 2, "the sample says nothing"


def test_what_nobody_measures_is_not_missed_and_a_run_with_all_the_rest_waits_no_more(world):
    session = world.session
    run = world.run(duration_s=60.0, ride_rating=3)
    session.add(RunTemperature(run_id=run.id, position=0, spot="pack", temperature_c=30.0))
    session.flush()
    never = {"rested", "pack_start", "charge", "volts"}
    facts, packs = held(run_fields(), run), packs_of(session, [run.id])[run.id]
    assert missing(facts, packs, 1, 1, (), never) == [] and run.waiting
    keep_not_measured(session, never)
    assert ask_by(session, never) == 1
    assert not session.get(Run, run.id).waiting and not_measured(session) == never
    keep_not_measured(session, ())
    assert ask_by(session, ()) == 1 and session.get(Run, run.id).waiting
    keep_not_measured(session, {*never, *OF_SPOT.values(), "duration", "ride"})
    assert not world.run().waiting, "a new run goes by it as well"


def test_what_was_asked_for_in_vain_run_after_run_is_told(world):
    for number in range(LOOKED_AT):
        assert asked_in_vain(world.session, ()) == []
        world.run(duration_s=60.0 if number == 3 else None)
    found = asked_in_vain(world.session, {"rested"})
    assert {"charge", "volts", "pack_start", "motor", "ride", "wind", "water"} <= set(found)
    assert not {"rested", "speed", "passes", "duration", "air"} & set(found)
