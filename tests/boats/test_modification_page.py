"""A modification's own page tells what was found and decided about it."""

from garage.waters.outing_store import close_outing
from tests.seeded import NOW, at, with_history


def page_of(session) -> tuple[str, str]:
    """Address of the trim tabs' page, and the words that ask about them."""
    garage = with_history(session)
    tabs = garage.modifications["Trim tabs"]
    outing = garage.outing("04-19", air_c=14.0)
    garage.run(outing, at("04-19", "10:10"), speed_kmh=83.0)
    for each in garage.outings[:-1]:
        close_outing(session, each, NOW.utc)
    session.commit()
    return f"/modifications/{tabs}", f"{garage.hulls['Medlar']}|change|{tabs}"


def test_nothing_is_told_before_anybody_asked(client, session):
    page, _ = page_of(session)
    assert client.get(page + ".json").json()["found"] is None
    assert 'id="found"' not in client.get(page).text


def test_the_verdict_of_the_last_closed_outing_stands_there(client, session):
    page, _ = page_of(session)
    outing = client.get("/outings.json").json()["rows"][0]["id"]
    client.post(f"/outings/{outing}/close")
    found = client.get(page + ".json").json()["found"]
    assert found["verdict"] and found["low"] < found["percent"] < found["high"]
    assert found["verdict"] in client.get(page).text.lower()


def test_a_decision_stands_there_with_its_reason_until_it_is_taken_back(client, session):
    page, what = page_of(session)
    finding = client.post("/findings/ask", data={"what": what}).url.path
    client.post(f"{finding}/decide", data={"kind": "leave on", "reason": "steadier in the <turns>"})
    text = client.get(page).text
    assert "Leave on" in text and "steadier in the &lt;turns&gt;" in text
    decided = client.get(finding + ".json").json()["decisions"][0]["id"]
    client.post(f"{finding}/decisions/{decided}/take-back")
    assert "Leave on" not in client.get(page).text


def test_a_step_typed_wrong_leaves_all_of_the_page_standing(client, session):
    page, what = page_of(session)
    finding = client.post("/findings/ask", data={"what": what}).url.path
    client.post(f"{finding}/decide", data={"kind": "test again", "reason": ""})
    answered = client.post(f"{page}/steps", data={"action": "cut", "what": ""})
    assert answered.status_code == 422 and "Test again" in answered.text


def test_a_packs_page_leads_to_the_question_about_it(client, session):
    page_of(session)
    pack = client.get("/packs.json").json()["rows"][0]["id"]
    assert f'href="/findings/of-pack/{pack}"' in client.get(f"/packs/{pack}").text
    assert client.get(f"/findings/of-pack/{pack}").status_code == 200


def test_a_decision_stands_in_the_hulls_history_until_it_is_taken_back(client, session):
    _, what = page_of(session)
    finding = client.post("/findings/ask", data={"what": what}).url.path
    client.post(f"{finding}/decide", data={"kind": "take off", "reason": "too heavy"})
    history = f"/hulls/{what.split('|')[0]}/history.json"
    (event,) = [one for one in client.get(history).json()["history"]["events"] if one["kind"] == "decision"]
    assert event["title"] == "Decided: take off, Trim tabs" and event["lines"][0] == "too heavy"
    assert "Decided: take off" in client.get(history.removesuffix(".json")).text
    decided = client.get(finding + ".json").json()["decisions"][0]["id"]
    client.post(f"{finding}/decisions/{decided}/take-back")
    assert "decision" not in {one["kind"] for one in client.get(history).json()["history"]["events"]}
