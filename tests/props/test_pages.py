"""Forms of props: in one go, by rework, mended; and what is said when something is wrong."""

import pytest

GOOD = {
    "code": "P1", "size": "642", "blades": "2", "hand": "right", "condition": "good", "material": "brass",
}  # fmt: skip
REWORK = {"reworks": ["sharpened", "balanced"], "condition": "good", "made": "2026-05-08T10:00"}


def prop(client, **typed):
    return client.post("/props/new", data=GOOD | typed)


def now(client) -> dict:
    return client.get("/props/1.json").json()["now"]


def test_a_prop_is_written_down_in_one_go_and_says_how_its_size_was_read(client):
    page = prop(client)
    assert page.url.path == "/props/1" and "was read as a number code" in page.text
    sheet = client.get("/props/1.json").json()
    assert sheet["now"]["diameter"] == {"value": 42, "unit": "mm", "from": "from its printed size"}
    assert sheet["now"]["pitch"]["value"] == pytest.approx(67.2)
    assert (sheet["now"]["ratio"], sheet["facts"]["printed_name"]) == ("1.60", "642")


def test_the_next_code_is_suggested(client):
    assert 'value="P1"' in client.get("/props/new").text
    prop(client, code="P9")
    assert client.get("/props/new.json").json()["code"] == "P10"


def test_what_is_measured_goes_before_the_printed_size(client):
    prop(client, diameter="41,6", blade_pitches="66; 65")
    assert now(client)["diameter"] == {"value": 41.6, "unit": "mm", "from": "measured"}
    assert now(client)["pitch"]["value"] == 65.5 and "mean of the blades" in now(client)["pitch"]["from"]
    assert now(client)["spread"]["value"] == pytest.approx(100 / 65.5)


def test_a_size_that_is_unclear_is_asked_about_and_diameter_with_pitch_answer_it(client):
    page = prop(client, size="5842", notes="keep me")
    assert page.status_code == 422 and "more than one way" in page.text and "keep me" in page.text
    assert prop(client, size="5842", diameter="42", pitch="58").status_code == 200
    assert client.get("/props/1.json").json()["facts"]["printed_name"] == "5842"


def test_the_reading_is_shown_before_saving_without_any_script(client):
    page = client.get("/props/new", params=GOOD | {"size": "1.34 x 2.06", "notes": "from the fair"})
    assert "inches by inches" in page.text and "from the fair" in page.text
    assert "not a size that can be read" in client.get("/props/size?size=soup").text
    assert client.get("/props/size").status_code == 200


def test_a_rework_makes_the_next_edition_and_leaves_the_older_ones(client):
    prop(client)
    before = client.get("/props/1.json").json()["editions"]
    client.post("/props/1/rework", data=REWORK | {"reworks": ["cut down"], "diameter": "40", "mass": "11"})
    sheet = client.get("/props/1.json").json()
    assert sheet["editions"][1:] == before
    assert (sheet["now"]["number"], sheet["now"]["reworks"]) == (2, "cut down")
    assert sheet["now"]["pitch"]["value"] == pytest.approx(67.2) and sheet["now"]["ratio"] == "1.68"
    assert sheet["now"]["pitch"]["from"] == "as before the rework"


def test_messages_and_mended_figures_are_told_in_the_units_preferred(client):
    prop(client)
    client.post("/preferences", data={"unit_length": "in"})
    page = client.post("/props/1/rework", data=REWORK | {"reworks": ["cut down"], "diameter": "1.7"})
    # 42 mm = 1.654 in (1 in = 25.4 mm exactly: NIST SP 811, appendix B)
    assert page.status_code == 422 and "not smaller than the 1.654 in of before" in page.text.replace("\u202f", " ")
    mended = {"diameter": "1.6", "pitch": "2.5", "blade_pitches": "2.49; 2.51", "condition": "good", "why": "misread"}
    page = client.post("/props/1/editions/1/mend", data=mended)
    assert "diameter was 1.654 in, is 1.6 in (misread)" in page.text
    assert "pitch of each blade was open, is 2.49 in; 2.51 in (misread)" in page.text


def test_a_mass_is_carried_over_only_when_it_was_just_measured_again(client):
    prop(client, mass="12")
    client.post("/props/1/rework", data=REWORK | {"reworks": ["measured again"], "diameter": "41.9"})
    assert now(client)["mass"]["value"] == 12
    client.post("/props/1/rework", data=REWORK | {"reworks": ["sharpened"]})
    assert now(client)["mass"]["value"] is None


def test_a_rework_can_be_taken_back_while_it_is_the_latest(client):
    prop(client)
    page = client.post("/props/1/rework", data=REWORK)
    assert "/props/1/editions/2/take-back" in page.text
    client.post("/props/1/editions/2/take-back")
    assert now(client)["number"] == 1
    assert client.post("/props/1/editions/1/take-back").status_code == 409


def test_a_cup_says_that_the_pitch_is_the_one_before_it(client):
    prop(client)
    client.post("/props/1/rework", data=REWORK | {"reworks": ["cupped"]})
    assert "before the cup" in client.get("/props/1").text


def test_copper_beryllium_comes_with_its_caution(client):
    prop(client, material="beryllium copper")
    page = client.get("/props/1/rework").text
    assert "poisonous" in page and "OSHA" in page
    prop(client, code="P2")
    assert "poisonous" not in client.get("/props/2/rework").text


def test_a_slip_is_mended_in_the_open(client):
    prop(client, size="24 x 38")
    form = {"diameter": "42", "pitch": "58", "condition": "good", "why": "figures changed places"}
    client.post("/props/1/editions/1/mend", data=form)
    assert now(client)["diameter"]["value"] == 42
    assert "diameter was 24 mm, is 42 mm (figures changed places)" in " ".join(now(client)["mended"])
    page = client.post("/props/1/editions/1/mend", data=form | {"why": ""})
    assert page.status_code == 422 and "This is needed." in page.text


def test_facts_are_changed_and_a_taken_code_is_refused(client):
    prop(client), prop(client, code="P2")
    form = {"code": "p1", "blades": "3", "hand": "left", "bore": "3/16 in"}
    assert client.post("/props/1/edit", data=form).status_code == 200
    page = client.post("/props/2/edit", data=form | {"notes": "stays"})
    assert page.status_code == 422 and "There is a prop p1 already." in page.text and "stays" in page.text


def test_a_prop_is_retired_and_comes_back(client):
    prop(client)
    page = client.post(
        "/props/1/retire", data={"retired_on": "2026-05-09", "retired_how": "lost", "retired_reason": "in the weed"}
    )
    assert "lost: in the weed" in page.text and "/props/1/return" in page.text
    assert client.get("/props.json").json()["rows"] == []
    client.post("/props/1/return")
    assert len(client.get("/props.json").json()["rows"]) == 1


LONG = "€" * 10_000


@pytest.mark.parametrize(
    ("field", "typed", "said"),
    [
        ("code", "", "This is needed."),
        ("code", LONG, "at most 20 fit"),
        ("size", "", "Write the size"),
        ("size", LONG, "at most 60 fit"),
        ("size", "🚤", "not a size"),
        ("size", "-42 x 58", "millimetres, inches or a ratio"),
        ("diameter", "-4", "at least 5 mm"),
        ("diameter", "4000", "at most 300 mm"),
        ("diameter", "42 kg", "is not understood here"),
        ("diameter", "nan", "not a number"),
        ("pitch", "5 000 mm", "at most 600 mm"),
        ("pitch", "500", "pitch ratio of 11.9"),
        ("blades", "2.5", "whole number"),
        ("blades", "99", "at most 8"),
        ("blades", "two", "not a number"),
        ("blade_pitches", "66", "One figure for 2 blades"),
        ("blade_pitches", "66; 🚤", "not a number"),
        ("blade_pitches", "0; 0", "Each pitch must be"),
        ("mass", "12 mph", "is not understood here"),
        ("mass", "0", "at least 0.1 g"),
        ("condition", "sparkling", "Choose one from the list."),
        ("material", "gold", "Choose one from the list."),
        ("hand", "", "Choose one."),
        ("bought_on", "2027-01-01", "still to come"),
        ("bought_on", "soon", "is not a date"),
        ("notes", LONG, "at most 5000 fit"),
        ("printed_name", "a\x00b", "cannot be written down"),
    ],
)
def test_wrong_input_is_answered_beside_its_field_and_nothing_is_lost(client, field, typed, said):
    page = prop(client, **{"bore": "kept as typed", field: typed})
    assert page.status_code == 422 and "Traceback" not in page.text
    assert said in page.text and f'id="e-{field}"' in page.text and "kept as typed" in page.text
    assert client.get("/props.json").json()["rows"] == []


@pytest.mark.parametrize(
    ("typed", "field", "said"),
    [
        ({"reworks": []}, "reworks", "Tick what was done."),
        ({"reworks": ["gilded"]}, "reworks", "Tick what was done."),
        ({"reworks": ["cut down"]}, "diameter", "what is its diameter now?"),
        ({"reworks": ["cut down"], "diameter": "43"}, "diameter", "not smaller than the 42 mm"),
        ({"reworks": ["measured again"]}, "diameter", "write at least one figure"),
        ({"diameter": "-1"}, "diameter", "at least 5 mm"),
        ({"pitch": "400"}, "pitch", "pitch ratio"),
        ({"diameter": "10"}, "pitch", "pitch ratio"),
        ({"mass": "🚤"}, "mass", "not a number"),
        ({"made": "2026-06-01T10:00"}, "made", "still to come"),
        ({"made": "2025-01-01T10:00"}, "made", "a rework comes after it"),
        ({"made": ""}, "made", "This is needed."),
        ({"note": LONG}, "note", "at most 5000 fit"),
    ],
)
def test_a_rework_that_cannot_be_is_answered_beside_its_field(client, typed, field, said):
    prop(client, bought_on="2026-02-01")
    page = client.post("/props/1/rework", data=REWORK | typed)
    assert page.status_code == 422
    assert said in page.text and f'id="e-{field}"' in page.text
    assert all(text in page.text for text in typed.values() if isinstance(text, str))
    assert len(client.get("/props/1.json").json()["editions"]) == 1


def test_what_was_ticked_stays_ticked_when_the_form_comes_back(client):
    prop(client)
    page = client.post("/props/1/rework", data=REWORK | {"mass": "much"})
    assert page.text.count(" checked") == 2


def test_there_is_no_page_for_a_prop_or_edition_that_is_not_there(client):
    prop(client)
    for path in ("/props/9", "/props/9/edit", "/props/9/rework", "/props/1/editions/7/mend", "/props/9.json"):
        assert client.get(path).status_code == 404
    assert client.post("/props/9/return").status_code == 404
