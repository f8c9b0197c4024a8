"""What every page can count on: twins, kept typing, notices, and faults in plain words."""

import csv
import io
from dataclasses import dataclass

import pytest
from starlette.testclient import TestClient

from garage.measures import Measure
from garage.moments import Moment
from garage.web.notices import COOKIE
from garage.web.representations import _cell, csv_response

HULL = {"name": "Quince", "kind": "mono", "length": "69 cm", "screws": "1", "fixed_tube": "yes"}


def test_a_page_has_a_json_twin_with_the_same_content(client):
    client.post("/hulls/new", data=HULL)
    page, twin = client.get("/hulls"), client.get("/hulls.json").json()
    assert "Quince" in page.text
    assert twin["rows"][0]["name"] == "Quince"
    assert twin["rows"][0]["length"] == {"value": 690.0, "unit": "mm", "from": "as written"}


def test_a_list_has_a_csv_twin_with_units_in_its_headings(client):
    client.post("/hulls/new", data=HULL)
    heading, row = client.get("/hulls.csv").text.lstrip("\ufeff").splitlines()[:2]
    assert "length [mm]" in heading.split(",")
    assert "690" in row.split(",")


@dataclass(frozen=True)
class _Cell:
    resistance: Measure
    seen: Moment


@dataclass(frozen=True)
class _Row:
    mass: Measure
    cells: list[Measure]
    mixed: list[Measure]
    read: list[_Cell]


@dataclass(frozen=True)
class _Sheet:
    rows: list[_Row]


def _table(*rows: _Row) -> list[dict[str, str]]:
    text = bytes(csv_response(_Sheet(list(rows))).body).decode("utf-8-sig")
    return list(csv.DictReader(io.StringIO(text)))


def test_a_table_file_says_where_a_figure_came_from_and_what_to_mind():
    moment = Moment("2026-05-01T10:00:00Z", 120)
    ohms = [Measure(1.31, "resistance"), Measure(1.4, "resistance")]
    weighed = _Row(
        Measure(8.1 + 0.54, "mass", "weighed", "wet"),
        ohms,
        [Measure(1.5, "mass"), Measure(2.0, "length")],
        [_Cell(Measure(1.2, "resistance"), moment)],
    )
    unknown = _Row(Measure(None, "mass", "weighed"), [], [], [])
    first, second = _table(weighed, unknown)
    assert (first["mass [g]"], first["mass known by"], first["mass mind"]) == ("8.64", "weighed", "wet")
    assert first["cells [mΩ]"] == "1.31; 1.4"
    assert "cells" not in first
    assert first["mixed"] == "1.5 g; 2 mm"
    assert first["read"] == "1.2, 2026-05-01T12:00:00+02:00"
    assert (second["mass [g]"], second["mass known by"]) == ("", "")
    assert "Measure(" not in str(first)


def test_a_table_file_has_no_column_of_words_that_no_row_needs():
    (row,) = _table(_Row(Measure(-2.0, "mass"), [], [], []))
    assert row["mass [g]"] == "-2"
    assert not [heading for heading in row if heading.endswith(("known by", "mind"))]


def test_a_page_leads_to_its_twins_with_the_same_question(client):
    page = client.get("/search?q=strut&kind=run").text
    assert 'href="/search.csv?q=strut&amp;kind=run"' in page and 'href="/search.json?q=strut&amp;kind=run"' in page
    assert 'href="/home.json"' in client.get("/").text
    assert ".csv" not in client.get("/hulls/new").text


@pytest.mark.parametrize("text", ["=1+1", "+1", "-1", "@SUM(A1)", "\tx"])
def test_csv_text_that_a_spreadsheet_would_run_is_made_text(text):
    assert _cell(text) == "'" + text


def test_a_wrong_field_keeps_what_was_typed_and_says_why_beside_it(client):
    answer = client.post("/hulls/new", data=HULL | {"length": "5,000", "material": "glass <b>&"})
    assert answer.status_code == 422
    assert 'value="5,000"' in answer.text
    assert 'id="e-length"' in answer.text and "five or five thousand" in answer.text
    assert "glass &lt;b&gt;&amp;" in answer.text
    assert client.get("/hulls.json").json()["rows"] == []


def test_the_summary_calls_a_wrong_field_as_the_form_does(client):
    page = client.post("/hulls/new", data={"name": "", "kind": "mono", "length": "9 kg"}).text
    summary = page[page.index('class="errors"') : page.index("</ul>", page.index('class="errors"'))]
    assert '<a href="#f-name"><b>Name:</b>' in summary
    assert '<a href="#f-length"><b>Length:</b>' in summary


def test_an_act_can_be_taken_back_from_the_page_that_confirms_it(app):
    client = TestClient(app, follow_redirects=False)
    client.post("/hulls/new", data=HULL)
    client.post("/hulls/1/retire", data={"retired_on": "2026-05-09", "retired_how": "sold"})
    page = client.get("/hulls")
    assert 'action="/hulls/1/return"' in page.text and "Take it back" in page.text
    assert COOKIE not in client.cookies
    client.post("/hulls/1/return")
    assert client.get("/hulls.json").json()["rows"][0]["name"] == "Quince"


@pytest.mark.parametrize("cookie", ["", "nonsense", "W10=", "eyJhIjoxfQ==", "WyJ4IiwgIi8vZXZpbCJd"])
def test_a_made_up_notice_is_no_notice(client, cookie):
    page = client.get("/hulls", headers={"cookie": f"{COOKIE}={cookie}"})
    assert page.status_code == 200
    assert "//evil" not in page.text


@pytest.mark.parametrize("address", ["/nowhere", "/hulls/999/edit", "/hulls/abc", "/hulls/99999999999999999999/edit"])
def test_an_address_that_leads_nowhere_says_so(client, address):
    answer = client.get(address)
    assert answer.status_code == 404
    assert "Not found" in answer.text and "Traceback" not in answer.text


def test_a_surprise_shows_words_and_no_traceback(app):
    def breaks():
        raise RuntimeError("secret inner detail")

    app.add_api_route("/breaks", breaks)
    answer = TestClient(app, raise_server_exceptions=False).get("/breaks")
    assert answer.status_code == 500
    assert "secret inner detail" not in answer.text and "our fault" in answer.text


def test_no_page_carries_inline_script_or_style(client):
    page = client.get("/hulls/new").text
    assert "<script>" not in page and " style=" not in page and "onclick" not in page
