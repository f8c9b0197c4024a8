"""What nobody knows of a run any more: said, kept, told, and taken back by a newer answer."""

import pytest
from sqlmodel import Session, select

from garage.corrections.tables import Correction
from garage.db.engine import reading, writing
from garage.packs.tables import PackLog
from garage.runs.fields import FIELDS
from garage.runs.lines.missing import missing
from garage.runs.not_known import MAY_BE_UNKNOWN, not_known_of, not_known_text, not_known_words
from garage.runs.tables import Run, RunMove, RunPack
from garage.waters.tables import Outing
from tests.runs.conftest import make_world
from tests.runs.test_run_form import first_run, form_of

NOT_KNOWN = "not known"


@pytest.fixture
def ids(app):
    with writing(app.state.engine) as session:
        world = make_world(session)
        ids = {"medlar": world.medlar, "quince": world.quince, "outing": world.outing, "edition": world.edition}
        return ids | world.packs


@pytest.fixture
def look(app):
    with reading(app.state.engine) as session:
        yield session


def edited(client, run_id: int, **typed):
    """Save the edit form as it is shown, but for what is `typed`."""
    form = form_of(client.get(f"/runs/{run_id}/edit").text)
    return client.post(f"/runs/{run_id}/edit", data=form | typed)


def written(client, ids, look: Session, **typed) -> Run:
    answer = client.post("/runs/new", data=first_run(client, ids, **typed))
    assert answer.status_code == 200
    return look.exec(select(Run).order_by(Run.id.desc())).first()


def test_the_words_have_one_order_and_no_others():
    assert not_known_text({"start", "pack"}) == "pack start" and not_known_of("pack start") == {"pack", "start"}
    assert not_known_words(MAY_BE_UNKNOWN)[2] == "build state not known" and not_known_text(()) == ""
    with pytest.raises(ValueError, match="boat"):
        not_known_text({"boat"})


def test_what_was_answered_is_not_asked_again():
    open_run = {field.column: None for field in FIELDS} | {"kind": "speed", "own_values": ""}
    asked = set(missing(open_run, (), 0, 0))
    answered = set(missing(open_run, (), 0, 0, MAY_BE_UNKNOWN))
    assert {"the speed", "the prop", "the pack"} <= asked and asked - answered == {"the speed", "the prop", "the pack"}


def test_a_new_run_says_what_is_not_known_without_a_script(client, ids, look: Session):
    said = {"speed": "", "speed_known": NOT_KNOWN, "start_known": NOT_KNOWN, "state_known": NOT_KNOWN}
    run = written(client, ids, look, pack=NOT_KNOWN, prop_single=NOT_KNOWN, **said)
    assert not_known_of(run.not_known) == {*MAY_BE_UNKNOWN} and run.speed_kmh is None
    page = client.get(f"/runs/{run.id}")
    assert all(words in page.text for words in not_known_words(MAY_BE_UNKNOWN)) and "the pack" not in page.text
    twin = client.get(f"/runs/{run.id}.json").json()
    assert twin["line"]["not_known"] == [*MAY_BE_UNKNOWN] and twin["line"]["start_known"] is False
    assert "start not known" in client.get(f"/runs/{run.id}/rebuild").text
    form = form_of(client.get(f"/runs/{run.id}/edit").text)
    assert (
        {form[f"{word}_known"] for word in ("pack", "speed", "start", "state")} == {form["prop_single"]} == {NOT_KNOWN}
    )
    assert "Saved" in edited(client, run.id).text
    look.rollback()
    assert look.exec(select(Correction)).first() is None and look.get(Run, run.id).not_known == run.not_known


def test_two_answers_at_once_get_a_message_and_nothing_is_written(client, ids, look: Session):
    typed = {"speed_known": NOT_KNOWN, "start_known": NOT_KNOWN, "started": "2026-05-09T10:30"}
    answer = client.post("/runs/new", data=first_run(client, ids, **typed))
    assert answer.status_code == 422 and answer.text.count("which of the two?") >= 2
    assert look.exec(select(Run)).first() is None


def test_a_pack_is_given_up_and_said_again(client, ids, look: Session):
    run = written(client, ids, look, pack1_rested="12.5")
    assert look.get(RunPack, (run.id, ids["J"])).rested_v == 12.5
    refused = edited(client, run.id, pack_code_1="")
    assert refused.status_code == 422 and "say so beside it" in refused.text
    both = edited(client, run.id, pack_code_1="K", pack_known=NOT_KNOWN)
    assert both.status_code == 422 and "which of the two?" in both.text
    newer = edited(client, run.id, pack1_rested="12.4", pack_known=NOT_KNOWN)
    assert newer.status_code == 422 and "which of the two?" in newer.text
    assert "Saved" in edited(client, run.id, pack_known=NOT_KNOWN, why="mixed up").text
    look.rollback()
    run = look.get(Run, run.id)
    assert run.not_known == "pack" and look.exec(select(RunPack)).first() is None and run.cells_s is None
    assert look.exec(select(PackLog).where(PackLog.set_aside_at.is_(None))).first() is None, "it counts for no pack"
    [move] = look.exec(select(RunMove)).all()
    assert '"rested_v": 12.5' in move.from_value and move.to_value == "[]"
    page = client.get(f"/runs/{run.id}").text
    assert "pack not known" in page and "mixed up" in page
    assert "pack not known" in client.get("/records").text
    assert "Saved" in edited(client, run.id, pack_code_1="K").text
    look.rollback()
    assert look.get(Run, run.id).not_known == "" and look.exec(select(RunPack)).one().pack_id == ids["K"]
    said = [(one.old, one.new) for one in look.exec(select(Correction).where(Correction.field == "not_known"))]
    assert said == [("", "pack"), ("pack", "")]


def test_speed_start_and_state_are_given_up_in_the_edit_form(client, ids, look: Session):
    run = written(client, ids, look, started="2026-05-09T10:30")
    began = run.started_at
    edited(client, run.id, speed_known=NOT_KNOWN, start_known=NOT_KNOWN, state_known=NOT_KNOWN)
    look.rollback()
    run = look.get(Run, run.id)
    assert (run.speed_kmh, run.start_time_known, run.started_at) == (None, False, began)
    assert run.not_known == "state speed start"
    page = client.get(f"/runs/{run.id}").text
    assert (
        "start not known" in page and "10:30" not in page.split("Corrected")[0].split("mended")[0].split("Written")[0]
    )
    assert client.post(f"/runs/{run.id}/pin", data={"state": "1", "pin_why": "asked a friend"}).status_code == 200
    look.rollback()
    assert look.get(Run, run.id).not_known == "speed start"


def test_the_evening_takes_the_answer_and_shows_where_a_pack_is_asked_for(client, ids, look: Session):
    run = written(client, ids, look, pack="", speed="")
    [asked] = client.get(f"/outings/{run.outing_id}/evening.json").json()["rows"][-1:]
    assert (asked["run_id"], "pack" in asked["asked"], "the pack" in asked["missing"]) == (run.id, True, True)
    row = f"r{run.id}"
    cells = {
        f"{row}_here": "1",
        f"{row}_speed": NOT_KNOWN,
        f"{row}_prop_single": "Not known",
        f"{row}_clock": NOT_KNOWN,
    }
    new = {"n1_hull": str(ids["medlar"]), "n1_pack": NOT_KNOWN, "n1_speed": "51 mph"}
    assert "1 changed, 1 written" in client.post(f"/outings/{run.outing_id}/evening", data=cells | new).text
    look.rollback()
    assert look.get(Run, run.id).not_known == "prop speed start"
    other = look.exec(select(Run).order_by(Run.id.desc())).first()
    assert (other.not_known, other.speed_typed) == ("pack", "51 mph")
    page = client.get(f"/outings/{run.outing_id}/evening").text
    assert page.count('value="not known"') >= 3 and 'value="51 mph"' in page


def test_of_a_speed_that_nobody_knows_nothing_is_taken_over_of_how_it_was_read(client, ids, look: Session):
    run = written(client, ids, look, speed="", speed_known=NOT_KNOWN, speed_how="log", ways="both ways", course="100 m")
    assert (run.speed_how, run.ways, run.course_m) == ("", "", None)


def test_no_run_goes_into_an_outing_that_was_set_aside_meanwhile(client, ids):
    with writing(client.app.state.engine) as session:
        session.get(Outing, ids["outing"]).set_aside_at = "2026-05-09T20:00:00Z"
    answer = client.post("/runs/new", data={"hull": ids["medlar"], "outing": ids["outing"], "speed": "50"})
    assert answer.status_code == 422 and "set aside meanwhile" in answer.text
