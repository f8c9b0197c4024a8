"""An answer is worked out once for the same runs, question and assumptions, and anew for any others."""

import pytest

from garage.calc.effect import answer as answers
from garage.findings import remembered
from garage.runs.tables import Run


@pytest.fixture
def fits(monkeypatch) -> list[int]:
    """One entry for every answer that was truly worked out."""
    made, worked_out = [], answers.answer

    def counted(*asked):
        made.append(len(asked[0]))
        return worked_out(*asked)

    remembered._answer.cache_clear()
    monkeypatch.setattr(remembered, "answer", counted)
    return made


def test_a_finding_shown_again_is_not_worked_out_again_until_a_run_is_another(client, garage, session, fits):
    what = f"{garage.hulls['Medlar']}|change|{garage.modifications['Trim tabs']}"
    question = client.post("/findings/ask", data={"what": what}).url.path
    assert len(fits) == 1
    shown = [client.get(f"{question}.json").json() for _ in range(2)]
    client.get(f"{question}/plan")
    assert shown[0] == shown[1] and len(fits) == 1
    run = session.get(Run, max(run["line"]["id"] for run in shown[0]["spoken"]))
    run.speed_kmh += 7
    session.commit()
    anew = client.get(f"{question}.json").json()
    assert len(fits) == 2 and anew["effect"] != shown[0]["effect"]
    remembered._answer.cache_clear()
    assert client.get(f"{question}.json").json() == anew, "what is remembered is what would be worked out"
