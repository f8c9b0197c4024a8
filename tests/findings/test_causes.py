"""A person's own fields as causes: which may be ticked, how a run's values enter, and what is assumed of them."""

from types import SimpleNamespace

import pytest
from sqlmodel import select

from garage.calc.effect.priors import DEFAULT_PRIORS, Prior
from garage.fields.definition import Field
from garage.findings.evidence.causes import names_of_causes, ticked, values_of_causes, with_causes
from garage.own_fields.at_hand import Own
from garage.runs.tables import Run

WEED = Own(
    1, "run", Field("own_weed", "Weed", "choice", choices=("none", "some", "much"), column="own_1"), None, 3, False
)
WET = Own(2, "outing", Field("own_wet", "Wet", "choice", choices=("no", "yes"), column="own_2"), None, 2, False)
CLICKS = Own(3, "pack", Field("own_clicks", "Clicks", "number", unit="clicks", column="own_3"), 2.0, 5, True)


def run(weed="", wet="", clicks=()):
    return {
        "run": [SimpleNamespace(own_1=weed)],
        "outing": [SimpleNamespace(own_2=wet)],
        "pack": [SimpleNamespace(own_3=value) for value in clicks],
        "prop": [],
    }


def test_every_choice_is_a_level_and_of_two_the_second():
    assert names_of_causes([WEED, WET, CLICKS]) == {
        "own:1=none": "weed: none", "own:1=some": "weed: some", "own:1=much": "weed: much", "own:2=yes": "wet: yes",
        "own:3": "clicks",
    }  # fmt: skip


@pytest.mark.parametrize(
    ("things", "said"),
    [
        (run(), {}),
        (run("some", "no"), {"own:1=none": 0, "own:1=some": 1, "own:1=much": 0, "own:2=yes": 0}),
        (run(clicks=(4, None, 6)), {"own:3": 5}),
        (run(wet="yes", clicks=(0,)), {"own:2=yes": 1, "own:3": 0}),
    ],
)
def test_a_run_tells_what_is_written_and_of_the_rest_nothing(things, said):
    assert values_of_causes([WEED, WET, CLICKS], things) == said


def test_what_is_assumed_of_each_stands_beside_what_is_known_of_packs():
    names = names_of_causes([WET, CLICKS])
    own = dict(with_causes(DEFAULT_PRIORS.with_own({"pack:J": Prior(0.01, 0.02)}), [WET, CLICKS], names, 2.0).own)
    assert own == {"pack:J": Prior(0.01, 0.02), "wet: yes": Prior(0.0, 0.04), "clicks": Prior(0.0, 0.1)}


def test_runs_that_lack_a_cause_are_counted():
    names = names_of_causes([WEED, CLICKS])
    runs = [
        SimpleNamespace(factors=factors) for factors in ({"weed: some": 1.0}, {}, {"clicks": 0.0, "weed: none": 0.0})
    ]
    assert [one.lacking for one in ticked([WEED, CLICKS], names, runs)] == [1, 2]


@pytest.fixture
def tabs(client, garage) -> str:
    """Address of the question about the trim tabs, in a garage with six own fields of runs that can be causes."""
    for number in range(1, 7):
        client.post("/own-fields/run/new", data={"label": f"Cause {number}", "kind": "number", "unit": "turns"})
    client.post("/own-fields/run/new", data={"label": "Said of it", "kind": "text"})
    what = f"{garage.hulls['Medlar']}|change|{garage.modifications['Trim tabs']}"
    return client.post("/findings/ask", data={"what": what}).url.path


def test_a_sixth_is_refused_beside_the_field(client, tabs):
    assert "Cause 6" in client.get(tabs).text and "Said of it" not in client.get(tabs).text
    refused = client.post(f"{tabs}/causes", data={"causes": list("123456")})
    assert refused.status_code == 422 and 'id="e-causes"' in refused.text and "At most 5" in refused.text
    assert client.get(f"{tabs}.json").json()["values"]["causes"] == []


def test_what_was_ticked_is_a_cause_of_the_answer_also_once_it_is_put_away(client, session, garage, tabs):
    for number, row in enumerate(session.exec(select(Run)).all()):
        row.own_values = f'{{"1": {number % 3}}}' if number else "{}"
    session.commit()
    client.post(f"{tabs}/causes", data={"causes": list("12345")})
    client.post("/own-fields/1/put-away")
    found = client.get(f"{tabs}.json").json()
    assert found["values"]["causes"] == list("12345")
    assert "cause 1" in [part["cause"] for part in found["parts"]]
    lacking = {one["number"]: one["lacking"] for one in found["causes"]}
    assert lacking[1] <= 1 and lacking[2] == len(found["spoken"]) and lacking[6] is None
    assert "up or down 3 %: assumed" in client.get(tabs).text
