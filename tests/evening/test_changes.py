"""What the evening changes beside figures: packs and props, those of another run, what nobody knows, the day."""

import pytest
from sqlmodel import Session, select

from garage.corrections.tables import Correction
from garage.db.engine import writing
from garage.hulls.tables import Hull
from garage.packs.tables import PackLog
from garage.runs.form_data import PackUse, RunFormData, run_facts
from garage.runs.store import add_run
from garage.runs.tables import Incident, Run, RunMove, RunPack, RunProp, RunTemperature
from garage.waters.tables import Outing
from tests.evening.filled import evening
from tests.runs.conftest import AT


def save(client, ids, **typed):
    return client.post(f"/outings/{ids['outing']}/evening", data=evening(client, ids) | typed)


def packs(look: Session) -> dict[int, dict[int, float | None]]:
    """The charge put back of each pack, by run."""
    look.rollback()
    found: dict[int, dict[int, float | None]] = {}
    for row in look.exec(select(RunPack)):
        found.setdefault(row.run_id, {})[row.pack_id] = row.charge_mah
    return found


def moves(look: Session) -> list[tuple[int, str]]:
    return [(move.run_id, move.what) for move in look.exec(select(RunMove).order_by(RunMove.id))]


def test_another_pack_takes_over_what_was_read_off_and_its_log_follows(client, ids, look):
    first, _ = ids["runs"]
    save(client, ids, **{f"r{first}_p{ids['J']}_charge": "2100"})
    answer = save(client, ids, **{f"r{first}_pack_1": "l", "why": "misread"})
    assert "1 changed" in answer.text and packs(look)[first] == {ids["L"]: 2100}
    assert moves(look) == [(first, "packs")]
    logged = look.exec(select(PackLog).where(PackLog.run_id == first, PackLog.set_aside_at.is_(None))).all()
    assert [(row.pack_id, row.charge_mah) for row in logged] == [(ids["L"], 2100)]
    assert "Pack J took 2100" not in answer.text and look.get(Run, first).cells_s == 3


def test_two_runs_have_each_others_packs_in_one_save_and_what_was_read_off_goes_with_them(client, ids, look):
    first, second = ids["runs"]
    typed = {f"r{first}_p{ids['J']}_charge": "2100", f"r{second}_p{ids['K']}_charge": "1800"}
    save(client, ids, **typed)
    answer = save(client, ids, **{f"r{second}_swap_packs": str(first), f"r{first}_ride": "4"})
    assert "2 changed" in answer.text
    assert packs(look) == {first: {ids["K"]: 1800}, second: {ids["J"]: 2100}}
    assert sorted(moves(look)) == [(first, "packs"), (second, "packs")] and look.get(Run, first).ride_rating == 4
    assert client.post(answer.text.split('class="notice"')[1].split('action="')[1].split('"')[0]).status_code == 200
    assert packs(look) == {first: {ids["J"]: 2100}, second: {ids["K"]: 1800}}


def test_props_are_swapped_too_and_what_is_not_known_goes_along(client, ids, look):
    first, second = ids["runs"]
    save(client, ids, **{f"r{second}_prop_single": "not known"})
    assert look.get(Run, second).not_known == "prop"
    save(client, ids, **{f"r{first}_swap_props": str(second)})
    look.rollback()
    assert {(use.run_id, use.edition_id) for use in look.exec(select(RunProp))} == {(second, ids["edition"])}
    assert (look.get(Run, first).not_known, look.get(Run, second).not_known) == ("prop", "")


def test_a_pack_that_nobody_knows_is_an_answer_and_can_be_told_after_all(client, ids, look):
    first, _ = ids["runs"]
    save(client, ids, **{f"r{first}_pack_1": "Not known"})
    assert first not in packs(look) and look.get(Run, first).not_known == "pack"
    page = client.get(f"/outings/{ids['outing']}/evening").text
    assert f'name="r{first}_pack_1" id="f-r{first}_pack_1" value="not known"' in page
    assert "nothing was different" in save(client, ids).text
    save(client, ids, **{f"r{first}_pack_1": "J"})
    assert packs(look)[first] == {ids["J"]: None} and look.get(Run, first).not_known == ""


@pytest.mark.parametrize(
    ("typed", "field"),
    [
        ({"r{0}_pack_1": "Zebra"}, "r{0}_pack_1"),
        ({"r{0}_pack_1": ""}, "r{0}_pack_1"),
        ({"r{0}_pack_2": "J"}, "r{0}_pack_1"),
        ({"r{0}_swap_packs": "999"}, "r{0}_swap_packs"),
        ({"r{0}_swap_packs": "{1}", "r{0}_pack_1": "L"}, "r{0}_swap_packs"),
        ({"r{0}_i_kind": "dragon"}, "r{0}_i_kind"),
        ({"day_air": "warm"}, "day_air"),
        ({"day_wind": "5", "day_gust": "3"}, "day_gust"),
    ],
)
def test_what_cannot_be_is_told_beside_its_field_and_all_that_was_typed_stays(client, ids, look, typed, field):
    first, second = ids["runs"]
    told = {name.format(first, second): text.format(first, second) for name, text in typed.items()}
    answer = save(client, ids, **told, **{f"r{second}_note": "keep me"})
    assert answer.status_code == 422 and f'id="e-{field.format(first)}"' in answer.text and "keep me" in answer.text
    assert moves(look) == [] and look.exec(select(Correction)).first() is None and look.get(Run, second).note == ""


def test_packs_are_not_swapped_into_a_time_when_they_ran_elsewhere(client, ids, look):
    first, second = ids["runs"]
    other = {"n1_pack_1": "L", "n1_clock": "11:00", "n1_hull": "2"}
    assert "1 written" in save(client, ids, **other).text
    third = look.exec(select(Run.id).order_by(Run.id.desc())).first()
    answer = save(client, ids, **{f"r{third}_pack_1": "K"})
    assert answer.status_code == 422 and "Pack K was in run 2 at 11:00 already" in answer.text
    assert "2 changed" in save(client, ids, **{f"r{third}_swap_packs": str(second)}).text, "both are moved before"


def test_conditions_and_incidents_are_written_with_the_rest(client, ids, look):
    first, _ = ids["runs"]
    with writing(client.app.state.engine) as session:
        session.add(RunTemperature(run_id=first, position=0, spot="pack", temperature_c=41, pack_id=ids["J"]))
    answer = save(
        client, ids, day_water_temperature="12", day_wind="2", day_surface="ripple", **{f"r{first}_i_kind": "flip"}
    )
    assert "1 changed, conditions" in answer.text
    day = look.get(Outing, ids["outing"])
    assert (day.air_c, day.water_c, day.wind_ms, day.surface) == (17, 12, 2, "ripple")
    assert [(one.run_id, one.kind) for one in look.exec(select(Incident))] == [(first, "flip")]
    assert "water 12 °C" in answer.text and "Did anything happen beside flip?" in answer.text
    save(client, ids, **{f"r{first}_pack_1": "L"})
    look.rollback()
    assert look.exec(select(RunTemperature.pack_id)).one() == ids["L"], "it was read off what was on board"


def test_only_what_is_missing_and_measured_is_in_the_line_and_the_link_to_say_so_once_is_there(client, ids, look):
    sheet = client.get(f"/outings/{ids['outing']}/evening.json").json()
    assert {"charge", "rested", "t_motor", "ride"} <= set(sheet["line"]) and "speed" not in sheet["line"]
    assert sheet["in_vain"] == [], "two runs tell nothing yet"
    with writing(client.app.state.engine) as session:
        facts = run_facts(speed_kmh=80.0, speed_how="log")
        form = RunFormData(ids["medlar"], ids["outing"], facts, packs=(PackUse(ids["L"]),))
        for _ in range(10):
            add_run(session, form, AT)
    page = client.get(f"/outings/{ids['outing']}/evening").text
    assert 'href="/preferences/instruments#f-never_charge"' in page
    told = client.post("/preferences/instruments", data={"never_charge": "yes", "never_ride": "yes"}).text
    assert "changes whether" not in told, "all of them lack something else"
    sheet = client.get(f"/outings/{ids['outing']}/evening.json").json()
    assert not {"charge", "ride"} & {*sheet["line"], *(name for name, _ in sheet["in_vain"])}
    assert all("charge" not in row["asked"] for row in sheet["rows"])
    page = client.get(f"/outings/{ids['outing']}/evening").text
    assert f'name="r{ids["runs"][0]}_p{ids["J"]}_charge"' in page, "its field is in the fold"


def test_a_prop_of_before_she_had_two_stays_and_places_are_not_mixed(client, ids, look):
    first, second = ids["runs"]
    with writing(client.app.state.engine) as session:
        session.get(Hull, ids["medlar"]).screws = 2
    typed = {f"r{first}_prop_left": "P1", f"r{first}_prop_right": "P1", f"r{first}_prop_single": ""}
    assert "1 changed" in save(client, ids, **typed).text
    places = {(use.run_id, use.place) for use in look.exec(select(RunProp))}
    assert places == {(first, "left"), (first, "right"), (second, "single")}
    answer = save(client, ids, **{f"r{first}_swap_props": str(second)})
    assert answer.status_code == 422 and "in other places" in answer.text
