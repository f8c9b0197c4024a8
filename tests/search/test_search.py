"""Everything written is found by kind, codes and fingerprints lead straight there, and no text breaks it."""

import csv
import io
from urllib.parse import urlencode

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from garage.db.engine import reading, writing
from garage.drives.tables import Part
from garage.logs.tables import LogFile
from garage.modifications.tables import Modification
from garage.packs.tables import Pack
from garage.photos.tables import Attachment
from garage.props.tables import Prop
from garage.schema import THINGS
from garage.search.finding import find
from garage.search.kinds import KIND_SPAN, first_row, id_of_row
from garage.search.query import fingerprint_beginning, wanted
from garage.search.title_store import places
from garage.shelf.tables import ShelfEntry
from garage.states.store import current_state
from garage.stock.tables import Supply
from tests.seeded import Garage, with_history

_NOON = "2026-04-12T12:00:00Z"

FOUND = THINGS.found


@pytest.fixture
def garage(session) -> Garage:
    return with_history(session)


def look(session, typed: str, kind: str = ""):
    return find(session, THINGS, typed, kind, page=1, limit=50, offset=0)


def headings(session, typed: str) -> dict[str, list[str]]:
    return {group.heading: [found.title for found in group.results] for group in look(session, typed).groups}


def test_what_was_written_is_found_under_its_kind(session, garage):
    found = headings(session, "brass")
    assert found["Steps"] and all("brass sheet" in title for title in found["Steps"])
    assert headings(session, "hopping last") == {"Notes, pictures, sound, links": ["Note, not sorted yet"]}
    assert headings(session, "planted")["Runs"] == ["Run 1, Medlar"]


def test_the_beginning_of_the_last_word_is_enough_and_accents_do_not_matter(session, garage):
    session.add(
        Attachment(kind="note", at="2026-04-12T12:00:00Z", text="Café by the weir", created_at="2026-04-12T12:00:00Z")
    )
    session.flush()
    assert headings(session, "weir caf") and headings(session, "cafe WEI")


def test_the_table_file_of_a_search_holds_more_than_a_page_shows(client, app):
    with writing(app.state.engine) as session:
        with_history(session)
        for number in range(9):
            session.add(Attachment(kind="note", at=_NOON, text=f"lapwing {number}", created_at=_NOON))
    shown = client.get("/search.json?q=lapwing").json()["groups"][0]
    rows = list(csv.DictReader(io.StringIO(client.get("/search.csv?q=lapwing").text.lstrip("\ufeff"))))
    assert shown["more"] and len(shown["results"]) < 9
    assert sorted(row["words"] for row in rows) == [f"lapwing {number}" for number in range(9)]


def test_what_lies_on_the_shelf_is_called_by_what_it_is_and_where_it_lies(session):
    lying = (
        Prop(code="P1", printed_name="42 x 58", created_at=_NOON),
        Pack(code="K1", cells_s=4, capacity_mah=3300, created_at=_NOON),
        Part(code="M1", kind="motor", created_at=_NOON),
        Supply(code="S1", name="Marine grease", created_at=_NOON),
    )
    session.add_all(lying)
    session.flush()
    for owner, row in zip(("prop", "pack", "part", "supply"), lying, strict=True):
        session.add(ShelfEntry(owner=owner, owner_id=row.id, place="wicker drawer"))
    session.flush()
    assert sorted(headings(session, "wicker")["On the shelf"]) == [
        "M1 · motor, at: wicker drawer",
        "Marine grease, at: wicker drawer",
        "Pack K1, at: wicker drawer",
        "Prop P1, at: wicker drawer",
    ]


def test_text_changed_or_taken_away_is_found_as_it_stands_now(session, garage):
    row = session.get(Modification, garage.modifications["Long strut"])
    row.title = "Zebra strut"
    session.add(row)
    session.flush()
    assert headings(session, "zebra")["Modifications"] == ["Zebra strut, Medlar"]
    assert "Modifications" not in headings(session, "long strut")


@pytest.mark.parametrize(
    "typed, title",
    [("p1", "P1 · 44 x 66"), ("M1", "M1 · motor, blue can"), ("j", "J, 3S"), ("medlar", "Medlar, catamaran")],
)
def test_a_code_or_name_leads_straight_there(session, garage, typed, title):
    assert title in [found.title for found in look(session, typed).straight]


def test_a_fingerprint_leads_straight_to_its_state_by_four_signs(session, garage):
    state = current_state(session, garage.hulls["Medlar"])
    straight = look(session, state.fingerprint[:4].upper()).straight
    assert f"/hulls/{state.hull_id}/states/{state.number}" in [found.address for found in straight]


def test_the_two_words_of_a_state_lead_straight_to_it_in_either_order(session, garage):
    state = current_state(session, garage.hulls["Medlar"])
    for typed in (state.mark.upper().replace(" ", "-"), " ".join(reversed(state.mark.split()))):
        straight = look(session, typed).straight
        assert [found.address for found in straight] == [f"/hulls/{state.hull_id}/states/{state.number}"]


def test_every_kind_that_is_kept_has_a_heading_and_a_way_to_name_and_find_it(session, garage):
    for kind in FOUND.values():
        assert places(session, THINGS, kind, [1, 2, 3]) is not None
    assert len({kind.found.number for kind in FOUND.values()}) == len(FOUND)


@given(st.sampled_from(sorted(FOUND)), st.integers(0, KIND_SPAN - 1))
def test_a_row_belongs_to_one_kind_and_one_thing(kind, thing):
    row = first_row(FOUND[kind]) + thing
    assert id_of_row(row) == thing and row // KIND_SPAN == FOUND[kind].found.number and row < 2**63


@pytest.mark.parametrize(
    "typed",
    [
        '"',
        '""',
        "'",
        "*",
        "a*",
        "AND",
        "NOT",
        "NEAR(",
        "title:",
        "(((",
        "-",
        "^x",
        "🚤",
        "\x00",
        "a\x00b",
        "x" * 10_000,
        "word " * 3_000,
        "\u0301",
        "%",
        "{{7*7}}",
        "<script>alert(1)</script>",
        "\ud83d",
        "44,5",
        "𝒜",
        " ",
        "\u202e",
        "0x1F",
    ],
)
def test_odd_input_is_no_error(client, session, garage, typed):
    session.commit()
    for address in ("/search", "/search/results", "/search.json"):
        lone_surrogate = typed == "\ud83d"
        answer = client.get(address + "?q=%ED%A0%BD" if lone_surrogate else address + "?" + urlencode({"q": typed}))
        assert answer.status_code == 200, (address, typed[:20])
        assert address.endswith(".json") or "<script>alert" not in answer.text


@given(st.text(max_size=60), st.sampled_from(["", *FOUND, "nonsense"]))
@settings(max_examples=150, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_any_text_is_a_search_and_no_error(app, typed, kind):
    with reading(app.state.engine) as session:
        sheet = find(session, THINGS, typed, kind, page=1, limit=50, offset=0)
    assert all(len(group.results) <= 50 for group in sheet.groups)


@given(st.text(max_size=200))
@settings(max_examples=200)
def test_a_query_holds_nothing_but_quoted_words(typed):
    match = wanted(typed).match
    outside = "".join(match.split('"')[::2])
    assert set(outside) <= {" ", "*"}
    assert len(match) < 2000


def test_signs_between_keep_words_together():
    assert wanted("44,5 long-strut").match == '"44 5" "long strut" *'
    assert wanted('"quoted" OR x').match == '"quoted" "OR" "x"'


@pytest.mark.parametrize(
    "typed, expected", [("B27E", "b27e"), ("b27", ""), ("xyz1", ""), ("a" * 65, ""), (" b27e ", "b27e")]
)
def test_what_can_begin_a_fingerprint(typed, expected):
    assert fingerprint_beginning(typed) == expected


def test_one_kind_is_listed_in_pages(session, garage):
    for number in range(60):
        session.add(
            Attachment(
                kind="note",
                at="2026-04-12T12:00:00Z",
                text=f"buoy {number}",
                created_at="2026-04-12T12:00:00Z",
            )
        )
    session.flush()
    first = look(session, "buoy")
    assert [len(group.results) for group in first.groups] == [6] and first.groups[0].more
    alone = look(session, "buoy", "note")
    assert len(alone.groups[0].results) == 50 and alone.more
    rest = find(session, THINGS, "buoy", "note", page=2, limit=50, offset=50)
    assert len(rest.groups[0].results) == 10 and not rest.more
    seen = [piece.text for group in alone.groups for found in group.results for piece in found.snippet if piece.hit]
    assert set(seen) == {"buoy"}


def test_what_was_set_aside_is_found_and_said_to_be(client, session, garage):
    session.add(
        Attachment(
            kind="note",
            at="2026-04-12T12:00:00Z",
            text="heron",
            set_aside_at="2026-04-12T12:00:00Z",
            created_at="2026-04-12T12:00:00Z",
        )
    )
    session.commit()
    assert "set aside or retired" in client.get("/search?q=heron").text


def test_an_empty_search_tells_what_can_be_found(client):
    assert "Everything written is looked through" in client.get("/search").text


def test_a_log_is_found_by_the_name_of_its_file(session, garage):
    row = LogFile(sha256="0" * 64, name="weir-morning.gpx", kind="GPX", size_bytes=1, course_m=100.58, created_at=_NOON)
    session.add(row)
    session.flush()
    assert headings(session, "weir morning")["Logs"] == ["Log weir-morning.gpx"]
    found = next(group for group in look(session, "weir-morning.gpx").groups if group.heading == "Logs")
    assert found.results[0].address == f"/logs/{row.id}"
