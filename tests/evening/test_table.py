"""The evening table."""

import pytest
from sqlmodel import Session, select

from garage.corrections.tables import Correction
from garage.db.engine import writing
from garage.props.tables import PropEdition
from garage.runs.tables import Run, RunMove, RunPack, RunProp, RunTemperature
from tests.evening.filled import evening


def test_saving_an_untouched_table_changes_nothing(client, ids, look: Session):
    answer = client.post(f"/outings/{ids['outing']}/evening", data=evening(client, ids))
    assert "nothing was different" in answer.text
    assert look.exec(select(Correction)).first() is None and len(look.exec(select(Run)).all()) == 2


def test_blanks_are_filled_and_new_rows_written_in_one_save(client, ids, look: Session):
    first, second = ids["runs"]
    typed = evening(client, ids) | {
        f"r{first}_duration": "1:50", f"r{first}_p{ids['J']}_charge": "2100", f"r{first}_t_motor": "49",
        f"r{first}_after": "25", f"r{second}_ride": "4",
        "n1_pack": "l", "n1_speed": "79,5", "n1_note": "windy",
        "n2_pack_1": "J", "n2_speed": "80", "n2_clock": "13:30", "n2_t_pack": "41", "n2_p0_charge": "1900",
    }  # fmt: skip
    answer = client.post(f"/outings/{ids['outing']}/evening", data=typed)
    assert "2 changed, 2 written" in answer.text
    runs = look.exec(select(Run).order_by(Run.number)).all()
    assert [run.speed_kmh for run in runs] == [82.0, 82.0, 79.5, 80.0]
    assert (runs[0].duration_s, runs[1].ride_rating, runs[2].note) == (110, 4, "windy")
    assert (runs[2].speed_how, runs[2].ways, runs[2].passes) == ("display", "one way", 2)
    assert runs[1].started_at < runs[2].started_at < runs[3].started_at == "2026-05-09T13:30:00Z"
    assert look.get(RunPack, (first, ids["J"])).charge_mah == 2100
    assert look.get(RunPack, (runs[3].id, ids["J"])).charge_mah == 1900
    read = {one.run_id: one for one in look.exec(select(RunTemperature))}
    assert (read[first].temperature_c, read[first].seconds_after) == (49, 25)
    assert read[runs[3].id].pack_id == ids["J"]
    assert len(look.exec(select(RunProp)).all()) == 4
    assert look.exec(select(Correction)).first() is None


def test_what_stood_there_is_kept_as_a_correction(client, ids, look: Session):
    first = ids["runs"][0]
    typed = evening(client, ids) | {f"r{first}_speed": "84", "why": "misread"}
    client.post(f"/outings/{ids['outing']}/evening", data=typed)
    kept = look.exec(select(Correction)).one()
    assert (kept.field, kept.old, kept.new, kept.why) == ("speed_kmh", "82.0", "84.0", "misread")
    page = client.get(f"/runs/{first}").text
    assert "was <span" in page and "82.0 km/h" in page and "misread" in page


@pytest.mark.parametrize(
    ("cell", "text"),
    [
        ("r{0}_speed", "-3"),
        ("r{0}_speed", "quick 🚤"),
        ("r{0}_duration", "9" * 10000),
        ("r{0}_clock", "25:00"),
        ("r{0}_clock", "11:00"),
        ("r{0}_p{J}_charge", "5 kg"),
        ("r{0}_note", "x" * 10000),
        ("n1_pack", "Zebra"),
        ("n1_prop", "P99"),
        ("n1_clock", "noon"),
        ("n1_hull", "999"),
        ("n1_p0_rested", "4.1"),
    ],
)
def test_one_bad_cell_is_marked_and_nothing_is_half_saved(client, ids, look: Session, cell, text):
    first, second = ids["runs"]
    name = cell.format(first, J=ids["J"])
    typed = evening(client, ids) | {
        f"r{second}_ride": "5",
        "n1_pack": "L",
        "n1_speed": "80",
        "n1_note": "keep me",
    }
    typed |= {f"r{first}_duration": "60", f"r{second}_duration": "60"} if name.endswith("_clock") else {}
    answer = client.post(f"/outings/{ids['outing']}/evening", data=typed | {name: text})
    assert answer.status_code == 422
    assert f'id="e-{name}"' in answer.text
    if name not in (f"r{first}_note", "n1_hull"):
        assert f'value="{text}"' in answer.text
    assert "keep me" in answer.text
    assert len(look.exec(select(Run)).all()) == 2
    assert look.get(Run, second).ride_rating is None


def test_a_pack_used_at_the_same_time_in_two_rows_is_refused(client, ids, look: Session):
    typed = evening(client, ids) | {"n1_pack": "L", "n1_clock": "13:00", "n2_pack": "L", "n2_clock": "13:00"}
    answer = client.post(f"/outings/{ids['outing']}/evening", data=typed)
    assert answer.status_code == 422 and "Pack L was in run 3 at 13:00 already" in answer.text
    assert len(look.exec(select(Run)).all()) == 2


def test_a_run_of_another_outing_is_not_changed_here(client, ids):
    answer = client.post(f"/outings/{ids['outing']}/evening", data={"r999_here": "1"})
    assert answer.status_code == 404


def test_ratings_props_and_voltages_after_are_filled_in_the_table(client, ids, look: Session):
    first, second = ids["runs"]
    client.post("/props/new", data={"code": "P7", "size": "42x58", "blades": "2", "hand": "right", "condition": "good"})
    typed = evening(client, ids) | {
        f"r{first}_corner": "2", f"r{first}_acceleration": "5", f"r{first}_straight": "4",
        f"r{first}_p{ids['J']}_volts_1": "3.71", f"r{first}_p{ids['J']}_volts_2": "3.70",
        f"r{first}_p{ids['J']}_volts_3": "3,72", f"r{second}_p{ids['K']}_volts": "11.1",
        f"r{second}_prop_single": "P7",
    }  # fmt: skip
    answer = client.post(f"/outings/{ids['outing']}/evening", data=typed)
    assert "2 changed" in answer.text
    run = look.get(Run, first)
    assert (run.straight_rating, run.corner_rating, run.acceleration_rating) == (4, 2, 5)
    one, other = look.get(RunPack, (first, ids["J"])), look.get(RunPack, (second, ids["K"]))
    assert (one.end_v, one.volts_after) == (11.13, "[3.71, 3.7, 3.72]")
    assert (other.end_v, other.volts_after) == (11.1, "")
    moved = look.get(RunProp, (second, "single"))
    assert moved.edition_id != ids["edition"] and look.get(RunProp, (first, "single")).edition_id == ids["edition"]
    assert [(move.run_id, move.what) for move in look.exec(select(RunMove))] == [(second, "props")]
    assert look.exec(select(Correction)).first() is None


def test_two_packs_have_a_field_each_and_cells_stay_in_theirs(client, ids, look: Session):
    typed = evening(client, ids) | {
        "n1_pack_1": "J",
        "n1_pack_2": "l",
        "n1_clock": "13:30",
        "n1_p0_volts": "3.71 3.7 3.72",
    }
    assert "1 written" in client.post(f"/outings/{ids['outing']}/evening", data=typed).text
    new = look.exec(select(Run).order_by(Run.id.desc())).first()
    uses = look.exec(select(RunPack).where(RunPack.run_id == new.id)).all()
    assert {use.pack_id: use.volts_after for use in uses} == {ids["J"]: "[3.71, 3.7, 3.72]", ids["L"]: ""}
    stands = evening(client, ids)
    at = f"r{new.id}_p{ids['J']}_volts"
    assert [stands[name] for name in (at, f"{at}_1", f"{at}_2", f"{at}_3")] == ["", "3.71", "3.7", "3.72"]
    assert "nothing was different" in client.post(f"/outings/{ids['outing']}/evening", data=stands).text


@pytest.mark.parametrize(
    ("cell", "text"),
    [
        ("r{0}_p{J}_volts_2", "flat"),
        ("r{0}_prop_single", "P99"),
        ("r{0}_p{J}_volts", "3.7 3.7"),
        ("r{0}_p{J}_volts", "14.9"),
        ("r{0}_p{J}_volts", "flat"),
        ("r{0}_p{J}_rested", "4.1"),
        ("r{0}_p{J}_charge", "90000"),
        ("r{0}_corner", "9"),
    ],
)
def test_what_cannot_be_true_of_a_written_run_is_refused_in_its_cell(client, ids, look: Session, cell, text):
    name = cell.format(ids["runs"][0], J=ids["J"])
    answer = client.post(f"/outings/{ids['outing']}/evening", data=evening(client, ids) | {name: text})
    assert answer.status_code == 422 and f'id="e-{name}"' in answer.text


def test_the_prop_edition_of_a_run_stays_when_its_code_is_left_alone(client, ids, look: Session):
    with writing(client.app.state.engine) as session:
        old = session.get(PropEdition, ids["edition"])
        newer = PropEdition(
            prop_id=old.prop_id, number=2, diameter_mm=43, pitch_mm=66, made_at=old.made_at, created_at=old.created_at
        )
        session.add(newer)
    client.post(f"/outings/{ids['outing']}/evening", data=evening(client, ids) | {f"r{ids['runs'][0]}_ride": "3"})
    look.rollback()
    assert {use.edition_id for use in look.exec(select(RunProp))} == {ids["edition"]}
