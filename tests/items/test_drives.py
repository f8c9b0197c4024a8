"""The list of drives and a part's own page: where it is installed now, and where it was."""

from garage.db.engine import writing
from garage.drives.store import part, part_spec
from garage.moments import Moment
from garage.runs import rests_store
from garage.states.fold import ChangeFormData
from garage.states.store import make_changes

NOW = Moment("2026-05-09T14:30:00Z", 0)


def two_hulls_and_a_motor(client) -> None:
    for name in ("Heron", "Tern"):
        client.post("/hulls/new", data={"name": name, "kind": "mono", "screws": "1", "built_on": "2026-01-01"})
    client.post("/drives/new?kind=motor", data={"code": "M1", "name": "blue can", "kv_stated": "1950"})


def change(app, kind: str, hull_id: int, day: str, place: str = "single") -> None:
    with writing(app.state.engine) as session:
        form = ChangeFormData(kind, place, part_id=1, detail=part_spec(part(session, 1)))
        make_changes(session, hull_id, [form], Moment(f"{day}T10:00:00Z", 0), NOW, rests_store)


def test_a_part_that_was_never_installed_is_on_no_boat(client):
    two_hulls_and_a_motor(client)
    assert "On no boat." in client.get("/drives/1").text
    assert client.get("/drives.json").json()["rows"][0]["hull_id"] is None


def test_a_part_shows_where_it_is_now_and_every_place_before(client, app):
    two_hulls_and_a_motor(client)
    change(app, "install", 1, "2026-02-01", "left")
    change(app, "take out", 1, "2026-02-03")
    change(app, "install", 2, "2026-03-01")
    sheet = client.get("/drives/1.json").json()
    assert (sheet["installed"]["hull"], sheet["installed"]["place"]) == ("Tern", "single")
    assert [(event["kind"], event["hull"]) for event in sheet["events"]] == [
        ("install", "Tern"),
        ("take out", "Heron"),
        ("install", "Heron"),
    ]
    assert client.get("/drives.json").json()["rows"][0]["installed_in"] == "Tern"


def test_a_part_taken_out_is_nowhere(client, app):
    two_hulls_and_a_motor(client)
    change(app, "install", 1, "2026-02-01")
    change(app, "take out", 1, "2026-02-03")
    assert client.get("/drives/1.json").json()["installed"] is None
    assert "nowhere" in client.get("/drives").text


def test_the_list_keeps_to_one_kind_and_gives_a_csv_of_all(client):
    two_hulls_and_a_motor(client)
    client.post("/drives/new?kind=servo", data={"code": "V1"})
    rows = client.get("/drives.json?kind=servo").json()["rows"]
    assert [row["code"] for row in rows] == ["V1"]
    assert client.get("/drives.csv").text.count("\n") == 3
    assert "No shaft is written down yet." in client.get("/drives?kind=shaft").text
    assert client.get("/drives?kind=nonsense").status_code == 200


def test_a_long_list_is_cut_into_pages(client):
    for number in range(1, 53):
        client.post("/drives/new?kind=servo", data={"code": f"V{number:03}"})
    first, second = (client.get(f"/drives.json?page={page}").json() for page in (1, 2))
    assert (len(first["rows"]), first["more"], len(second["rows"]), second["more"]) == (50, True, 2, False)
