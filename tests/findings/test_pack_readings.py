"""A pack's own resistance readings say what is assumed of it, where its owner wants that."""

import json
import math

import pytest
from sqlmodel import select

from garage.packs.tables import PackLog, PackReading
from garage.runs.tables import Run, RunPack
from garage.waters.outing_store import close_outing
from tests.seeded import NOW, Garage, at, with_history


@pytest.fixture
def garage(session) -> Garage:
    """Runs at a mean current of 60 A; pack J reads 2 mΩ a cell, K fell from 3 to 2.5 over its first discharges."""
    garage = with_history(session)
    for run in session.exec(select(Run)):
        run.duration_s = 120.0
        for use in session.exec(select(RunPack).where(RunPack.run_id == run.id)):
            use.charge_mah = 2000.0
    for day in (1, 2):
        _reading(session, garage.packs["J"], at(f"05-0{day}"), 2.0)
    for count in range(9):
        moment = at("04-20", f"{8 + count:02d}:00")
        _reading(session, garage.packs["K"], moment, 2.5 * math.exp(0.2 * math.exp(-count / 1.5)))
        session.add(PackLog(pack_id=garage.packs["K"], at=at("04-20", f"{8 + count:02d}:30").utc, kind="bench",
                            created_at=NOW.utc))  # fmt: skip
    for outing in garage.outings:
        close_outing(session, outing, NOW.utc)
    session.commit()
    return garage


def _reading(session, pack_id: int, moment, mohm: float) -> None:
    session.add(PackReading(
        pack_id=pack_id, at=moment.utc, cells_mohm=json.dumps([mohm] * 3), temperature_c=25.0,
        state_of_charge_percent=100.0, method="charger DC step", instrument="grey box", created_at=NOW.utc,
    ))  # fmt: skip


def _asked(client, garage: Garage) -> str:
    what = f"{garage.hulls['Medlar']}|change|{garage.modifications['Trim tabs']}"
    return client.post("/findings/ask", data={"what": what}).url.path


def _let_readings_count(client) -> None:
    values = client.get("/findings/assumptions.json").json()["values"]
    assert client.post("/findings/assumptions", data=values | {"by_readings": "yes"}).status_code == 200


def _assumed(client, page: str) -> list[str]:
    return [note for note in client.get(page + ".json").json()["notes"] if "resistance readings" in note]


def test_readings_say_nothing_until_their_owner_wants_it(client, garage):
    assert _assumed(client, _asked(client, garage)) == []


def test_with_it_ticked_the_answer_rests_on_readings_and_says_so(client, garage):
    page = _asked(client, garage)
    before = client.get(page + ".json").json()["effect"]
    _let_readings_count(client)
    (note,) = _assumed(client, page)
    # 60 A through 3 cells of 2 and 2.5 mΩ, at 11.1 V: 3.2 and 4.1 % lost in the pack; half of ln(2.5 / 2) each way.
    slope_j, slope_k = (-s / (1 + s) for s in (60 * 0.006 / 11.1, 60 * 0.0075 / 11.1))
    half = math.log(2.5 / 2) / 2
    assert f"pack J {-slope_j * half * 100:+.1f} %" in note
    assert f"pack K {slope_k * half * 100:+.1f} %".replace("-", "−") in note
    # It fell by a factor e^0.2 or so: with 4 % lost inside, under 1 %, where 3 % are assumed otherwise.
    assert "break-in +" in note
    assert client.get(page + ".json").json()["effect"] != before


def test_unticked_or_back_to_the_usual_it_is_as_before(client, garage):
    page = _asked(client, garage)
    before = client.get(page + ".json").json()["effect"]
    _let_readings_count(client)
    assert 'name="by_readings" value="yes" checked' in client.get("/findings/assumptions").text
    client.post("/findings/assumptions/usual")
    assert client.get(page + ".json").json()["effect"] == before


def test_the_ranking_of_a_hull_rests_on_them_too(client, garage):
    address = f"/hulls/{garage.hulls['Medlar']}/findings.json"
    before = client.get(address).json()["rows"]
    _let_readings_count(client)
    assert client.get(address).json()["rows"] != before


def test_readings_in_different_ways_are_not_set_against_each_other(client, session, garage):
    for row in session.exec(select(PackReading).where(PackReading.pack_id == garage.packs["J"])):
        row.instrument = "another box"
    session.commit()
    _let_readings_count(client)
    (note,) = _assumed(client, _asked(client, garage))
    assert "pack J" not in note and "pack K" not in note and "break-in" in note
