"""What every page can count on: twins, kept typing, notices, and faults in plain words."""

import pytest
from starlette.testclient import TestClient

from garage.web.notices import COOKIE
from garage.web.twins import _cell

HULL = {"name": "Quince", "kind": "mono", "length": "69 cm", "screws": "1", "fixed_tube": "yes"}


def test_a_page_has_a_json_twin_with_the_same_content(client):
    client.post("/hulls/new", data=HULL)
    page, twin = client.get("/hulls"), client.get("/hulls.json").json()
    assert "Quince" in page.text
    assert twin["rows"][0]["name"] == "Quince"
    assert twin["rows"][0]["length"] == {"value": 690.0, "unit": "mm", "from": ""}


def test_a_list_has_a_csv_twin_with_units_in_its_headings(client):
    client.post("/hulls/new", data=HULL)
    heading, row = client.get("/hulls.csv").text.lstrip("\ufeff").splitlines()[:2]
    assert "length [mm]" in heading.split(",")
    assert "690.0" in row.split(",")


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


def test_an_act_can_be_taken_back_from_the_page_that_confirms_it(app):
    client = TestClient(app, follow_redirects=False)
    client.post("/hulls/new", data=HULL)
    client.post("/hulls/1/retire", data={"reason": "sold"})
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
