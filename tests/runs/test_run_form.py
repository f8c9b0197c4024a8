"""The form of a new run, through the pages."""

import re

import pytest
from sqlmodel import Session, col, select

from garage.db.engine import reading, writing
from garage.hulls.tables import Hull
from garage.runs.tables import Incident, Run, RunPack, RunProp, RunTemperature
from garage.waters.tables import Outing
from tests.runs.conftest import make_world


@pytest.fixture
def ids(app):
    """The ids of a small garage, kept before the pages are asked."""
    with writing(app.state.engine) as session:
        world = make_world(session)
        ids = {
            "medlar": world.medlar,
            "quince": world.quince,
            "outing": world.outing,
            "edition": world.edition,
        }
        return ids | world.packs


@pytest.fixture
def look(app):
    """A session that reads what the pages wrote."""
    with reading(app.state.engine) as session:
        yield session


def form_of(html: str) -> dict[str, str]:
    """What a browser would send of the run form if nothing were touched."""
    form = html[html.index('id="run-form"') :]
    form = form[: form.index("</form>")]
    fields = {}
    for tag in re.findall(r"<input[^>]*>", form):
        name = re.search(r'name="([^"]*)"', tag)
        kind = re.search(r'type="([^"]*)"', tag)
        value = re.search(r'value="([^"]*)"', tag)
        if name and (kind is None or kind[1] not in ("checkbox", "radio") or " checked" in tag):
            fields[name[1]] = value[1] if value else ""
    for name, options in re.findall(r'<select[^>]*name="([^"]*)"[^>]*>(.*?)</select>', form, re.S):
        chosen = re.search(r'<option value="([^"]*)" selected', options)
        fields[name] = chosen[1] if chosen else ""
    for name in re.findall(r'<textarea[^>]*name="([^"]*)"', form):
        fields[name] = ""
    return fields


def first_run(client, ids, **typed) -> dict[str, str]:
    page = client.get(f"/runs/new?hull={ids['medlar']}")
    assert page.status_code == 200
    return form_of(page.text) | {"prop_single": str(ids["edition"]), "pack": str(ids["J"]), "speed": "82,5"} | typed


def test_the_second_run_of_a_day_needs_pack_speed_and_a_word(client, ids, look: Session):
    told = {
        "speed_how": "log",
        "averaging_way": "window",
        "averaging": "2",
        "ways": "both ways",
        "passes": "3",
    }
    assert client.post("/runs/new", data=first_run(client, ids, **told)).status_code == 200
    page = client.get("/runs/new")
    assert "Save run 2" in page.text and "As run 1" in page.text
    kept = form_of(page.text)
    assert f'value="{ids["J"]}"' not in page.text.split('id="f-pack"')[1].split("</select>")[0]
    saved = client.post("/runs/new", data=kept | {"pack": str(ids["K"]), "speed": "84.1 km/h", "note": "loose"})
    assert saved.status_code == 200 and "Run 2 is written" in saved.text and "/take-back" in saved.text
    first, second = look.exec(select(Run).order_by(Run.number)).all()
    assert (second.speed_kmh, second.note, second.hull_id) == (84.1, "loose", ids["medlar"])
    for column in ("speed_how", "averaging_s", "ways", "passes", "course_m", "kind", "outing_id", "state_id"):
        assert getattr(second, column) == getattr(first, column), column
    assert second.averaging_s == 2.0
    assert [use.edition_id for use in look.exec(select(RunProp))] == [ids["edition"]] * 2


def test_a_run_set_aside_does_not_fill_the_next_form_and_does_again_once_it_is_back(client, ids, look: Session):
    sound = {"speed_how": "log", "averaging_way": "window", "averaging": "2", "ways": "both ways", "passes": "3"}
    spoiled = {"speed_how": "by eye", "ways": "one way", "passes": "9", "kind": "speed", "pack": str(ids["K"])}
    for told in (sound, spoiled):
        assert client.post("/runs/new", data=first_run(client, ids, **told)).status_code == 200
    spoiled_id = look.exec(select(Run.id).where(Run.number == 2)).one()

    def filled() -> tuple[str, ...]:
        page = client.get("/runs/new")
        like = re.search(r"As run (\d+)", page.text)
        return (like[1] if like else "", *(form_of(page.text)[name] for name in ("speed_how", "ways", "passes")))

    assert filled() == ("2", "by eye", "one way", "9")
    client.post(f"/runs/{spoiled_id}/set-aside", data={"reason": "read off the wrong boat"})
    assert filled() == ("1", "log", "both ways", "3")
    client.post(f"/runs/{spoiled_id}/bring-back")
    assert filled() == ("2", "by eye", "one way", "9")


def test_everything_that_can_be_written_of_a_run_is_kept(client, ids, look: Session):
    typed = first_run(client, ids) | {
        "pack": "", "pack_code": "j + k", "wiring": "parallel", "started": "2026-05-09T10:05",
        "duration": "1:45",
        "full_throttle": "40 s", "pack1_temperature": "24", "pack1_rested": "12,54", "pack1_charge": "2,1 Ah",
        "pack1_volts": "3.71 3.70 3.72", "pack2_charge": "2050", "t1_temperature": "48", "t1_after": "30",
        "t3_temperature": "113 °F", "t3_pack": "2", "ride_rating": "4", "i1_kind": "spin out",
        "i1_cause": "gust",
        "i1_damaged": "yes", "outlet": "weak", "water_inside": "5", "depth": "1.2", "sun": "overcast",
        "throttle_eased": "in the turn", "rudder_trim": "two clicks right", "try_next": "strut down 1 mm",
    }  # fmt: skip
    assert client.post("/runs/new", data=typed).status_code == 200
    run = look.exec(select(Run)).one()
    assert (run.duration_s, run.full_throttle_s, run.cells_s, run.start_time_known) == (105, 40, 3, True)
    assert (run.outlet, run.sun, run.ride_rating, run.try_next) == ("weak", "overcast", 4, "strut down 1 mm")
    packs = {use.pack_id: use for use in look.exec(select(RunPack))}
    assert packs[ids["J"]].charge_mah == 2100 and packs[ids["K"]].charge_mah == 2050
    assert packs[ids["J"]].end_v == pytest.approx(11.13) and packs[ids["J"]].rested_v == 12.54
    assert {use.wiring for use in packs.values()} == {"parallel"}
    read = look.exec(select(RunTemperature).order_by(RunTemperature.position)).all()
    assert [(one.spot, one.pack_id) for one in read] == [("motor end bell", None), ("pack", ids["K"])]
    assert read[1].temperature_c == pytest.approx(45.0) and read[0].seconds_after == 30
    assert look.exec(select(Incident)).one().damaged


@pytest.mark.parametrize(
    ("field", "text", "message"),
    [
        ("speed", "-5", "at least"),
        ("speed", "900", "at most"),
        ("speed", "fast", "Write"),
        ("speed", "45 kg", "km/h"),
        ("speed", "🚤", ""),
        ("speed", "9" * 10000, ""),
        ("speed", "5,000", "5.0"),
        ("pack_more", "77777", "Choose one from the list"),
        ("way", "by radar", "Choose one from the list"),
        ("pack", "77777", "Choose one from the list"),
        ("pack", "J; DROP", "Choose one from the list"),
        ("pack_code", "Zebra", "either"),
        ("started", "2026-05-11T10:00", "still to come"),
        ("started", "2026-05-08T10:00", "The outing was on 9 May 2026"),
        ("started", "yesterday", "not a date and time"),
        ("passes", "0", "at least"),
        ("passes", "1.5", "whole number"),
        ("note", "x" * 10000, "10000 characters"),
        ("note", "bad\x07bell", "cannot be written"),
        ("try_next", "y" * 10000, "10000 characters"),
        ("duration", "99:99:99", ""),
        ("averaging", "2", "single reading"),
        ("pack1_charge", "900 Ah", "at most"),
        ("pack1_rested", "4.1", "3S rests between"),
        ("pack1_volts", "3.7 3.7", "3 cells"),
        ("pack1_volts", "full", ""),
        ("pack2_charge", "100", "no such pack"),
        ("t1_after", "30", "is missing"),
        ("t1_temperature", "5000", "at most"),
        ("i1_note", "bang", "What happened"),
        ("i1_kind", "sank twice", "Choose one from the list"),
        ("ride_rating", "9", "Choose one from the list"),
        ("course", "-1", "at least"),
        ("prop_single", "999", "Choose one from the list"),
        ("prop_single_code", "P99", "No prop in the notebook"),
        ("hull", "999", "Which hull"),
        ("outing", "999", "not in the notebook"),
        ("kind", "race", "Choose one from the list"),
    ],
)
def test_a_wrong_field_is_answered_beside_it_and_nothing_is_lost(client, ids, look: Session, field, text, message):
    typed = first_run(client, ids, note="keep me", averaging_way="single reading") | {field: text}
    if field == "pack_more":
        typed["pack"] = ""
    answer = client.post("/runs/new", data=typed)
    assert answer.status_code == 422
    assert look.exec(select(Run)).first() is None
    if field not in ("hull", "outing", "ride_rating"):
        assert 'class="field bad' in answer.text
    assert message.lower() in answer.text.lower().replace("&#39;", "'")
    if field != "note":
        assert "keep me" in answer.text
    if (
        field not in ("hull", "outing", "kind", "ride_rating", "i1_kind", "pack", "pack_more", "way", "prop_single")
        and "\x07" not in text
    ):
        assert text[:200] in answer.text


def test_nothing_is_pressed_on_the_first_run_of_a_day_and_what_is_not_said_is_not_known(client, ids, look: Session):
    page = client.get(f"/runs/new?hull={ids['medlar']}")
    asked = form_of(page.text)
    assert [asked[name] for name in ("way", "pack", "speed_how", "ways", "averaging", "passes", "course")] == [""] * 7
    assert client.post("/runs/new", data=asked | {"speed": "82.5"}).status_code == 200
    run = look.exec(select(Run)).one()
    assert (run.speed_kmh, run.speed_how, run.ways, run.course_m, run.passes) == (82.5, "", "", None, None)
    assert look.exec(select(RunPack)).first() is None
    assert "the pack" in client.get(f"/outings/{run.outing_id}.json").json()["rows"][0]["missing"]
    for address in (f"/runs/{run.id}", f"/runs/{run.id}/edit", f"/runs/{run.id}/rebuild", "/", "/records", "/runs/new"):
        assert client.get(address).status_code == 200, address


def test_one_tap_says_how_the_first_speed_of_a_day_was_read(client, ids, look: Session):
    told = {"speed_how": "log", "averaging_way": "window", "averaging": "2", "ways": "both ways", "passes": "3"}
    assert client.post("/runs/new", data=first_run(client, ids, **told)).status_code == 200
    at_home = f"/runs/new?hull={ids['medlar']}&outing={another_outing(client)}"
    page = client.get(at_home)
    asked = form_of(page.text)
    assert asked["way"] == asked["speed_how"] == "" and "last time log, mean over two seconds, both ways" in page.text
    assert client.post("/runs/new", data=asked | {"speed": "70", "way": "as last time"}).status_code == 200
    assert client.post("/runs/new", data=form_of(client.get(at_home).text) | {"speed": "71"}).status_code == 200
    first, second, third = look.exec(select(Run).order_by(Run.id)).all()
    for column in ("speed_how", "averaging_s", "ways", "passes", "course_m"):
        assert getattr(first, column) == getattr(second, column) == getattr(third, column), column


def test_a_tap_and_another_word_further_down_are_asked_about(client, ids, look: Session):
    answer = client.post("/runs/new", data=first_run(client, ids, way="display", speed_how="log"))
    assert answer.status_code == 422 and "which of the two was it" in answer.text
    assert client.post("/runs/new", data=first_run(client, ids, way="by eye")).status_code == 200
    assert look.exec(select(Run)).one().speed_how == "by eye"


def test_what_was_pressed_stays_though_the_form_would_not_offer_it_any_more(client, ids):
    """Another run of the day was written since the form was opened, and other packs come first now."""
    for code in "MNOPQ":
        client.post("/packs/new", data={"code": code, "cells_s": "3", "capacity": "4000"})
    opened = client.get(f"/runs/new.json?hull={ids['medlar']}").json()
    last = opened["pack_options"][-1][0]
    assert client.post("/runs/new", data=first_run(client, ids)).status_code == 200
    answer = client.post("/runs/new", data=first_run(client, ids, way="display", pack=last, speed="80 kg"))
    shown = form_of(answer.text)
    assert answer.status_code == 422 and (shown["way"], shown["pack"]) == ("display", last)


def another_outing(client) -> int:
    """A further outing, as the pages make it."""
    typed = {"water": "1", "started": "2026-05-09T14:00"}
    return int(client.post("/outings/new", data=typed).url.path.split("/")[2])


@pytest.mark.parametrize("text", ["45 mph", "45mph", "72,42 km/h"])
def test_a_speed_may_be_written_in_any_sensible_unit(client, ids, look: Session, text):
    assert client.post("/runs/new", data=first_run(client, ids, speed=text)).status_code == 200
    assert look.exec(select(Run)).one().speed_kmh == pytest.approx(72.42, abs=0.01)


@pytest.mark.parametrize(("seconds", "status"), [("60", 200), ("61", 422)])
def test_a_speed_is_averaged_over_a_minute_at_most(client, ids, look: Session, seconds, status):
    told = {"speed_how": "log", "averaging_way": "window", "averaging": seconds}
    assert client.post("/runs/new", data=first_run(client, ids, **told)).status_code == status
    assert [run.averaging_s for run in look.exec(select(Run))] == ([60.0] if status == 200 else [])


def test_a_run_before_the_hull_existed_is_refused_beside_its_start(client, ids, look: Session):
    outing = {"outing": "", "new_water": "Far Pool"}
    typed = first_run(client, ids, hull=str(ids["quince"]), started="2026-04-30T10:00") | outing
    answer = client.post("/runs/new", data=typed)
    assert answer.status_code == 422
    assert "Quince was built on 1 May 2026" in answer.text


def test_a_pack_used_twice_at_once_is_refused_beside_the_pack(client, ids, look: Session):
    client.post("/runs/new", data=first_run(client, ids, started="2026-05-09T10:00", duration="3 min"))
    second = first_run(client, ids, started="2026-05-09T10:02") | {"hull": str(ids["quince"])}
    answer = client.post("/runs/new", data=second)
    assert answer.status_code == 422
    assert "Pack J was in run 1 at 10:00 already" in answer.text
    assert len(look.exec(select(Run)).all()) == 1


def test_the_same_pack_written_twice_is_refused(client, ids):
    answer = client.post("/runs/new", data=first_run(client, ids) | {"pack": "", "pack_code": "J + j"})
    assert answer.status_code == 422 and "in there twice" in answer.text


def test_a_puffed_pack_needs_a_tick(client, ids, app, look: Session):
    with writing(app.state.engine) as session:
        session.connection().exec_driver_sql("UPDATE pack SET damage = 'puffed' WHERE code = 'J'")
    typed = first_run(client, ids) | {"pack": "", "pack_code": "J"}
    answer = client.post("/runs/new", data=typed)
    assert answer.status_code == 422 and "Pack J: puffed" in answer.text
    assert client.post("/runs/new", data=typed | {"pack_anyway": "yes"}).status_code == 200
    assert look.exec(select(Run)).one()


def test_a_run_without_an_open_outing_begins_one(client, ids, app, look: Session):
    with writing(app.state.engine) as session:
        session.connection().exec_driver_sql("UPDATE outing SET closed_at = '2026-05-09T12:00:00Z'")
    page = client.get(f"/runs/new?hull={ids['medlar']}")
    assert "none is open today" in page.text
    typed = form_of(page.text) | {"pack": str(ids["J"]), "speed": "80"}
    missing = client.post("/runs/new", data=typed | {"water": "", "new_water": ""})
    assert missing.status_code == 422 and "At which water" in missing.text
    assert (
        client.post("/runs/new", data=typed | {"water": "", "new_water": "Sedge Pool", "air": "18"}).status_code == 200
    )
    outing = look.exec(select(Outing).order_by(Outing.id.desc())).first()
    assert outing.air_c == 18 and look.exec(select(Run)).one().outing_id == outing.id


def test_an_empty_garage_teaches_where_to_begin(client):
    assert "A run belongs to a boat" in client.get("/runs/new").text
    assert client.post("/runs/new", data={}).status_code == 422


def test_a_boat_with_two_screws_takes_a_prop_on_each_side(client, ids, app, look: Session):
    with writing(app.state.engine) as session:
        session.get(Hull, ids["medlar"]).screws = 2
    typed = first_run(client, ids) | {"prop_left": str(ids["edition"]), "prop_right_code": "p1"}
    assert client.post("/runs/new", data=typed).status_code == 200
    assert {use.place for use in look.exec(select(RunProp))} == {"left", "right"}


@pytest.mark.parametrize("field", ["hull", "outing", "ride_rating"])
def test_a_refused_field_without_a_line_of_its_own_is_named_all_the_same(client, ids, field):
    answer = client.post("/runs/new", data=first_run(client, ids) | {field: "999"})
    assert answer.status_code == 422
    for target in re.findall(r'<a href="#([^"]+)">', answer.text.split('class="errors"')[1].split("</ul>")[0]):
        assert f'id="{target}"' in answer.text
    assert 'class="error"' in answer.text


def test_the_voltage_of_the_whole_pack_will_do(client, ids, look: Session):
    assert client.post("/runs/new", data=first_run(client, ids, pack1_volts="11,1 V")).status_code == 200
    use = look.exec(select(RunPack)).one()
    assert (use.end_v, use.volts_after) == (11.1, "")
    assert 'name="pack1_volts" type="text" value="11.1"' in client.get(f"/runs/{use.run_id}/edit").text
    assert "11.10" in client.get(f"/runs/{use.run_id}").text


def test_the_cells_after_are_added_up(client, ids, look: Session):
    client.post("/runs/new", data=first_run(client, ids, pack1_volts="3.71 3.70 3.72"))
    assert look.exec(select(RunPack)).one().end_v == 11.13


def test_three_packs_have_readings_of_their_own(client, ids, look: Session):
    typed = first_run(client, ids, pack="", pack_code="J + K + L", wiring="parallel", pack3_charge="900")
    assert client.post("/runs/new", data=typed).status_code == 200
    charges = {use.pack_id: use.charge_mah for use in look.exec(select(RunPack))}
    assert charges == {ids["J"]: None, ids["K"]: None, ids["L"]: 900}


def test_a_kind_carried_over_is_said_on_the_form(client, ids):
    client.post("/runs/new", data=first_run(client, ids, kind="break-in"))
    page = client.get(f"/runs/new?hull={ids['medlar']}").text
    assert "as the last one" in page and form_of(page)["kind"] == "break-in"


def test_a_retirement_before_the_last_run_and_a_run_after_it_are_asked_about_and_taken_when_meant(client, ids, look):
    typed = form_of(client.get(f"/runs/new?hull={ids['medlar']}&outing={ids['outing']}").text)
    run = typed | {"pack_code": "J", "speed": "61", "started": "2026-05-09T10:30"}
    assert client.post("/runs/new", data=run).url.path.startswith("/runs/")
    end = {"retired_on": "2026-05-08", "retired_how": "other"}
    for address in (f"/hulls/{ids['medlar']}", f"/packs/{ids['J']}"):
        asked = client.post(f"{address}/retire", data=end)
        assert asked.status_code == 422 and "ran on 9 May 2026, after that day" in asked.text
    assert client.post(f"/hulls/{ids['medlar']}/retire", data=end | {"ran_since": "yes"}).status_code == 200
    fresh = form_of(client.get(f"/runs/new?hull={ids['medlar']}&outing={ids['outing']}").text)
    later = fresh | {"pack_code": "J", "speed": "62", "started": "2026-05-09T10:50"}
    asked = client.post("/runs/new", data=later)
    assert asked.status_code == 422 and "is retired since 8 May 2026, before this run" in asked.text
    assert client.post("/runs/new", data=later | {"hull_anyway": "yes"}).url.path.startswith("/runs/")
    assert [row.speed_kmh for row in look.exec(select(Run))][-2:] == [61, 62]
    # The runs of after stand: the evening, and another speed, go as ever; a further run is asked about there as well.
    evening, new = (
        f"/outings/{ids['outing']}/evening",
        {"n1_hull": str(ids["medlar"]), "n1_pack": "J", "n1_speed": "63"},
    )
    asked = client.post(evening, data=new | {"n1_clock": "11:10"})
    assert asked.status_code == 422 and 'name="n1_hull_anyway"' in asked.text and "before this run" in asked.text
    assert client.post(evening, data=new | {"n1_clock": "11:10", "n1_hull_anyway": "yes"}).status_code == 200
    last = look.exec(select(Run.id).order_by(col(Run.id).desc())).first()
    kept = form_of(client.get(f"/runs/{last}/edit").text)
    assert client.post(f"/runs/{last}/edit", data=kept | {"speed": "64", "why": "misread"}).url.path == f"/runs/{last}"
