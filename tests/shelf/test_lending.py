"""Lending, the same for all that can be lent: to whom and until when, overdue, back, and who had it before."""

import pytest

# What makes one of each, where it stands and its list.
THINGS = {
    "hull": ("/hulls", "/hulls/new", {"name": "Brindle", "kind": "mono", "screws": "1"}),
    "pack": ("/packs", "/packs/new", {"code": "A", "cells_s": "3", "capacity": "4000"}),
    "prop": ("/props", "/props/new", {"code": "P1", "size": "42 x 60", "blades": "2", "hand": "right",
                                      "condition": "good"}),
    "part": ("/drives", "/drives/new?kind=motor", {"code": "M1"}),
    "receiver": ("/receivers", "/receivers/new", {"name": "Lark", "kind": "GPS"}),
    "instrument": ("/instruments", "/instruments/new", {"name": "Siskin", "kind": "scale"}),
    "charger": ("/chargers", "/chargers/new", {"name": "Plover"}),
}  # fmt: skip
LENT = {"lent_to": "Alder Finch", "lent_on": "2026-05-02", "lent_until": "2027-01-31"}
each = pytest.mark.parametrize("owner", THINGS)


@pytest.fixture
def made(client, owner: str) -> str:
    """The address of a thing of that kind."""
    url, new, form = THINGS[owner]
    assert client.post(new, data=form).url.path == f"{url}/1"
    return f"{url}/1"


@each
def test_a_thing_lent_says_to_whom_and_until_when_on_its_page_and_in_its_list(client, owner, made):
    for until, words in (
        ("2027-01-31", ", due back 31 January 2027"), ("2026-05-09", ", due back 9 May 2026"),
        ("2026-05-08", ", was due back 8 May 2026"), ("", ""),
    ):  # fmt: skip
        assert client.post(f"/lend/{owner}/1", data=LENT | {"lent_until": until}).url.path == made
        for address in (made, THINGS[owner][0], f"/lend/{owner}/1"):
            assert f">lent to Alder Finch{words}</span>" in client.get(address).text, address
    (row,) = client.get(f"{THINGS[owner][0]}.json").json()["rows"]
    assert (row["lent_to"], row["lent_on"], row["lent_until"]) == ("Alder Finch", "2026-05-02", "")
    table = client.get(f"{THINGS[owner][0]}.csv").text
    assert "lent_until" in table.splitlines()[0] and "Alder Finch" in table
    assert made in client.get("/search?q=alder").text


@each
def test_what_is_back_is_lent_no_more_who_had_it_stays_and_both_can_be_taken_back(client, owner, made):
    taken = client.post(f"/lend/{owner}/1", data=LENT).text
    undo = taken.split('action="/undo/')[1].split('"')[0]
    back = client.post(f"/lend/{owner}/1/back").text
    assert "is back from Alder Finch" in back and "from 2 May 2026 to 9 May 2026" in back
    assert "lent to" not in client.get(THINGS[owner][0]).text
    assert "is lent to nobody" in client.post(f"/lend/{owner}/1/back").text
    client.post(f"/lend/{owner}/1", data=LENT | {"lent_to": "Rush Moor"})
    page = client.get(made).text
    assert "lent to Rush Moor, due back" in page and "Alder Finch, from 2 May 2026 to 9 May 2026" in page
    again = client.post("/undo/" + client.post(f"/lend/{owner}/1/back").text.split('action="/undo/')[1].split('"')[0])
    assert "lent to Rush Moor, due back" in again.text and undo


@each
def test_days_that_cannot_be_are_refused_beside_the_field(client, owner, made):
    for beside, changed in (
        ("lent_to", {"lent_to": ""}), ("lent_on", {"lent_on": "2026-05-10"}), ("lent_until", {"lent_until": "soon"}),
        ("lent_until", {"lent_until": "2026-05-01"}),
    ):  # fmt: skip
        answer = client.post(f"/lend/{owner}/1", data=LENT | changed)
        assert answer.status_code == 422 and f'id="e-{beside}"' in answer.text
    assert "lent to" not in client.get(made).text


def test_a_loan_is_put_right_or_set_aside_and_comes_back_from_the_bin(client):
    url, new, form = THINGS["charger"]
    client.post(new, data=form)
    client.post("/lend/charger/1", data=LENT)
    assert client.post("/loans/1", data=LENT | {"back_on": "2026-05-01"}).status_code == 422
    assert (
        "Rush, from 2 May 2026 to 3 May 2026"
        in client.post("/loans/1", data=LENT | {"lent_to": "Rush", "back_on": "2026-05-03"}).text
    )
    client.post("/lend/charger/1", data=LENT)
    refused = client.post("/loans/1", data=LENT | {"lent_to": "Rush"})
    assert refused.status_code == 422 and "only one can have it at a time" in refused.text
    assert "Rush" not in client.post("/loans/1/aside").text.split("<main")[1].split("Who had it")[1]
    assert 'action="/loans/1/return"' in client.get("/bin").text
    assert "Rush, from 2 May" in client.post("/loans/1/return").text


@each
def test_what_is_out_of_use_is_lent_to_nobody(client, owner, made):
    how = client.get(f"{made}/retire").text.split('<option value="lost"')
    assert client.post(f"{made}/retire", data={"retired_on": "2026-05-02", "retired_how": "lost"}).status_code == 200
    assert len(how) == 2 and "Lend it" not in client.get(made).text
    refused = client.post(f"/lend/{owner}/1", data=LENT)
    assert refused.status_code == 422 and "is out of use" in refused.text and client.get("/loans/1").status_code == 404


def test_lent_before_it_was_there_is_asked_about_and_taken_when_it_is_meant(client):
    pack = {"code": "J", "cells_s": "3", "capacity": "4000", "bought_on": "2026-05-03"}
    client.post("/packs/new", data=pack)
    asked = client.post("/lend/pack/1", data=LENT)
    assert (
        asked.status_code == 422 and "is there since 3 May 2026" in asked.text and 'value="Alder Finch"' in asked.text
    )
    assert client.post("/lend/pack/1", data=LENT | {"went_before": "yes"}).url.path == "/packs/1"
    put_right = LENT | {"back_on": "2026-05-04"}
    assert client.post("/loans/1", data=put_right).status_code == 422
    assert client.post("/loans/1", data=put_right | {"went_before": "yes"}).url.path == "/packs/1"


def test_what_is_not_there_or_never_lent_is_not_found(client):
    for address in ("/lend/charger/1", "/lend/supply/1", "/lend/driver/1", "/loans/1"):
        assert client.get(address).status_code == 404
