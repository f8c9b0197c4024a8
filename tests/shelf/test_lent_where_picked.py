"""What is lent says so wherever it is picked, and can be picked all the same."""

from tests.shelf.test_lending import LENT, THINGS

WORD = "lent to Alder Finch"


def test_what_is_lent_says_so_wherever_it_is_picked_and_is_not_refused(client):
    for owner in ("hull", "prop", "pack", "part"):
        client.post(THINGS[owner][1], data=THINGS[owner][2])
    client.post("/hulls/new", data={"name": "Teasel", "kind": "mono", "screws": "1"})
    client.post("/waters/new", data={"name": "Hollow Mere"})
    client.post("/outings/new", data={"water": "1"})
    places = {
        "hull": ("/runs/new", "/pit", "/outings/1/evening", "/packs/which"),
        "prop": ("/runs/new?hull=1", "/pit?hull=1"),
        "pack": ("/runs/new?hull=1", "/pit?hull=1", "/outings/1/evening", "/packs/which"),
        "part": ("/hulls/1/changes/new",),
    }
    for owner, pages in places.items():
        assert [page for page in pages if WORD in client.get(page).text] == []
        client.post(f"/lend/{owner}/1", data=LENT)
        assert [page for page in pages if WORD not in client.get(page).text] == [], owner
        if owner != "pack":
            client.post(f"/lend/{owner}/1/back")
    ran = client.post("/runs/new", data={"hull": "1", "outing": "1", "pack": "1", "speed": "80"})
    assert ran.status_code == 200 and client.get("/runs.json").json()["rows"]
