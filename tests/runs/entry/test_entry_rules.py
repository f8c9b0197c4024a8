"""Writing a run down and changing it: what it goes against, what is offered, and what the ledger keeps."""

from dataclasses import replace

import pytest
from sqlmodel import select

from garage.corrections.tables import Correction
from garage.errors import Conflict, NotFound
from garage.hulls.tables import Hull
from garage.moments import Moment
from garage.packs.tables import Pack, PackLog
from garage.props.tables import PropEdition
from garage.runs.entry import change_store
from garage.runs.entry.pick_store import Option, pack_options, pack_options_of, prop_options_of, with_picked
from garage.runs.entry.resolve_store import wirings_of
from garage.runs.entry.validate_store import look_at
from garage.runs.form_data import IncidentFormData, PackUse, PropUse, RunFormData, TemperatureFormData, run_facts
from garage.runs.moved_store import moved_words
from garage.runs.moves_store import moves_of
from garage.runs.since_store import runs_since
from garage.runs.store import add_run, last_runs_of_hulls, runs_listed, runs_of_outing, so_far
from tests.runs.conftest import AT, MORNING


def problems(*asked) -> dict[str, str]:
    """What a run goes against."""
    return look_at(*asked).problems


def at(clock: str, day: int = 9) -> Moment:
    return Moment(f"2026-05-{day:02d}T{clock}Z", 0)


@pytest.mark.parametrize(
    ("clock", "duration", "clashes"),
    [
        ("10:02:59", 60, True), ("10:03:00", 60, False), ("09:59:00", 60, False), ("09:59:00", 61, True),
        ("09:59:59", None, False), ("10:00:00", None, True),
    ],
)  # fmt: skip
def test_a_boat_runs_again_the_moment_its_last_run_has_ended(world, clock, duration, clashes):
    other = world.run("J", started=at("10:00:00"), duration_s=180)
    form = RunFormData(world.medlar, world.outing, run_facts(duration_s=duration), at(clock))
    found = problems(world.session, form, at(clock), AT)
    assert found == ({"started": "Run 1 of this boat was going on at 10:00."} if clashes else {})
    # The run itself is no other run, and another boat may run meanwhile.
    assert problems(world.session, form, at(clock), AT, other.id) == {}
    assert problems(world.session, replace(form, hull_id=world.quince), at(clock), AT) == {}


def test_a_pack_is_in_one_boat_at_a_time_for_as_long_as_a_run_lasts(world):
    # Four hours is the longest run that is written down.
    world.run("J", started=at("09:30:00"), duration_s=4 * 3600)
    form = RunFormData(world.quince, world.outing, packs=(PackUse(world.packs["J"]),), started=at("13:29:59"))
    assert problems(world.session, form, form.started, AT)["pack"].startswith("Pack J was in run 1 at 09:30 already")
    after = replace(form, started=at("13:30:00"))
    assert problems(world.session, after, after.started, AT) == {}
    assert problems(world.session, replace(form, packs=(PackUse(world.packs["K"]),)), form.started, AT) == {}
    # Where nobody looked at the clock nothing contradicts.
    assert problems(world.session, replace(form, started=None), at("13:29:59"), AT) == {}


def test_a_run_that_nobody_timed_or_that_was_set_aside_is_in_nobodys_way(world):
    untimed = world.run("J", at=at("10:00:00"))
    aside = world.run("K", started=at("11:00:00"), duration_s=600)
    change_store.set_run_aside(world.session, aside.id, AT.utc, "no log")
    for clock, pack in ((untimed.started_at[11:19], "J"), ("11:05:00", "K")):
        form = RunFormData(world.medlar, world.outing, packs=(PackUse(world.packs[pack]),), started=at(clock))
        assert problems(world.session, form, form.started, AT) == {}


def test_a_run_lies_on_the_day_of_its_outing_and_not_before_the_boat_was_built(world):
    def told(started: Moment | None, hull: int | None = None, now: Moment = AT) -> str:
        form = RunFormData(hull or world.medlar, world.outing, started=started)
        return problems(world.session, form, started or at("10:00:00"), now).get(about, "")

    about = "started"
    assert told(at("23:59:59")) == "" and "The outing was on 9 May 2026, this is 10 May 2026" in told(
        at("00:00:00", 10), now=at("09:00:00", 11)
    )
    assert "still to come" in told(at("00:00:00", 10)) and told(at("15:00:00")) == ""
    built, about = world.session.get(Hull, world.quince), "built_then"
    built.built_on = "2026-05-09"
    world.session.flush()
    assert told(at("10:00:00"), world.quince) == ""
    built.built_on = "2026-05-10"
    world.session.flush()
    assert "built on 10 May 2026" in told(at("10:00:00"), world.quince) and "built" in told(None, world.quince)


def test_parts_of_a_run_are_there_once(world):
    def told(**more) -> dict[str, str]:
        return problems(world.session, RunFormData(world.medlar, world.outing, **more), at("10:00:00"), AT)

    pack, prop = PackUse(world.packs["J"]), PropUse(world.edition)
    assert told(props=(prop, PropUse(world.edition, "left")), packs=(pack, PackUse(world.packs["K"]))) == {}
    assert list(told(props=(prop, prop))) == ["prop"] and list(told(packs=(pack, pack))) == ["pack"]
    assert "no such pack" in told(packs=(PackUse(999),))["pack"]
    with pytest.raises(NotFound):
        problems(world.session, RunFormData(999, world.outing), at("10:00:00"), AT)


def test_runs_are_listed_newest_first_page_by_page_and_counted_on_from_the_last(world):
    runs = [world.run(None, started=at(f"{hour}:00:00"), hull=hull)
            for hour, hull in ((10, world.medlar), (12, world.quince), (11, world.medlar))]  # fmt: skip
    ids = [run.id for run in runs]
    assert [run.id for run in runs_listed(world.session)] == ids[::-1]
    assert [run.id for run in runs_listed(world.session, limit=1, offset=1)] == [ids[1]]
    assert [run.id for run in runs_listed(world.session, hull_id=world.medlar)] == [ids[2], ids[0]]
    assert [run.number for run in runs_of_outing(world.session, world.outing)] == [1, 2, 3]
    assert [run.number for run in runs_of_outing(world.session, world.outing, limit=1, offset=2)] == [3]
    assert so_far(world.session, world.outing).next_number == 4 and so_far(world.session, 99).next_number == 1
    change_store.set_run_aside(world.session, ids[2], AT.utc, "no log")
    lasts = last_runs_of_hulls(world.session, [world.medlar, world.quince])
    assert {hull_id: run.id for hull_id, run in lasts.items()} == {world.medlar: ids[0], world.quince: ids[1]}
    assert last_runs_of_hulls(world.session, [world.medlar], "2026-05-09T10:00:00Z") == {}
    assert world.medlar in last_runs_of_hulls(world.session, [world.medlar], "2026-05-09T10:00:01Z")


def test_runs_since_a_moment_begin_with_it_and_end_before_the_other(world):
    for hour, duration in ((10, 60.0), (11, None), (12, 90.0)):
        world.run(None, started=at(f"{hour}:00:00"), duration_s=duration)

    def since(first: str, before: str) -> tuple[int, float, int, bool]:
        [found] = runs_since(world.session, [(world.medlar, first)], before).values()
        return found.runs, found.minutes, found.untimed, found.is_cut

    assert since("", "9999") == (3, 2.5, 1, False)
    assert since("2026-05-09T10:00:00Z", "2026-05-09T12:00:00Z") == (2, 1.0, 1, False)
    assert since("2026-05-09T10:00:01Z", "2026-05-09T12:00:01Z") == (2, 1.5, 1, False)
    assert runs_since(world.session, [(world.quince, "")], "9999")[world.quince, ""].runs == 0


def _words(options: list[Option]) -> list[str]:
    return [one.text.split(" · ")[0] for one in options]


def test_packs_are_offered_as_they_ran_lately_then_those_that_fit_then_by_code(world):
    session = world.session
    session.add_all(Pack(code=code, cells_s=cells, capacity_mah=4000, created_at=MORNING.utc) for code, cells in
                    (("A10", 3), ("A2", 3), ("Z", 3), ("B", 4)))  # fmt: skip
    session.flush()
    later = Moment("2026-05-20T09:00:00Z", 0)
    for pack in "KL":
        world.run(pack)
    assert _words(pack_options(session, world.medlar, 3, later)) == ["L", "K", "J", "Z", "A2", "A10", "B"]
    # A boat that never ran is offered all, none of which it used.
    assert _words(pack_options(session, world.quince, None, later)) == ["B", "J", "K", "L", "Z", "A2", "A10"]
    fitting = pack_options_of(session, {world.medlar: 4}, later, fitting_only=True)[world.medlar]
    assert set(_words(fitting)) == {"L", "K", "B"}
    # What ran that day already is left out, until all did.
    assert _words(pack_options(session, world.medlar, 3, AT)) == ["J", "Z", "A2", "A10", "B"]
    for gone in session.exec(select(Pack).where(Pack.code.not_in(["K", "L"]))):
        gone.retired_on = "2026-05-01"
    session.flush()
    again = pack_options(session, world.medlar, 3, AT)
    assert _words(again) == ["K", "L"] or _words(again) == ["L", "K"]
    assert all("ran already that day" in one.text for one in again)


def test_packs_that_ran_together_are_offered_together_and_first_if_the_last_run_was_so(world):
    ids, later = world.packs, Moment("2026-05-20T09:00:00Z", 0)
    both = (PackUse(ids["J"], "series"), PackUse(ids["K"], "series"))
    add_run(world.session, RunFormData(world.medlar, world.outing, packs=both), AT)
    first, *others = pack_options(world.session, world.medlar, 6, later)
    assert (first.value, first.text) == (f"{ids['J']}+{ids['K']}:series", "J + K · 2 × 3S 4\u202f000 · series")
    world.run("L")
    values = [one.value for one in pack_options(world.session, world.medlar, 3, later)]
    assert values[0] == str(ids["L"]) and values[-1] == first.value and len(others) == 3


@pytest.mark.parametrize(
    ("count", "wiring", "each"),
    [
        (0, "series", []), (1, "parallel", ["single"]), (2, "parallel", ["parallel"] * 2), (2, "", ["series"] * 2),
        (2, "left", ["left", "right"]), (3, "right", ["left", "right", "right"]), (2, "else", ["series"] * 2),
    ],
)  # fmt: skip
def test_packs_beside_each_other_are_wired_alike_or_one_to_each_side(count, wiring, each):
    assert list(wirings_of(count, wiring)) == each


def test_what_was_chosen_is_offered_still(world):
    ids, options = world.packs, [Option("1", "x")]
    assert with_picked(world.session, options, "1") is options is with_picked(world.session, options, "")
    assert with_picked(world.session, options, "999") is options is with_picked(world.session, options, "junk")
    added = with_picked(world.session, options, f"{ids['J']}+{ids['L']}:parallel")
    assert added[1].text == "J + L · 2 × 3S 4\u202f000 · parallel · as you chose"
    assert with_picked(world.session, options, str(ids["L"]))[1].text == "L · 3S 4\u202f000 · as you chose"
    assert "series" in with_picked(world.session, options, f"{ids['J']}+{ids['L']}")[1].text
    assert prop_options_of(world.session, [world.medlar])[world.medlar][0].id == world.edition


def test_what_stood_in_a_run_is_kept_and_what_was_blank_is_not(world):
    session, ids = world.session, world.packs
    read = (TemperatureFormData("pack", 41.0, 30.0), TemperatureFormData("other", 30.0))
    form = RunFormData(
        world.medlar, world.outing, run_facts(speed_kmh=80.0, note=""), at("10:00:00"), (PropUse(world.edition),),
        (PackUse(ids["J"], rested_v=12.5),), read,
    )  # fmt: skip
    run = add_run(session, form, AT)
    new = replace(
        form, facts=run_facts(speed_kmh=82.0, note="wind"), started=at("10:05:00"), props=(),
        packs=(PackUse(ids["J"], "series", rested_v=12.6, charge_mah=2000.0), PackUse(ids["K"], "series")),
        temperatures=(TemperatureFormData("pack", 42.0, 30.0),), incidents=(IncidentFormData("hook"),),
    )  # fmt: skip
    changed = change_store.change_run(session, run.id, new, "misread", AT)
    kept = {row.field: (row.old, row.new) for row in session.exec(select(Correction))}
    assert kept == {
        "speed_kmh": ("80.0", "82.0"),
        "pack J: rested_v": ("12.5", "12.6"), "temperature 1": ("pack 41 °C, 30 s after", "pack 42 °C, 30 s after"),
        "temperature 2": ("other 30 °C", ""),
    }  # fmt: skip
    moves = moves_of(session, [run.id])[run.id]
    assert {one.what: (one.old, one.new) for one in moved_words(session, moves)} == {
        "start": ("10:00", "10:05"), "prop": ("P1 ed. 1, 44 × 66", "not known"),
        "packs": ("J", "J (series) + K (series)"),
    }  # fmt: skip
    assert {row.why for row in (*session.exec(select(Correction)), *moves)} == {"misread"}
    assert (changed.started_at, changed.start_time_known, changed.cells_s) == ("2026-05-09T10:05:00Z", True, 6)
    assert change_store.form_of(session, changed) == replace(new, incidents=())
    entries = session.exec(select(PackLog)).all()
    assert {(one.pack_id, one.charge_mah, one.at) for one in entries} == {
        (ids["J"], 2000.0, "2026-05-09T10:05:00Z"), (ids["K"], None, "2026-05-09T10:05:00Z")
    }  # fmt: skip
    assert max(one.temperature_c for one in entries) == 42.0


def test_an_incident_belongs_to_its_run(world):
    one, other = world.run("J"), world.run("K")
    change_store.add_incident(world.session, one.id, IncidentFormData("flip"), AT)
    with pytest.raises(NotFound):
        change_store.set_incident_aside(world.session, other.id, 1, AT.utc)
    assert change_store.set_incident_aside(world.session, one.id, 1, AT.utc).set_aside_at == AT.utc
    with pytest.raises(NotFound):
        change_store.add_incident(world.session, 999, IncidentFormData("flip"), AT)
    with pytest.raises(Conflict):
        world.run("J", started=at("10:00:00", 8))


def test_a_run_copied_in_later_begins_with_its_outing_or_after_the_run_before(world):
    form = RunFormData(world.medlar, world.outing, run_facts(duration_s=90.0))
    first = add_run(world.session, form, AT, written_later=True)
    second = add_run(world.session, form, AT, written_later=True)
    third = add_run(world.session, form, AT)
    starts = [run.started_at for run in (first, second, third)]
    assert starts == ["2026-05-09T09:00:00Z", "2026-05-09T09:01:30Z", AT.utc]
    assert not any(run.start_time_known for run in (first, second, third))


def test_another_prop_takes_the_place_of_the_one_there_and_one_that_is_not_told_of_goes(world):
    session, now = world.session, world.edition
    sharper = PropEdition(prop_id=1, number=2, diameter_mm=44, pitch_mm=66, made_at=AT.utc, created_at=AT.utc)
    session.add(sharper)
    session.flush()
    form = RunFormData(
        world.medlar, world.outing, started=at("10:00:00"), props=(PropUse(now, "left"), PropUse(now, "right"))
    )
    run = add_run(session, form, AT)
    for props in (
        (PropUse(sharper.id, "left"), PropUse(now, "right")), (PropUse(sharper.id, "left"), PropUse(now, "single")),
        (PropUse(now, "single"),),
    ):  # fmt: skip
        change_store.change_run(session, run.id, replace(form, props=props), "misread", AT)
        session.expire_all()
        assert set(change_store.form_of(session, run).props) == set(props)
    assert [(one.what, one.from_value == one.to_value) for one in moves_of(session, [run.id])[run.id]] == [
        ("props", False)
    ] * 3
