"""A pack with a dying cell: the same words wherever it is named, and asked about however a run is written."""

import json
import re
from pathlib import Path

import pytest
from sqlmodel import Session, select

from garage.findings.evidence.outcomes import OUTCOMES
from garage.findings.evidence.runs_store import hull_runs
from garage.findings.plan.packs_store import usable_packs
from garage.findings.store import ask
from garage.findings.tables import FindingResult
from garage.packs.log.store import add_log_entry, add_reading
from garage.packs.tables import Pack, PackSet, PackSetMember
from garage.packs.verdict_store import retire_words, verdicts
from garage.preferences.store import display_units
from garage.shelf.tables import ShelfEntry
from garage.waters.outing_store import close_outing
from tests.seeded import NOW, at, inventory, reading_form

WORDS = "retire it: cells 0.65 V apart at rest"
# Resting volts of which one cell is far down; of a sound pack they lie within 0.10 V of each other (a
# disqualification list for packs, read in an excerpt).
DYING, SOUND = (4.05, 3.40, 4.04), (4.05, 4.04, 4.05)

# Every page that names packs to be taken, judged or looked after: pack J has the number 1.
PAGES = (
    "/shelf/pack/1",
    "/", "/packs", "/packs/1", "/packs/1/edit", "/packs/1/log", "/packs/1/readings", "/packs/1/ageing", "/packs/1/did",
    "/packs/1/damage", "/packs/1/retire", "/packs/1/label", "/packs/labels", "/packs/log", "/packs/sets",
    "/packs/which?hull=1", "/packs/against?one=J&other=K", "/runs/new?hull=1", "/pit?hull=1", "/outings/1/evening",
    "/runs/1", "/runs/1/edit", "/runs/1/rebuild", "/search?q=J&all", "/search/results?q=J", "/stock",
    "/bench/pack-load", "/findings/of-pack/1", "/runs", "/outings/1", "/records", "/hulls/1",
    "/hulls/1/states/1", "/hulls/1/history", "/props/1",
)  # fmt: skip

# Templates with the name of a pack whose words stand elsewhere: beside the lines of runs that they hold, or in the
# head of the pack’s own page; a plan leaves such packs out.
HISTORY = {
    "boats/_chart.html", "findings/plan.html", "items/_use.html", "outings/insertion.html",
    "outings/outing.html",
    "packs/_facts.html", "packs/_log.html", "packs/_log_form.html", "packs/_readings.html", "packs/_reasons.html",
}  # fmt: skip
# Templates that get the words within a text: an entry of a picker, a title, a row of a comparison.
IN_TEXT = {
    "runs/new.html", "runs/edit.html", "outings/pit.html", "runs/_readings.html", "bench/calculator.html",
    "items/pack_against.html",
}  # fmt: skip
# They speak of packs in general and name none: what would read otherwise stands in lines that the page is given, with
# the words of a pack's verdict ("pack now") among them.
GENERAL = {
    "base.html", "bench/balance.html", "bin/page.html", "boats/against.html", "boats/hull.html", "services/edit.html",
    "findings/assumptions.html", "hulls/lists.html", "items/drives.html", "own_fields/edit.html",
    "mending/_ahead.html",
    "past_runs/one.html", "runs/list.html", "stock/shelf.html",
}  # fmt: skip


def look(session: Session, pack_id: int, volts, day: str = "05-08") -> None:
    add_log_entry(session, pack_id, {"kind": "look", "at": at(day).utc, "volts": json.dumps(volts)}, NOW)


@pytest.fixture
def garage(session):
    """Pack J ran, stands in a set and on the shelf."""
    made = inventory(session)
    made.run(made.outing("05-03"), at("05-03", "09:20"))
    session.add(ShelfEntry(owner="pack", owner_id=1, place="drawer", low=True))
    session.add(PackSet(name="pair", wiring="series", created_at=NOW.utc))
    session.flush()
    session.add_all(PackSetMember(set_id=1, pack_id=pack_id) for pack_id in (1, 2))
    session.commit()
    return made


@pytest.fixture
def dying(garage):
    look(garage.session, 1, DYING)
    garage.session.commit()
    return garage


def words_of(text: str) -> str:
    return re.sub(r"\s+", " ", text)


@pytest.mark.parametrize("address", PAGES)
def test_a_dying_pack_is_told_on_every_page_that_names_it(client, dying, address):
    page = client.get(address)
    assert page.status_code == 200 and WORDS.removeprefix("retire it: ") in words_of(page.text)
    assert WORDS in words_of(page.text)


@pytest.mark.parametrize("is_dying", [True, False])
def test_a_question_about_a_dying_pack_says_so_wherever_it_stands(client, garage, is_dying):
    session = garage.session
    garage.run(1, at("05-03", "09:50"), pack="K")
    close_outing(session, 1, NOW.utc)
    asked = ask(session, 1, "pack", "1", NOW)
    session.add(
        FindingResult(
            finding_id=asked.id, outing_id=1, at=NOW.utc, verdict="gain", verdict_before="probably a gain", ln=0.02,
            low_ln=0.01, high_ln=0.03, chance=0.99, wide_chance=0.99, runs=2,
        )
    )  # fmt: skip
    look(session, 1, DYING if is_dying else SOUND)
    session.commit()
    for address in ("/findings", "/findings/1", "/findings/1/decide", "/hulls/1/findings"):
        page = words_of(client.get(address).text)
        assert "pack J" in page or "J gain" in page or ">J</a>" in page or "Decide: J" in page, address
        assert (WORDS in page) == is_dying, address
    lines = words_of(client.get("/").text).split("Wants attention</h2>")[1].split("<li>")
    changed = next(line for line in lines if "/findings/1" in line)
    assert (WORDS in changed) == is_dying


def test_runs_of_one_dying_pack_have_its_words_once_and_as_data_each(client, dying):
    dying.run(1, at("05-03", "09:50"))
    dying.run(1, at("05-03", "10:20"), pack="K")
    dying.session.commit()
    assert client.get("/runs").text.count(WORDS) == 1
    rows = client.get("/runs.json").json()["rows"]
    assert sorted(row["retire"] for row in rows) == ["", f"J: {WORDS}", f"J: {WORDS}"]
    assert client.get("/runs.csv").text.count(WORDS) == 2


@pytest.mark.parametrize("address", ["/packs", "/runs", "/search{}?q=J&all", "/stock", "/records"])
def test_the_table_file_of_a_list_has_the_words_too(client, dying, address):
    address = address.format(".csv") if "{}" in address else f"{address}.csv"
    assert WORDS in client.get(address).text


def test_a_healthy_pack_shows_nothing_anywhere(client, garage):
    look(garage.session, 1, SOUND)
    garage.session.commit()
    for address in PAGES:
        assert "retire it:" not in client.get(address).text, address


def test_no_template_names_packs_without_being_looked_at():
    """A new page that names packs shows the verdict, or is written down above with the reason why not."""
    folder = Path(__file__).parents[2] / "templates"
    texts = {str(path.relative_to(folder)): path.read_text() for path in folder.rglob("*.html")}
    naming = {name for name, text in texts.items() if re.search(r"pack", text, re.IGNORECASE)}
    showing = {name for name, text in texts.items() if re.search(r"retire_(flag|notes)\(|\.retire\b", text)}
    known = HISTORY | IN_TEXT | GENERAL
    assert naming - showing - known == set()
    assert not known & showing and known <= set(texts)


def test_home_has_the_dangerous_first_even_one_that_lay_in_a_drawer(client, dying):
    """Sixty packs came after it; none of the others is dangerous."""
    session = dying.session
    session.add_all(Pack(code=f"N{n}", cells_s=3, capacity_mah=4000, created_at=NOW.utc) for n in range(60))
    session.commit()
    first = words_of(client.get("/").text).split("Wants attention</h2>")[1].split("<li>")[1]
    assert first.startswith("<b>Pack J") and WORDS in first and '"/packs/1"' in first


def test_a_later_look_takes_the_words_off_and_retiring_does(client, dying):
    look(dying.session, 1, SOUND, "05-09")
    dying.session.commit()
    assert WORDS not in client.get("/packs").text
    look(dying.session, 1, DYING, "05-10")
    dying.session.commit()
    assert WORDS in client.get("/packs").text
    client.post("/packs/1/retire", data={"retired_on": "2026-05-09", "retired_how": "worn out"})
    assert WORDS not in client.get("/packs?retired=yes").text + client.get("/packs/1").text


def test_the_volts_of_a_resistance_reading_count_as_a_look(garage):
    add_reading(garage.session, 1, reading_form([2.0, 2.1, 1.9], at("05-08"), volts=DYING), NOW)
    assert retire_words(garage.session, [1, 2]) == {1: WORDS}


def test_a_dying_pack_is_offered_after_all_others_and_not_as_in_service(client, dying):
    options = [text for _, text in client.get("/runs/new.json?hull=1").json()["pack_options"]]
    assert options[-2].startswith("J ·") and options[-2].endswith(WORDS) and "in service" not in options[-2]
    assert options[-1] == f"pair: J + K · J: {WORDS}" and not any(WORDS in text for text in options[:-2])


def test_no_plan_of_next_runs_uses_a_dying_pack(session, garage):
    hull = garage.hulls["Medlar"]

    def usable() -> list[str]:
        gathered = hull_runs(session, hull, OUTCOMES["speed"], display_units(session))
        return [one.lead for one in usable_packs(session, gathered)]

    assert usable() == ["J"]
    look(session, 1, DYING)
    assert usable() == []


def runs_written(client) -> int:
    return len(client.get("/runs.json").json()["rows"])


@pytest.mark.parametrize(
    ("address", "typed", "tick"),
    [
        ("/runs/new", {"hull": "1", "outing": "1", "pack": "1", "speed": "70"}, "pack_anyway"),
        ("/runs/new", {"hull": "1", "outing": "1", "pack_code": "J", "speed": "70"}, "pack_anyway"),
        ("/runs/new", {"hull": "1", "outing": "1", "pack": "1+2:series", "speed": "70"}, "pack_anyway"),
        (
            "/outings/1/evening",
            {"n1_hull": "1", "n1_pack": "J", "n1_speed": "70", "n1_clock": "10:40"},
            "n1_pack_anyway",
        ),
    ],
    ids=["picked", "by code", "two packs", "evening"],
)  # fmt: skip
def test_a_run_with_a_dying_pack_is_asked_about_and_never_refused(client, dying, address, typed, tick):
    asked = client.post(address, data=typed)
    assert asked.status_code == 422 and f"Pack J: {WORDS}. Tick this if it really ran." in asked.text
    assert f'name="{tick}"' in asked.text and "It really ran with this pack" in asked.text
    assert 'value="70"' in asked.text and runs_written(client) == 1
    assert client.post(address, data=typed | {tick: "yes"}).status_code == 200
    assert runs_written(client) == 2


def test_editing_a_run_asks_about_a_dying_pack_that_was_not_in_it(client, garage):
    look(garage.session, 2, DYING)
    garage.session.commit()
    values = client.get("/runs/1/edit.json").json()["values"]
    typed = {name: value for name, value in values.items() if value} | {"pack_code_1": "K", "why": "wrong pack"}
    asked = client.post("/runs/1/edit", data=typed)
    assert asked.status_code == 422 and f"Pack K: {WORDS}. Tick this" in asked.text
    assert client.post("/runs/1/edit", data=typed | {"pack_anyway": "yes"}).status_code == 200


def test_editing_a_run_does_not_ask_again_about_the_pack_it_ran_with(client, dying):
    values = client.get("/runs/1/edit.json").json()["values"]
    typed = {name: value for name, value in values.items() if value} | {"note": "a word more", "why": "more"}
    assert client.post("/runs/1/edit", data=typed).status_code == 200


def test_sixty_packs_take_as_many_queries_as_one(session, garage):
    session.add_all(Pack(code=f"N{n}", cells_s=3, capacity_mah=4000, created_at=NOW.utc) for n in range(60))
    session.flush()
    ids = list(session.exec(select(Pack.id)))
    for pack_id in ids:
        look(session, pack_id, DYING)
        cells = [4.5, 2.0, 2.1]
        for day in range(1, 4):
            add_reading(session, pack_id, reading_form(cells, at(f"04-0{day}")), NOW)
    session.flush()
    assert queries(session, ids[:1]) == queries(session, ids) <= 4
    assert len(retire_words(session, ids)) == len(ids)


def queries(session: Session, ids: list[int]) -> int:
    seen: list[str] = []
    raw = session.connection().connection.dbapi_connection
    raw.set_trace_callback(seen.append)
    verdicts(session, ids)
    raw.set_trace_callback(None)
    return len(seen)
