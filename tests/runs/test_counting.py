"""Whether a speed counts, beside which something happened: asked once, answered by a tap, and minded everywhere."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from sqlalchemy import text
from sqlmodel import select

from garage.corrections.store import corrections_of
from garage.db.engine import reading, writing
from garage.moments import Moment
from garage.runs.counting import SPOILED_SQL, Happened, does_not_count, standing_of
from garage.runs.fields import CAUSES, COUNTS, INCIDENTS, MAY_SPOIL, MAY_SPOIL_CAUSES
from garage.runs.lines.flags import NOBODY_KNOWS, STILL_ASKED, keeps_from_records
from garage.runs.lines.line import run_lines
from garage.runs.tables import Run
from tests.evening.filled import table_of
from tests.runs.conftest import make_world

_HAPPENED = st.lists(
    st.builds(Happened, st.sampled_from(INCIDENTS), st.sampled_from(("", *CAUSES)), st.booleans()), max_size=4
)


@given(st.sampled_from(("", *COUNTS)), _HAPPENED, st.booleans())
def test_an_answer_goes_before_a_tick_and_a_tick_before_the_question(answer, happened, has_speed):
    word = standing_of(answer, happened, has_speed).word
    if answer:
        assert word == answer
    elif any(one.spoiled for one in happened):
        assert word == "does not count"
    else:
        may = any(one.kind in MAY_SPOIL or one.cause in MAY_SPOIL_CAUSES for one in happened)
        assert word == ("asked" if may and has_speed else "")


@pytest.fixture
def runs(app) -> list[int]:
    with writing(app.state.engine) as session:
        world = make_world(session)
        times = (Moment(f"2026-05-09T{hour}:00:00Z", 0) for hour in (10, 11))
        return [
            world.run("J", started=time, speed_kmh=speed).id for time, speed in zip(times, (82.0, 95.0), strict=True)
        ]


def _flags(app, run_id: int) -> list[str]:
    with reading(app.state.engine) as session:
        return run_lines(session, [session.get(Run, run_id)])[0].flags


def _kept(app, run_id: int) -> tuple[bool, bool]:
    """Whether a run's speed is kept out, by the text of SQL and by the expression."""
    with reading(app.state.engine) as session:
        by_text = session.exec(select(Run.id).where(text(SPOILED_SQL))).all()
        return run_id in by_text, run_id in session.exec(select(Run.id).where(does_not_count())).all()


def test_a_speed_with_a_flip_is_asked_about_until_it_is_answered(app, client, runs):
    """On its page, at one tap; marked till then, kept out once it does not count, and every other answer kept."""
    run_id, at = runs[1], f"/runs/{runs[1]}"
    client.post(f"{at}/incidents", data={"i1_kind": "flip"})
    page = client.get(at).text
    assert "Flip: does this speed count?" in page and page.count('name="speed_counts"') == len(COUNTS)
    assert STILL_ASKED in _flags(app, run_id) and _kept(app, run_id) == (False, False)
    assert "asked: does it count?" in client.get("/records").text
    assert client.post(f"{at}/speed-counts", data={"speed_counts": "perhaps"}).status_code == 422
    client.post(f"{at}/speed-counts", data={"speed_counts": "does not count"})
    assert "spoiled by flip" in _flags(app, run_id) and _kept(app, run_id) == (True, True)
    assert f'href="{at}"' not in client.get("/records.json").text
    client.post(f"{at}/speed-counts", data={"speed_counts": "not known"})
    assert NOBODY_KNOWS in _flags(app, run_id) and _kept(app, run_id) == (False, False)
    # The edit form does not lose the answer, and a row of the evening shows it.
    assert "not known" in client.get(at).text
    with reading(app.state.engine) as session:
        (mended,) = corrections_of(session, "run", [run_id])[run_id]
    assert (mended.field, mended.old, mended.new) == ("speed_counts", "does not count", "not known")


def test_the_question_goes_with_the_incident_and_an_answer_stays(app, client, runs):
    at = f"/runs/{runs[0]}"
    client.post(f"{at}/incidents", data={"i1_kind": "other", "i1_cause": "weed or debris"})
    assert STILL_ASKED in _flags(app, runs[0])
    client.post(f"{at}/incidents/1/set-aside")
    assert STILL_ASKED not in _flags(app, runs[0]) and "does this speed count?" not in client.get(at).text
    client.post(f"{at}/incidents/1/bring-back")
    client.post(f"{at}/speed-counts", data={"speed_counts": "counts"})
    assert not {STILL_ASKED, NOBODY_KNOWS} & {*_flags(app, runs[0])}
    # A tick at what happens later is the newer word.
    client.post(f"{at}/incidents", data={"i1_kind": "flip", "i1_spoiled": "yes"})
    assert "spoiled by flip" in _flags(app, runs[0])


def test_the_evening_asks_in_the_rows_where_it_is_a_question(app, client, runs):
    client.post(f"/runs/{runs[1]}/incidents", data={"i1_kind": "prop strike"})
    with reading(app.state.engine) as session:
        outing = session.get(Run, runs[1]).outing_id
    page = client.get(f"/outings/{outing}/evening").text
    assert f'name="r{runs[1]}_speed_counts"' in page and f'name="r{runs[0]}_speed_counts"' not in page
    row = f"r{runs[1]}"
    typed = {name: value for name, value in table_of(page).items() if name.startswith(row)}
    client.post(f"/outings/{outing}/evening", data=typed | {f"{row}_speed_counts": "does not count"})
    assert any(keeps_from_records(flag) for flag in _flags(app, runs[1]))
    # The edit form of a run brings the answer along.
    assert '<option value="does not count" selected>' in client.get(f"/runs/{runs[1]}/edit").text
