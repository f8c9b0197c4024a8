"""A spreadsheet of past runs from the file to the notebook and back: looked at first, refused lines explained."""

import httpx
import pytest

from tests.seeded import inventory

SHEET = """Date;Boat;Place;Top speed (mph);Prop;Pack;Notes
2026-03-20;Medlar;Hollow Mere;50;P1;J;first of the year
2026-03-20;medlar;Hollow Mere;52,5;P1;K;
2026-04-02;Quince;New Pond;80 km/h;;;
2026-04-03;Nobody;Hollow Mere;40;;;
2026-04-03;Medlar;Hollow Mere;fast;;;
2019-04-03;Medlar;Hollow Mere;41;;;before it was built
2026-04-05;Medlar;Hollow Mere;44;P9;;
2027-04-05;Medlar;Hollow Mere;44;;;to come
"""


@pytest.fixture
def stocked(client: httpx.Client, session) -> httpx.Client:
    """A client on a garage with hulls, packs and props."""
    inventory(session)
    session.commit()
    return client


def _bring(client: httpx.Client, content: str | bytes = SHEET, name: str = "runs.csv") -> httpx.Response:
    return client.post("/import", files={"sheet": (name, content, "text/csv")})


def _form(client: httpx.Client, number: int = 1) -> dict[str, str]:
    return client.get(f"/import/{number}.json").json()["values"]


def test_headings_and_units_are_recognised(stocked: httpx.Client):
    assert _bring(stocked).status_code == 200
    values = _form(stocked)
    assert {name: values[f"column_{name}"] for name in ("date", "hull", "water", "speed", "prop", "pack", "note")} == {
        "date": "0", "hull": "1", "water": "2", "speed": "3", "prop": "4", "pack": "5", "note": "6",
    }  # fmt: skip
    assert values["unit_speed"] == "mph"


def test_looking_writes_nothing_and_explains_every_refused_line(stocked: httpx.Client):
    _bring(stocked)
    page = stocked.post("/import/1", data=_form(stocked))
    assert page.status_code == 200
    sheet = stocked.get("/import/1.json").json()
    assert sheet["outcome"] == {"good": 3, "refused": 5}
    why = {line["row"]: line["said"] for line in sheet["rows"]}
    assert set(why) == {5, 6, 7, 8, 9}
    assert "no hull called “Nobody”" in why[5] and "fast" in why[6] and "no prop “P9”" in why[8] and "to come" in why[9]
    assert stocked.get("/outings.json").json()["rows"] == []
    assert all(line["run_id"] is None for line in sheet["good"])
    assert sheet["good"][0]["said"] == "Medlar, 20 March 2026, 80.5 km/h"
    assert [water["name"] for water in stocked.get("/waters.json").json()["rows"]] == ["Hollow Mere"]


def test_taken_in_the_runs_are_there_as_if_written_by_hand(stocked: httpx.Client):
    _bring(stocked)
    stocked.post("/import/1", data=_form(stocked) | {"all_speed_how": "display"})
    page = stocked.post("/import/1/take-in")
    assert "3 runs are in the notebook." in page.text and "/import/1/take-back" in page.text
    run = stocked.get("/runs/1").text
    assert all(words in run for words in ("Medlar", "80.5", "first of the year", "P1"))
    assert len(stocked.get("/outings.json").json()["rows"]) == 2, "two runs of one day and water are one outing"
    assert stocked.get("/home.json").status_code == 200
    assert "of the year" in stocked.get("/search?q=first").text
    assert stocked.post("/import/1/take-in").status_code == 422, "a sheet goes in once"


def test_the_whole_import_is_taken_back_and_brought_back(stocked: httpx.Client):
    _bring(stocked)
    before = stocked.get("/records.json").json()
    stocked.post("/import/1", data=_form(stocked))
    stocked.post("/import/1/take-in")
    taken_in = stocked.get("/records.json").json()
    assert taken_in != before
    stocked.post("/import/1/take-back")
    assert stocked.get("/records.json").json()["rows"] == before["rows"]
    assert stocked.get("/outings.json").json()["rows"] == []
    assert {line["kind"] for line in stocked.get("/bin.json").json()["rows"]} == {"run", "outing"}
    stocked.post("/import/1/bring-back")
    assert stocked.get("/records.json").json() == taken_in
    assert len(stocked.get("/outings.json").json()["rows"]) == 2


def test_an_outing_with_a_run_of_another_hand_stays_when_the_import_is_taken_back(stocked: httpx.Client):
    _bring(stocked)
    stocked.post("/import/1", data=_form(stocked))
    stocked.post("/import/1/take-in")
    hand = {"hull": "1", "outing": "1", "speed": "60", "note": "by hand", "pack": "3"}
    made = stocked.post("/runs/new", data=hand)
    assert made.status_code == 200, made.text
    stocked.post("/import/1/take-back")
    assert len(stocked.get("/outings.json").json()["rows"]) == 1


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"column_date": ""}, "column_date"),
        ({"column_hull": ""}, "column_hull"),
        ({"column_water": ""}, "column_water"),
        ({"column_note": "0"}, "column_note"),
        ({"column_speed": "99"}, "column_speed"),
        ({"unit_speed": "parsec"}, "unit_speed"),
        ({"date_order": "sideways"}, "date_order"),
        ({"all_hull": "x"}, "all_hull"),
    ],
)
def test_a_wrong_choice_gets_words_beside_its_field(stocked: httpx.Client, changes, field):
    _bring(stocked)
    page = stocked.post("/import/1", data=_form(stocked) | changes)
    assert page.status_code == 422
    assert f'id="e-{field}"' in page.text


def test_one_hull_and_one_water_for_all_lines(stocked: httpx.Client):
    _bring(stocked, "day,speed\n2026-03-20,80\n2026-03-21,81\n")
    stocked.post("/import/1", data=_form(stocked) | {"all_hull": "2", "all_water": "Back Pond"})
    assert stocked.get("/import/1.json").json()["outcome"] == {"good": 2, "refused": 0}


@pytest.mark.parametrize("content", [b"", b"no table", b"\x00\x01\x02", b"a,b\n"])
def test_a_file_that_is_no_table_is_refused_beside_the_field_and_nothing_is_kept(stocked, app, content):
    page = _bring(stocked, content)
    assert page.status_code == 422 and 'id="e-sheet"' in page.text
    assert stocked.get("/import.json").json()["rows"] == []
    assert not [path for path in app.state.settings.files_dir.rglob("*") if path.is_file()]


def test_markup_in_a_sheet_stays_text(stocked: httpx.Client):
    _bring(stocked, "date,boat,<script>alert(1)</script>\n2026-03-20,<img src=x onerror=alert(1)>,x\n", "<b>.csv")
    stocked.post("/import/1", data=_form(stocked) | {"all_water": "Back Pond"})
    for path in ("/import/1", "/import"):
        page = stocked.get(path).text
        assert "<script>alert" not in page and "<img src=x" not in page and "<b>.csv" not in page


def test_the_same_file_brought_twice_is_told_and_goes_in_twice_only_when_said(stocked: httpx.Client):
    for number in (1, 2):
        _bring(stocked, name=f"copy {number}.csv")
        stocked.post(f"/import/{number}", data=_form(stocked, number))
    assert "taken in already" not in stocked.get("/import/2").text
    assert stocked.post("/import/1/take-in").status_code == 200
    assert "The very same file was taken in already" in stocked.get("/import/2").text
    refused = stocked.post("/import/2/take-in")
    assert refused.status_code == 422 and "twice" in refused.text
    assert len(stocked.get("/runs.json").json()["rows"]) == 3
    assert stocked.post("/import/1/take-back").status_code == 200
    assert "taken in already" not in stocked.get("/import/2").text
    assert stocked.post("/import/1/bring-back").status_code == 200
    assert stocked.post("/import/2/take-in", data={"once_more": "yes"}).status_code == 200
    assert len(stocked.get("/runs.json").json()["rows"]) == 6


def test_a_note_too_long_for_a_run_is_refused_not_cut(stocked: httpx.Client):
    rows = (f"2026-03-20;Medlar;Hollow Mere;{note}" for note in ("x" * 5001, "ok"))
    _bring(stocked, "\n".join(("Date;Boat;Place;Notes", *rows)))
    stocked.post("/import/1", data=_form(stocked))
    sheet = stocked.get("/import/1.json").json()
    assert sheet["outcome"] == {"good": 1, "refused": 1}
    assert "5001 characters" in sheet["rows"][0]["said"]
    assert len(sheet["first_rows"][0][3]) <= 300, "the look at the file stays a look"


def test_a_line_of_a_hull_that_was_retired_before_is_left_out_until_that_is_said_to_be_right(stocked: httpx.Client):
    _bring(stocked, "date,boat,water,speed\n2026-04-02,Quince,Hollow Mere,70\n2026-04-09,Quince,Hollow Mere,71\n")
    assert 'name="retired_too"' not in stocked.get("/import/1").text
    quince = next(row["id"] for row in stocked.get("/hulls.json").json()["rows"] if row["name"] == "Quince")
    stocked.post(f"/hulls/{quince}/retire", data={"retired_on": "2026-04-05", "retired_how": "other"})
    stocked.post("/import/1", data=_form(stocked))
    (left_out,) = stocked.get("/import/1.json").json()["rows"]
    assert left_out["row"] == 3 and "is retired since 5 April 2026, before this run" in left_out["said"]
    assert 'name="retired_too"' in stocked.get("/import/1").text
    stocked.post("/import/1", data=_form(stocked) | {"retired_too": "yes"})
    assert _form(stocked)["retired_too"] == "yes"
    stocked.post("/import/1/take-in")
    assert [row["speed"]["value"] for row in stocked.get("/runs.json").json()["rows"]] == [71, 70]
