"""Lists of this room come in pages: as many rows as fit, and a further page only where there is one more."""

import pytest

from garage.db.engine import writing
from garage.packs.care import imbalance_v
from garage.packs.log.latest_store import at_the_time, resistances_over_time
from garage.packs.tables import Pack, PackLog, PackReading, PackSet, PackSetMember
from garage.web import desk

AT = "2026-05-0{}T10:00:00Z"


def _write(app, count: int) -> None:
    with writing(app.state.engine) as session:
        pack = Pack(code="J", cells_s=2, capacity_mah=4000, created_at=AT.format(1))
        session.add(pack)
        session.flush()
        for number in range(1, count + 1):
            at = {"at": AT.format(number), "created_at": AT.format(number), "pack_id": pack.id}
            kept = PackSet(name=f"S{number}", wiring="series", created_at=AT.format(number))
            session.add_all([PackLog(kind="bench", **at), PackReading(cells_mohm="[2, 3]", method="other", **at), kept])
            session.flush()
            session.add(PackSetMember(set_id=kept.id, pack_id=pack.id))


@pytest.mark.parametrize("address", ["/packs/sets", "/packs/1/log", "/packs/1/readings"])
@pytest.mark.parametrize(("count", "pages"), [(2, [2]), (3, [2, 1]), (4, [2, 2])])
def test_a_further_page_is_told_of_only_where_there_is_one(app, client, monkeypatch, address, count, pages):
    monkeypatch.setattr(desk, "PAGE_LENGTH", 2)
    _write(app, count)
    seen = []
    for page, rows in enumerate(pages, start=1):
        told = client.get(f"{address}.json?page={page}").json()
        assert (len(told["rows"]), told["more"], told["page"]) == (rows, page < len(pages), page)
        seen += [row["id"] for row in told["rows"]]
    # Sets by name, all else the newest first.
    assert seen == (list(range(1, count + 1)) if address == "/packs/sets" else list(range(count, 0, -1)))


def test_two_cells_stand_apart_too():
    assert imbalance_v([3.7, 3.8]) == 0.1 and imbalance_v([3.8]) is None and imbalance_v([]) is None


def test_packs_are_listed_by_the_length_of_their_codes_and_then_by_letter(app, client):
    with writing(app.state.engine) as session:
        for code in ("B", "A10", "A2", "A"):
            session.add(Pack(code=code, cells_s=2, capacity_mah=4000, created_at=AT.format(1)))
    assert [row["code"] for row in client.get("/packs.json").json()["rows"]] == ["A", "B", "A2", "A10"]


def test_a_run_finds_its_reading_among_more_than_a_page_of_them(session):
    pack = Pack(code="J", cells_s=2, capacity_mah=4000, created_at=AT.format(1))
    session.add(pack)
    session.flush()
    told = {"pack_id": pack.id, "method": "charger DC step", "temperature_c": 25.0, "created_at": AT.format(1)}
    session.add_all(
        PackReading(at=f"2026-05-01T10:{minute:02d}:00Z", cells_mohm=f"[{minute}, 3]", **told)
        for minute in range(1, 60)
    )
    session.flush()
    found = resistances_over_time(session, pack.id)
    assert len(found) == 59 and at_the_time(found, "2026-05-01T10:05:30Z").cells[0].value == 5
