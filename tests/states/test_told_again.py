"""The states of the demo's boats: found, listed and told once more from the rows in plain SQL."""

import json
import sqlite3

import pytest

from garage.errors import NotFound
from garage.hulls.store import hull
from garage.moments import Moment
from garage.runs import rests_store
from garage.states import gather, query_store
from garage.states.fold import fold, short, split_place
from garage.states.mending_store import mended_content_at, set_by
from garage.states.past_store import past_plan, plan_of_withdrawal
from garage.states.store import ChangeFormData, read_change
from garage.units import DisplayUnits

METRIC = DisplayUnits.metric()
HULLS = (1, 2, 3, 4)


def _live(rows, hull_id: int) -> list[sqlite3.Row]:
    """The states of a hull that did not give way, in order of time."""
    gone = {row["old_state_id"] for row in rows("SELECT old_state_id FROM supersession")}
    found = rows("SELECT * FROM build_state WHERE hull_id = ? ORDER BY made_at, number", hull_id)
    return [row for row in found if row["id"] not in gone]


def test_what_each_boat_is_in_now_and_was_in_at_any_time(demo_session, rows):
    assert {one.id for one in query_store.current_states(demo_session, HULLS).values()} == {
        live[-1]["id"] for one in HULLS if (live := _live(rows, one))
    }
    for hull_id in HULLS:
        live = _live(rows, hull_id)
        assert query_store.first_live_state(demo_session, hull_id).id == live[0]["id"]
        moments = [row["made_at"] for row in live]
        for utc in (*moments, *(f"{moment}~" for moment in moments), "9999"):
            expected = [row["id"] for row in live if row["made_at"] <= utc][-1]
            assert query_store.state_at(demo_session, hull_id, utc).id == expected
            later = [row["id"] for row in live if row["made_at"] > utc]
            assert [one.id for one in query_store.live_states_after(demo_session, hull_id, utc)] == later
        built = query_store.local_midnight(hull(demo_session, hull_id).built_on).utc
        assert query_store.state_at(demo_session, hull_id, "2000-01-01T00:00:00Z") is None
        assert query_store.state_at(demo_session, hull_id, built).id == live[0]["id"]


def test_states_are_listed_newest_first_page_by_page(demo_session, rows):
    for hull_id in HULLS:
        numbers = [n for (n,) in rows("SELECT number FROM build_state WHERE hull_id = ? ORDER BY number DESC", hull_id)]
        assert [one.number for one in query_store.states(demo_session, hull_id, limit=99)] == numbers
        assert [one.number for one in query_store.states(demo_session, hull_id, limit=2, offset=1)] == numbers[1:3]
        dates = query_store.state_dates(demo_session, hull_id, limit=3)
        assert dates == [
            (row["number"], Moment(row["made_at"], row["offset_min"]))
            for row in rows("SELECT * FROM build_state WHERE hull_id = ? ORDER BY number DESC LIMIT 3", hull_id)
        ]
        assert query_store.next_number_and_mark(demo_session, hull_id, "ab" * 32)[0] == max(numbers) + 1
        assert query_store.state_by_number(demo_session, hull_id, numbers[0]).number == numbers[0]
        with pytest.raises(NotFound):
            query_store.state_by_number(demo_session, hull_id, numbers[0] + 1)
    assert (
        query_store.next_number_and_mark(demo_session, 99, "ab" * 32)[0] == 1
        and query_store.current_state(demo_session, 99) is None
    )
    with pytest.raises(NotFound):
        query_store.state(demo_session, 9999)


def test_fingerprints_lead_to_their_states_newest_first(demo_session, rows):
    for row in rows("SELECT fingerprint, state_id FROM fingerprint"):
        found = query_store.states_with_fingerprint(demo_session, f" {short(row['fingerprint']).upper()} ")
        wanted = rows(
            "SELECT DISTINCT state_id FROM fingerprint WHERE substr(fingerprint, 1, 8) = ? ORDER BY state_id DESC",
            short(row["fingerprint"]),
        )
        assert [one.id for one in found] == [one["state_id"] for one in wanted]
    every = set()
    for digit in "0123456789abcdef":
        every |= {one.id for one in query_store.states_with_fingerprint(demo_session, digit, limit=99)}
    assert every == {one["state_id"] for one in rows("SELECT state_id FROM fingerprint")}
    assert len(query_store.states_with_fingerprint(demo_session, "0", limit=1)) <= 1


def test_each_state_is_its_parent_and_its_changes(demo_session, rows):
    for row in rows("SELECT id, parent_id, number, fingerprint FROM build_state WHERE parent_id IS NOT NULL"):
        state, parent = (query_store.state(demo_session, row[name]) for name in ("id", "parent_id"))
        changes = query_store.changes_of(demo_session, [state.id]).get(state.id, [])
        assert [one.position for one in changes] == list(range(len(changes)))
        folded = fold(map(read_change, changes), query_store.state_content(parent))
        assert folded == query_store.state_content(state)
        assert query_store.state_texts(demo_session, [state.id]) == {state.id: (row["number"], row["fingerprint"])}
    assert query_store.state_texts(demo_session, []) == {}


def test_the_lines_and_sheets_of_all_states(demo_session, rows):
    gone = {row["old_state_id"]: row for row in rows("SELECT * FROM supersession")}
    numbers = {row["id"]: row["number"] for row in rows("SELECT id, number FROM build_state")}
    lasts = {hull_id: _live(rows, hull_id)[-1]["id"] for hull_id in HULLS}
    for hull_id in HULLS:
        states = query_store.states(demo_session, hull_id, limit=99)
        current = query_store.current_state(demo_session, hull_id)
        ran = [row[0] for row in rows(
            "SELECT state.number FROM build_state AS state JOIN run ON state_id = state.id WHERE state.hull_id = ?",
            hull_id
        )] or [0]  # fmt: skip
        for state, line in zip(states, gather.lines_of(demo_session, states, METRIC), strict=True):
            way = gone.get(state.id)
            assert (line.id, line.number, line.made) == (state.id, state.number, query_store.moment_of(state))
            assert (line.mark, line.fingerprint, line.note) == (state.mark, state.fingerprint[:8], state.note)
            assert line.gave_way == (numbers[way["new_state_id"]] if way else None)
            assert line.taken_back == bool(way and way["new_state_id"] == state.parent_id)
            sheet = gather.sheet_of(demo_session, state, current, METRIC, rests_store)
            assert line.changes == [one.text for one in sheet.changes]
            assert (sheet.hull_id, sheet.state_id, sheet.is_current) == (hull_id, state.id, state.id == lasts[hull_id])
            assert sheet.is_frozen == (state.number <= max(ran))
            assert sheet.before == (numbers[state.parent_id] if state.parent_id else None)
            assert (sheet.gave_way and sheet.gave_way.number) == line.gave_way
            instead = [row["old_state_id"] for row in gone.values() if row["new_state_id"] == state.id]
            assert sorted(one.number for one in sheet.instead_of) == sorted(numbers[one] for one in instead)
            marks = [
                row["fingerprint"] for row in rows("SELECT * FROM fingerprint WHERE state_id = ? ORDER BY id", state.id)
            ]
            assert sheet.earlier_fingerprints == [one[:8] for one in marks if one != state.fingerprint]
            content = json.loads(state.content)
            assert {line.modification_id for line in sheet.content.fitted} == {int(key) for key in content["fitted"]}
            assert {(one.key, one.place) for group in sheet.content.settings for one in group.lines} == {
                split_place(key) for key in content["settings"]
            }
            assert [(one.kind, one.modification_id, one.part_id) for one in sheet.changes] == [
                tuple(row) for row in rows(
                    "SELECT kind, modification_id, part_id FROM change WHERE state_id = ? ORDER BY position", state.id
                )
            ]  # fmt: skip
        assert len(states) == len(rows("SELECT 1 FROM build_state WHERE hull_id = ?", hull_id))


def test_where_each_setting_came_from_is_its_latest_change_on_the_line_of_parents(demo_session, rows):
    parents = {row["id"]: row["parent_id"] for row in rows("SELECT id, parent_id FROM build_state")}
    for hull_id in HULLS:
        state = query_store.current_state(demo_session, hull_id)
        for key in query_store.state_content(state).settings:
            setting, place = split_place(key)
            at, found = state.id, []
            while at and not found:
                found = rows(
                    "SELECT id FROM change WHERE state_id = ? AND kind = 'set' AND setting = ? AND place = ?"
                    " ORDER BY position DESC",
                    at, setting, place,
                )  # fmt: skip
                at = parents[at]
            assert set_by(demo_session, state.id, setting, place) == found[0]["id"]
        assert set_by(demo_session, state.id, "of_old", "single") is None
        assert mended_content_at(demo_session, hull_id, "") == mended_content_at(demo_session, hull_id, "9999")
        assert mended_content_at(demo_session, hull_id, "2000-01-01T00:00:00Z").settings == {}


def test_a_plan_writes_anew_what_is_later_and_a_withdrawal_what_came_after(demo_session, rows):
    for hull_id in HULLS:
        live = _live(rows, hull_id)
        if len(live) < 3:
            continue
        at = Moment(live[-2]["made_at"], 0)
        form = ChangeFormData("set", setting="ballast", detail={"value": "20 g"})
        plan = past_plan(demo_session, hull_id, [form], at, "found later")
        assert plan.problems == () and plan.base.number == live[-2]["number"] and not plan.begins_anew
        put_in, *later = plan.states
        assert (put_in.old, put_in.made, put_in.note) == (None, at, "found later")
        assert [one.old.number for one in later] == [live[-1]["number"]]
        assert later[-1].content.settings["ballast@single"] == "20 g" and len(later[-1].mark) == 64
        last = live[-1]
        without = plan_of_withdrawal(demo_session, hull_id, last["number"])
        assert without.withdrawn.number == last["number"] and without.states == ()
        assert without.base.id == last["parent_id"]
