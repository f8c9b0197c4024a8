"""Two open the same form: nothing that either wrote is lost, and what both changed is asked about."""

import re
import shutil
from pathlib import Path

import pytest
from fastapi.testclient import TestClient
from sqlmodel import col, select

from garage.db.engine import reading, writing
from garage.db.tables import LastAction
from garage.hulls.tables import Hull
from garage.moments import Moment
from garage.runs.tables import Run
from garage.web.following import Written
from garage.web.numbers import NUMBER_FIELD
from garage.web.shown import SHOWN_FIELD, read_shown
from tests.demo.conftest import client_on
from tests.forms import Form, read_page

EDITS = (Path(__file__).parent.parent / "demo" / "page_addresses.txt").read_text().split()
# Why something is changed, what is written beside a thing, and what only asks: none of them stands there already.
_NOTHING_YET = re.compile(
    r"why|.*_rows|.*_anyway|.*_code|receipt.*|i\d_.*|n\d+_.*|r\d+_here|day_here|.*where|" + NUMBER_FIELD
)


@pytest.fixture(scope="module")
def notebook(demo_folder: Path, tmp_path_factory: pytest.TempPathFactory):
    with client_on(Path(shutil.copytree(demo_folder, tmp_path_factory.mktemp("two") / "demo"))) as client:
        yield client


def _edit_form(client: TestClient, address: str) -> Form | None:
    page = client.get(address)
    return _form_in(page.text, address) if page.headers["content-type"].startswith("text/html") else None


def _form_in(text: str, address: str) -> Form | None:
    return next((form for form in read_page(text, address)[0] if SHOWN_FIELD in form.fields), None)


def _save(client: TestClient, form: Form, **changed: str):
    return client.post(form.action, data=form.data | changed, follow_redirects=False)


def _box(text: str, name: str) -> str:
    found = re.search(rf'<label class="theirs" for="theirs-{name}">(.*?)</label>', text, re.DOTALL)
    return " ".join(re.sub(r"<[^>]*>", "", found[1]).split()) if found else ""


def test_what_a_form_says_that_it_shows_is_what_stands_in_its_fields(notebook):
    forms = {address: form for address in EDITS if (form := _edit_form(notebook, address))}
    assert len(forms) > 14
    for address, form in forms.items():
        kept = read_shown([form.fields[SHOWN_FIELD].value])
        stands = {name: part.value.strip() for name, part in form.fields.items() if part.kind != "file"}
        told = {name: "".join(kept.values[name]) for name in stands if name in kept.values}
        assert told == {name: stands[name] for name in told}, address
        silent = {name for name in stands if name not in told and stands[name] and not _NOTHING_YET.fullmatch(name)}
        assert silent <= {SHOWN_FIELD}, address


def test_each_of_two_who_change_a_run_finds_both_changes_in_it(notebook):
    one, other = (_edit_form(notebook, "/runs/227/edit") for _ in range(2))
    assert _save(notebook, one, note="weed at the far end", why="looked again").status_code == 303
    assert _save(notebook, other, try_next="the longer fin").status_code == 303
    told = notebook.get("/runs/227.json").json()
    assert (told["note"], told["try_next"]) == ("weed at the far end", "the longer fin")


def test_two_who_write_runs_into_one_evening_table_each_write_them_for_the_boat_that_was_shown(notebook):
    address, new = "/outings/54/evening", {"n1_hull_anyway": "yes", "n1_pack_anyway": "yes"}
    one, other = (_edit_form(notebook, address) for _ in range(2))
    usual = other.data["n1_hull"]
    another = next(boat for boat in one.fields["n1_hull"].choices if boat not in ("", usual))
    assert _save(notebook, one, n1_hull=another, n1_pack_1="J", n1_prop="P1", **new).status_code == 303
    assert _edit_form(notebook, address).data["n1_hull"] == another
    assert _save(notebook, other, n1_pack_1="K", n1_prop="P1", **new).status_code == 303
    with reading(notebook.app.state.engine) as session:
        last = session.exec(select(Run.hull_id).order_by(col(Run.id).desc()).limit(2)).all()
    assert last == [int(usual), int(another)]


@pytest.mark.parametrize(
    ("address", "changed"),
    [
        ("/runs/226/edit", {"t6_spot": "motor end bell", "t6_temperature": "66"}),
        ("/preferences", {"unit_wind": "kn"}),
    ],
)
def test_what_was_blank_or_a_unit_when_a_form_was_opened_stays_as_the_other_wrote_it(notebook, address, changed):
    one, other = (_edit_form(notebook, address) for _ in range(2))
    assert _save(notebook, one, **changed, why="looked again").status_code == 303
    stands = _edit_form(notebook, address).data
    assert _save(notebook, other).status_code == 303
    del stands[NUMBER_FIELD], stands[SHOWN_FIELD]
    after = _edit_form(notebook, address).data
    assert after | stands == after
    assert address != "/preferences" or after["unit_wind"] == "kn"


def test_what_was_typed_into_a_row_that_is_gone_is_told(notebook):
    one, other = (_edit_form(notebook, "/runs/49/edit") for _ in range(2))
    gone = {name: "" for name in one.data if name.startswith("pack2_")}
    done = _save(notebook, one, **gone, pack_code_2="", wiring="", pack_anyway="yes", why="only one")
    assert done.status_code == 303
    asked = _save(notebook, other, pack2_charge="777", why="misread")
    assert asked.status_code == 422 and "You typed “777”" in asked.text


@pytest.mark.parametrize(
    ("hull", "answer", "notes"), [(2, {}, "from the pond"), (3, {"theirs_notes": "yes"}, "from the shed")]
)
def test_two_words_in_one_field_are_shown_side_by_side_and_the_person_says(notebook, hull, answer, notes):
    address = f"/hulls/{hull}/edit"
    one, other = (_edit_form(notebook, address) for _ in range(2))
    assert _save(notebook, one, notes="from the shed", material="cedar", kind="mono").status_code == 303
    asked = _save(notebook, other, notes="from the pond", kind="tunnel")
    assert asked.status_code == 422 and "Something else was written here meanwhile" in asked.text
    assert re.fullmatch(r"take what another page wrote at \d\d:\d\d: from the shed", _box(asked.text, "notes"))
    assert _box(asked.text, "kind").endswith("mono") and not _box(asked.text, "material")
    again = _form_in(asked.text, address)
    assert again.data | {"notes": "from the pond", "material": "cedar", "kind": "tunnel"} == again.data
    assert _save(notebook, again, **answer).status_code == 303
    told = notebook.get(f"/hulls/{hull}.json").json()
    assert (told["notes"], told["material"], told["kind"]) == (notes, "cedar", "tunnel")


def test_what_stood_in_a_refused_form_still_counts_when_it_is_sent_again(notebook):
    one, other = (_edit_form(notebook, "/packs/6/edit") for _ in range(2))
    refused = _save(notebook, other, mass="heavy", notes="two red tapes")
    assert refused.status_code == 422
    assert _save(notebook, one, connector="bullets, 5 mm").status_code == 303
    again = _form_in(refused.text, "/packs/6/edit")
    assert _save(notebook, again, mass="612 g").status_code == 303
    form = _edit_form(notebook, "/packs/6/edit").data
    assert (form["connector"], form["mass"], form["notes"]) == ("bullets, 5 mm", "612", "two red tapes")


def test_the_phone_that_wrote_is_called_by_its_name(notebook):
    form = _edit_form(notebook, "/hulls/3/edit")
    written = notebook.app.state.written
    with writing(notebook.app.state.engine) as session:
        moment = Moment.of(notebook.app.state.settings.clock()).utc
        session.add(LastAction(said="", back_to="", changes="", at=moment, path="/hulls/3/edit", who="Rosa’s phone"))
        session.add(LastAction(said="", back_to="", changes="", at=moment, path="/packs/1/edit", who="another"))
        session.get(Hull, 3).notes = "seen from the bank"
    written.begin(written.done + 2)
    asked = _save(notebook, form, notes="seen from the boat")
    assert _box(asked.text, "notes").startswith("take what Rosa’s phone wrote at ")


def test_an_opened_form_outlives_the_program(notebook):
    form = _edit_form(notebook, "/hulls/3/edit")
    notebook.app.state.start = "ffffffff"
    with writing(notebook.app.state.engine) as session:
        session.get(Hull, 3).material = "written by a command"
    assert _save(notebook, form, notes="typed before").status_code == 303
    told = notebook.get("/hulls/3.json").json()
    assert (told["notes"], told["material"]) == ("typed before", "written by a command")


def test_a_bare_number_counts_in_the_units_its_form_was_shown_in(notebook):
    form, other = (_edit_form(notebook, "/hulls/2/edit") for _ in range(2))
    notebook.post("/preferences/imperial")
    refused = _save(notebook, form, length="612", beam="wide")
    again = _form_in(refused.text, "/hulls/2/edit")
    assert _save(notebook, again, beam="150").status_code == 303
    assert _save(notebook, other, bare_mass="900").status_code == 303
    notebook.post("/preferences/metric")
    stands = _edit_form(notebook, "/hulls/2/edit").data
    assert (stands["length"], stands["beam"], stands["bare_mass"]) == ("612", "150", "900")


def test_that_one_action_is_committed_says_nothing_of_another_that_was_begun_meanwhile():
    written = Written(4)
    written.begin(5)
    written.begin(6)
    written.end(5)
    assert (written.done, written.begun) == (5, 6)
    # Nothing was written by that one, and 6 is given up: its number may be another's yet.
    written.end(0)
    assert (written.done, written.begun) == (5, 6)
    written.begin(6)
    written.end(6)
    assert (written.done, written.begun) == (6, 6)
