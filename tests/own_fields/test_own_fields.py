"""A field that a person adds to a thing stands wherever the thing's own fields do, and nothing in it is ever lost."""

import csv
import io
import json
import shutil
from datetime import UTC, datetime
from itertools import count
from pathlib import Path
from urllib.parse import quote

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from starlette.testclient import TestClient

from garage.api import Garage
from garage.archive.check import check
from garage.archive.export import export
from garage.archive.importing import take_in
from garage.units import KINDS
from tests.conftest import NOW
from tests.described import path_of, patterns_of, validators_of
from tests.durability.served import query

# Of each thing: the form of the one there is, what has to stand in it besides, its page, and its list.
THINGS = {
    "modification": (
        "/modifications/1/edit", {"title": "Trim tabs", "permanence": "removable"}, "/modifications/1",
        "/hulls/1/modifications",
    ),
    "pack": ("/packs/1/edit", {"code": "J", "cells_s": "3", "capacity": "4000"}, "/packs/1", "/packs"),
    "prop": ("/props/1/edit", {"code": "P1", "blades": "2", "hand": "right"}, "/props/1", "/props"),
    "part": ("/drives/1/edit", {"code": "M1", "kind": "motor"}, "/drives/1", "/drives"),
    "outing": ("/outings/1/edit", {"water": "1", "started": "2026-05-09T10:00"}, "/outings/1", "/outings"),
    "run": ("/runs/1/edit", {"pack_code": "J", "kind": "speed", "speed": "80"}, "/runs/1", "/runs"),
}  # fmt: skip
_NUMBERS = st.integers(-9999, 9999).map(lambda number: number / 8)
_WORDS = st.text(st.characters(categories=("L", "N", "P"), exclude_characters="\n"), min_size=1, max_size=30)
# What the form of the field says, what is typed into it, and what is kept.
FIELDS = st.one_of(
    st.tuples(
        st.sampled_from(sorted(KINDS)).map(lambda kind: {"kind": kind}), _NUMBERS.map(lambda n: (f"{n:g}", n))
    ).map(lambda pair: (pair[0], *pair[1])),
    _NUMBERS.map(lambda n: ({"kind": "number", "unit": "turns", "low": "-2000"}, f"{n:g}", n)),
    st.sampled_from(["none", "Some of it", "much"]).map(
        lambda one: ({"kind": "choice", "choices": "none\nSome of it\nmuch"}, one, one)
    ),
    st.sampled_from(["yes", "no"]).map(lambda one: ({"kind": "yes/no"}, one, one)),
    _WORDS.map(lambda words: ({"kind": "text"}, words, words)),
)
_labels = (f"Own {number}" for number in count(1))


def add(garage, thing: str, **typed: str) -> str:
    """Add a field; what data calls it."""
    answer = garage.post(f"/own-fields/{thing}/new", data=typed)
    assert answer.status_code == 200, answer.text
    return garage.get("/own-fields.json").json()["rows"][-1]["name"]


def number_of(garage, name: str) -> int:
    return next(row["id"] for row in garage.get("/own-fields.json").json()["rows"] if row["name"] == name)


def write(garage, thing: str, name: str, typed: str, **more: str):
    """Write a value into the form of a thing; the page that follows."""
    form, besides, *_ = THINGS[thing]
    answer = garage.post(form, data=besides | {name: typed} | more)
    assert answer.status_code == 200, answer.text
    return answer


def values(found, name: str) -> list:
    """All values of that name within an answer of data; of a measure its figure."""
    if isinstance(found, list):
        return [value for one in found for value in values(one, name)]
    if not isinstance(found, dict):
        return []
    here = [found[name]] if name in found else []
    plain = [one["value"] if isinstance(one, dict) else one for one in here]
    return plain + [value for key, one in found.items() if key not in ("values", name) for value in values(one, name)]


def cell(answer, name: str) -> str:
    """What stands in the first row of a table file under that name, whatever its unit."""
    row = next(csv.DictReader(io.StringIO(answer.text.lstrip("\ufeff"))))
    return next(text for heading, text in row.items() if heading.partition(" [")[0] == name)


@settings(max_examples=12)
@given(thing=st.sampled_from(sorted(THINGS)), field=FIELDS)
def test_what_is_typed_stands_in_form_page_data_and_table(garage, thing, field):
    asked, typed, kept = field
    form, _, page, listed = THINGS[thing]
    label = next(_labels)
    name = add(garage, thing, label=label, hint="by the bank", **asked)
    assert f'name="{name}"' in garage.get(form).text
    assert f"<dt>{label}</dt>" in write(garage, thing, name, typed).text
    shown = garage.get(f"{form}.json").json()["values"][name]
    assert (float(shown) if isinstance(kept, float) else shown) == kept
    for address in (page, listed):
        found = values(garage.get(f"{address}.json").json(), name)
        assert found and all(value == kept for value in found), address
    written = cell(garage.get(f"{listed}.csv"), name)
    assert (float(written) if isinstance(kept, float) else written.removeprefix("'")) == kept


@pytest.mark.parametrize("thing", THINGS)
def test_put_away_it_is_not_asked_for_and_loses_nothing_until_it_is_brought_back(garage, thing):
    form, _, page, listed = THINGS[thing]
    name = add(garage, thing, label=f"Away {thing}", kind="choice", choices="blue\nred")
    write(garage, thing, name, "red")
    number = number_of(garage, name)
    assert "1 has a value" in garage.get(f"/own-fields/{number}/put-away").text
    garage.post(f"/own-fields/{number}/put-away")
    assert f'name="{name}"' not in garage.get(form).text
    form_again = garage.post(form, data=THINGS[thing][1])
    assert form_again.status_code == 200 and f"<dt>Away {thing}</dt>" in form_again.text
    assert values(garage.get(f"{listed}.json").json(), name)[0] == "red"
    garage.post(f"/own-fields/{number}/bring-back")
    assert garage.get(f"{form}.json").json()["values"][name] == "red"


def test_what_was_typed_before_it_was_put_away_is_kept_or_said(garage):
    """The form was open then; a visit says it, since nothing of it could be seen among the settings any more."""
    name = add(garage, "pack", label="Late plug", kind="text")
    setting = f"set_own_{number_of(garage, add(garage, 'hull', label='Late tape', kind='text'))}_single"
    for added in garage.get("/own-fields.json").json()["rows"][-2:]:
        garage.post(f"/own-fields/{added['id']}/put-away")
    assert ">blue<" in write(garage, "pack", name, "blue").text
    answer = garage.post("/hulls/1/changes/new", data={"at": "2026-05-09T11:00", setting: "red"})
    assert answer.status_code == 422 and "put away since this page was opened" in answer.text


@pytest.mark.parametrize(
    ("form", "typed", "at"),
    [
        ("/packs/1/edit", THINGS["pack"][1], ""),
        ("/runs/1/edit", THINGS["run"][1], ""),
        ("/outings/1/evening", {"r1_here": "1", "r1_speed": "80", "r1_how": ""}, "r1_"),
    ],
)
def test_typed_out_of_bounds_before_it_was_put_away_it_stands_in_the_form_with_what_is_wrong(garage, form, typed, at):
    thing = "pack" if "packs" in form else "run"
    name = add(garage, thing, label=f"Bounded {form}", kind="number", low="0", high="9", evening="yes" * bool(at))
    garage.post(f"/own-fields/{number_of(garage, name)}/put-away")
    answer = garage.post(form, data=typed | {f"{at}{name}": "99.5"})
    assert answer.status_code == 422 and f'name="{at}{name}"' in answer.text and 'value="99.5"' in answer.text
    assert f'id="e-{at}{name}"' in answer.text
    assert garage.post(form, data=typed | {f"{at}{name}": "5"}).status_code == 200
    assert f"Bounded {form}" in garage.get(THINGS[thing][2]).text


def test_the_evening_keeps_names_apart_and_what_was_typed_before_one_was_put_away(garage):
    names = [add(garage, "run", label=label, kind="text", evening="yes") for label in ("Spray", "Spray rating")]
    page = garage.get("/outings/1/evening").text
    assert all(f'name="r1_{name}"' in page for name in names)
    garage.post(f"/own-fields/{number_of(garage, names[0])}/put-away")
    typed = {"r1_here": "1", "r1_speed": "80", "r1_how": ""}
    garage.post("/outings/1/evening", data=typed | {f"r1_{name}": name for name in names})
    (row,) = garage.get("/runs.json").json()["rows"]
    assert [row[name] for name in names] == names


def test_of_what_kind_it_is_stays_and_a_choice_in_use_as_well(garage):
    name = add(garage, "pack", label="Plug", kind="choice", choices="round\nflat")
    number = number_of(garage, name)
    edit = f"/own-fields/{number}/edit"
    assert garage.post(edit, data={"label": "Plug", "kind": "number", "unit": "pins"}).status_code == 200
    assert garage.post(edit, data={"label": "Plug", "kind": "choice", "choices": "round\nflat"}).status_code == 200
    write(garage, "pack", name, "flat")
    refused = garage.post(edit, data={"label": "Plug", "choices": "round\noval"})
    assert refused.status_code == 422 and "stays in the list: flat." in refused.text
    page = garage.get(edit).text
    assert 'name="kind"' not in page and "so this stays" in page
    stale = garage.post(edit, data={"label": "Its plug", "kind": "text", "choices": ""})
    assert stale.status_code == 422 and "what goes into it stays: one of several choices" in stale.text
    assert garage.post(edit, data={"label": "Its plug", "choices": "flat\noval"}).status_code == 200
    assert "<dt>Its plug</dt><dd>flat</dd>" in garage.get("/packs/1").text.replace("<p>", "").replace("</p>", "")


@pytest.mark.parametrize(
    ("typed", "beside", "message"),
    [
        ({"label": "connector", "kind": "text"}, "label", "There is a field of that name already"),
        ({"label": "Twice", "kind": "text"}, "label", "There is a field of that name already"),
        ({"label": "\u200b!", "kind": "text"}, "label", "a letter or a figure"),
        ({"label": "Few", "kind": "choice", "choices": "one"}, "choices", "At least two"),
        ({"label": "Same", "kind": "choice", "choices": "one\nONE"}, "choices", "The same choice"),
        ({"label": "Swapped", "kind": "length", "low": "3 in", "high": "1 mm"}, "high", "changed places"),
        ({"label": "Unit", "kind": "length", "unit": "turns"}, "unit", "Only a plain number"),
        ({"label": "Kind", "kind": "feeling"}, "kind", "Choose one from the list"),
    ],
)
def test_a_field_that_cannot_be_is_refused_beside_what_is_wrong(garage, typed, beside, message):
    garage.post("/own-fields/pack/new", data={"label": "Twice", "kind": "yes/no"})
    answer = garage.post("/own-fields/pack/new", data=typed)
    assert answer.status_code == 422 and f'id="e-{beside}"' in answer.text and message in answer.text
    assert typed["label"] in answer.text


def test_a_value_out_of_bounds_is_refused_beside_the_field(garage):
    name = add(garage, "prop", label="Bush", kind="length", low="2", high="6")
    form, besides, *_ = THINGS["prop"]
    answer = garage.post(form, data=besides | {name: "7"})
    assert answer.status_code == 422 and f'id="e-{name}"' in answer.text and "at most 6 mm" in answer.text


@pytest.mark.parametrize("thing", ["run", "outing"])
def test_a_correction_calls_it_by_its_label_and_keeps_old_and_new(garage, thing):
    name = add(garage, thing, label=f"Swell {thing}", kind="length")
    write(garage, thing, name, "1 in")
    page = write(garage, thing, name, "50", why="misread").text
    assert f'swell {thing} was <span class="was">25.4 mm</span>, is 50 mm (misread)' in " ".join(page.split())


def test_its_words_and_choices_are_found(garage):
    name = add(garage, "run", label="Bank", kind="text")
    write(garage, "run", name, "Zwetschge by the reeds")
    assert "/runs/1" in garage.get("/search?q=zwetschge").text
    assert "/own-fields" in garage.get(f"/search?q={quote('bank')}").text


def test_the_evening_asks_for_it_and_the_rebuild_sheet_tells_it(garage):
    name = add(garage, "run", label="Chop", kind="choice", choices="low\nhigh", evening="yes")
    assert f'name="r1_{name}"' in garage.get("/outings/1/evening").text
    garage.post("/outings/1/evening", data={"r1_here": "1", f"r1_{name}": "high", "r1_speed": "80", "r1_how": ""})
    assert values(garage.get("/runs/1.json").json(), name)[0] == "high"
    assert "Chop" in garage.get("/runs/1/rebuild").text


def test_a_spreadsheet_of_past_runs_may_hold_it(garage):
    name = add(garage, "run", label="Waves seen", kind="choice", choices="Low\nHigh")
    sheet = "date,boat,water,speed,Waves seen\n2026-04-01,Quince,Hollow Mere,70,high\n"
    garage.post("/import", files={"sheet": ("past.csv", sheet.encode(), "text/csv")})
    typed = garage.get("/import/1.json").json()["values"]
    assert typed[f"column_{name}"] == "4"
    assert garage.post("/import/1", data=typed).status_code == 200
    garage.post("/import/1/take-in")
    assert "High" in values(garage.get("/runs.json").json(), name)


def test_put_away_between_the_look_and_taking_in_it_is_taken_in_all_the_same(garage):
    name = add(garage, "run", label="Reeds seen", kind="text")
    sheet = "date,boat,water,speed,Reeds seen\n2026-04-02,Quince,Hollow Mere,70,on the left\n"
    address = garage.post("/import", files={"sheet": ("past.csv", sheet.encode(), "text/csv")}).url.path
    typed = garage.get(f"{address}.json").json()["values"]
    garage.post(f"/own-fields/{number_of(garage, name)}/put-away")
    assert garage.post(address, data=typed).status_code == 200
    assert f'name="column_{name}"' in garage.get(address).text
    garage.post(f"{address}/take-in")
    assert "on the left" in values(garage.get("/runs.json").json(), name)


def test_on_a_hull_it_is_a_setting_that_a_visit_writes_and_her_pages_show(garage):
    before = garage.get("/hulls/1/states.json").json()["rows"][0]["fingerprint"]
    add(garage, "hull", label="Bilge tape", kind="choice", choices="blue\nred")
    name = add(garage, "hull", label="Hatch screws", kind="number", unit="pieces", low="0")
    screws = number_of(garage, name)
    tape = screws - 1
    visit = {"at": "2026-05-09T14:30", f"set_own_{tape}_single": "red", f"set_own_{screws}_single": "6"}
    answer = garage.post("/hulls/1/changes/new", data=visit)
    assert "Bilge tape set to red" in answer.text and "Hatch screws set to 6 pieces" in answer.text
    states = garage.get("/hulls/1/states.json").json()["rows"]
    assert before in [row["fingerprint"] for row in states]
    assert "<dt>Bilge tape</dt><dd>red</dd>" in garage.get("/hulls/1").text
    assert "1 has a value" in garage.get(f"/own-fields/{tape}/put-away").text
    garage.post(f"/own-fields/{tape}/put-away")
    garage.post(f"/own-fields/{screws}/edit", data={"label": "Screws of the hatch"})
    page = garage.get(f"/hulls/1/states/{states[0]['number']}").text
    assert "Bilge tape" in page and "Screws of the hatch" in page and f"own {tape}" not in page
    form = garage.get("/hulls/1/changes/new").text
    assert f'name="set_own_{tape}_single"' not in form and f'name="clear_own_{tape}_single"' in form
    assert f'name="set_own_{screws}_single"' in form
    assert "set Bilge tape" in garage.get("/search?q=red").text


def test_lists_of_hulls_have_the_settings_of_now_and_the_description_says_so(garage, app_of_module):
    assert add(garage, "hull", label="Design", kind="text") == "own_design_2"  # a hull has an own_design already
    name = add(garage, "hull", label="Fin shim", kind="length")
    field = f"set_own_{number_of(garage, name)}_single"
    hull = garage.post("/hulls/new", data={"name": "Teasel", "kind": "mono", "built_on": "2026-01-01"}).url.path
    for day, typed in (("01", "1.5 mm"), ("02", "2 mm")):
        garage.post(f"{hull}/changes/new", data={"at": f"2026-02-{day}T14:30", field: typed})
    listed, description = garage.get("/hulls.json").json(), garage.get("/openapi.json").json()
    validators_of(description)[path_of(patterns_of(description["paths"]), "/hulls.json"), 200].validate(listed)
    assert values(listed, name) == [None, 2]
    table = csv.DictReader(io.StringIO(garage.get("/hulls.csv").text.lstrip("\ufeff")))
    assert {row["name"]: row[f"{name} [mm]"] for row in table} == {"Quince": "", "Teasel": "2"}
    with Garage(app_of_module.state.settings.data_dir) as kept:
        told = {row.name: json.loads(row.own).get(name) for row in kept.hulls()}
    assert told == {"Quince": None, "Teasel": 2}


def test_what_was_taken_back_is_not_counted_and_still_keeps_its_kind(garage):
    number = number_of(garage, add(garage, "hull", label="Keel wax", kind="choice", choices="hard\nsoft"))
    hull = garage.post("/hulls/new", data={"name": "Medlar", "kind": "mono", "built_on": "2026-01-01"}).url.path
    garage.post(f"{hull}/changes/new", data={"at": "2026-02-01T10:00", f"set_own_{number}_single": "hard"})
    state = garage.get(f"{hull}/states.json").json()["rows"][0]["number"]
    assert "Taken back" in garage.post(f"{hull}/states/{state}/back/0").text
    used = {row["id"]: row["used"] for row in garage.get("/own-fields.json").json()["rows"]}
    assert used[number] == 0
    assert "so this stays" in garage.get(f"/own-fields/{number}/edit").text


@pytest.mark.parametrize("label", ["pack", "Measured", "Where exactly"])
def test_a_field_of_a_run_is_not_called_as_one_that_its_forms_have(garage, label):
    answer = garage.post("/own-fields/run/new", data={"label": label, "kind": "text"})
    assert answer.status_code == 422 and "There is a field of that name already" in answer.text


def test_no_build_state_of_the_demo_is_another_for_a_field_of_a_hull(demo_folder: Path, make_app, tmp_path: Path):
    """Added, and written at a visit: every state of before keeps its fingerprint, and the check agrees with all."""
    folder = Path(shutil.copytree(demo_folder, tmp_path / "demo"))
    marks = "SELECT id, fingerprint, content FROM build_state ORDER BY id"
    before = query(folder, marks)
    with TestClient(make_app(folder, clock=lambda: datetime(2026, 11, 28, 12, tzinfo=UTC))) as client:
        add(client, "hull", label="Bilge tape", kind="yes/no")
        number = client.get("/own-fields.json").json()["rows"][-1]["id"]
        visit = {"at": "2026-11-28T11:00", f"set_own_{number}_single": "yes"}
        answer = client.post("/hulls/1/changes/new", data=visit)
        assert "Bilge tape set to yes" in answer.text
    after = query(folder, marks)
    assert after[: len(before)] == before and len(after) == len(before) + 1
    assert check(folder).is_good


def test_the_data_is_as_it_is_described(garage):
    description = garage.get("/openapi.json").json()
    validators, patterns = validators_of(description), patterns_of(description["paths"])
    for _, _, page, listed in THINGS.values():
        for address in (f"{page}.json", f"{listed}.json"):
            validators[path_of(patterns, address), 200].validate(garage.get(address).json())


def test_library_export_and_import_have_every_value(garage, app_of_module, tmp_path: Path):
    for thing in ("pack", "prop", "outing", "run"):
        write(garage, thing, add(garage, thing, label=f"Kept {thing}", kind="mass"), "1/2 oz")
    folder = app_of_module.state.settings.data_dir
    export(folder, tmp_path / "all.zip", NOW)
    take_in(tmp_path / "all.zip", tmp_path / "again")
    told = []
    for place in (folder, tmp_path / "again"):
        with Garage(place) as kept:
            told.append([json.loads(row.own) for row in (*kept.packs(), *kept.props(), *kept.outings(), *kept.runs())])
    assert told[0] == told[1] and [14.1747615625 in own.values() for own in told[0]].count(True) == 4
    assert {key for own in told[0] for key in own} <= {
        row["name"] for row in json.loads(garage.get("/own-fields.json").text)["rows"]
    }
