"""What the page of an outing says is new about a run."""

import pytest

from garage.runs.tables import RunPack
from tests.seeded import at, with_history


@pytest.mark.parametrize("second, said", [("", "pack K"), ("J", "packs ")])
def test_one_pack_is_called_a_pack_and_several_packs(client, session, second, said):
    garage = with_history(session)
    garage.run(garage.outings[1], at("04-12", "14:00"), pack="J", speed_kmh=77)
    run = garage.run(garage.outings[1], at("04-12", "15:00"), pack="K", speed_kmh=77)
    if second:
        session.add(RunPack(run_id=run.id, pack_id=garage.packs[second], position=1, wiring="series"))
    session.commit()
    changed = client.get(f"/outings/{garage.outings[1]}.json").json()["rows"][-1]["changed"]
    assert [words for words in changed if words.startswith(said)]
