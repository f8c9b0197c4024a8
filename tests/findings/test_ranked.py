"""The ranked chart of a hull's effects: those that cannot be told apart are tied together visibly."""

from garage.runs import rests_store
from garage.states.fold import ChangeFormData
from garage.states.store import make_changes
from garage.waters.outing_store import close_outing
from tests.seeded import NOW, at, with_history


def test_two_settings_moved_together_are_tied_by_a_bracket_and_by_name(client, session):
    garage = with_history(session)
    medlar = garage.hulls["Medlar"]
    both = [
        ChangeFormData("set", setting=name, detail={"value": value})
        for name, value in (("strut_height", 15.0), ("strut_angle", 1.0))
    ]
    make_changes(session, medlar, both, at("04-18"), NOW, rests_store)
    outing = garage.outing("04-19", air_c=14.0, wind_ms=3.0)
    for minute in (10, 30):
        garage.run(outing, at("04-19", f"10:{minute}"), speed_kmh=83.0)
    for each in garage.outings:
        close_outing(session, each, NOW.utc)
    session.commit()
    rows = client.get(f"/hulls/{medlar}/findings.json").json()["rows"]
    tied = {row["name"]: row["tied_with"] for row in rows if row["tied_with"]}
    assert tied["strut height, per step"] == "strut angle" and tied["strut angle, per step"] == "strut height"
    page = client.get(f"/hulls/{medlar}/findings").text
    figure = page[page.index("<figure") : page.index("</figure>")]
    # One whisker for every effect, a line with a foot at each end, and one bracket with two feet.
    assert figure.count('<line class="whisker"') == 3 * len(rows) and figure.count('<path class="whisker"') == 1
    assert figure.count("h4") == 2
