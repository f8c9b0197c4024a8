"""The pages of modifications and steps, as a person goes through them."""

import re

import pytest
from sqlalchemy import text

from garage.db.engine import writing
from garage.hulls.kinds import HULLS
from garage.inventory.store import add_row
from garage.moments import Moment
from garage.runs.form_data import RunFormData
from garage.runs.store import add_run
from garage.units import DisplayUnits
from garage.waters.form_data import outing_form
from garage.waters.outing_store import add_outing
from garage.waters.store import add_water
from tests.conftest import NOW


@pytest.fixture
def hull_id(app) -> int:
    form = {"name": "Tern", "kind": "mono", "length_mm": 700.0, "beam_mm": 230.0, "deadrise_deg": 18.0}
    with writing(app.state.engine) as session:
        hull = add_row(session, HULLS, form, Moment.of(NOW))
    return hull.id


@pytest.fixture
def tabs_id(client, hull_id) -> int:
    answer = client.post(
        f"/hulls/{hull_id}/modifications/new",
        data={"title": "Trim tabs", "purpose": "hold the bow down", "expected": "drier by a little",
              "permanence": "removable"},
    )  # fmt: skip
    assert answer.status_code == 200
    return int(re.search(r"/modifications/(\d+)", str(answer.url))[1])


STEPS = (
    {"action": "mark out", "what": "a pair of tabs on the sheet", "minutes": "10"},
    {"action": "cut", "what": "with the fret saw", "material": "Brass, sheet", "section": "sheet",
     "width": "30", "height": "1 mm", "length": "40", "count": "2", "adds_mass": "yes", "minutes": "0,5 h"},
    {"action": "bend", "what": "to 3°"},
    {"action": "drill", "what": "four holes of 3 mm"},
    {"action": "fit", "what": "screwed down on sealant", "adhesive": "Silicone sealant", "cure": "1 d"},
)  # fmt: skip


@pytest.fixture
def with_steps(client, tabs_id) -> int:
    for step in STEPS:
        assert client.post(f"/modifications/{tabs_id}/steps/new", data=step).status_code == 200
    return tabs_id


def sheet(client, modification_id: int) -> dict:
    return client.get(f"/modifications/{modification_id}.json").json()


def fit(client, modification_id: int, at: str = "2026-05-09T12:00", **more):
    return client.post(f"/modifications/{modification_id}/fit", data={"at": at, **more})


def run_on(app, hull_id: int) -> None:
    """Let a run rest on the hull's latest state."""
    at = Moment("2026-05-09T14:00:00Z", 0)
    with writing(app.state.engine) as session:
        water = add_water(session, {"name": "Hollow Mere"}, at)
        outing = add_outing(session, outing_form(water.id, at), at)
        add_run(session, RunFormData(hull_id, outing.id, started=at), Moment.of(NOW))


def test_the_tabs_weigh_what_hand_arithmetic_says_and_the_page_says_how(client, with_steps):
    # 2 × 30 × 1 × 40 mm³ of brass at 8530 kg/m³: 20.472 g
    totals = sheet(client, with_steps)["totals"]
    assert totals["mass"]["value"] == pytest.approx(20.472)
    assert totals["mass"]["from"] == "sum of 1 computed"
    assert totals["spent"]["value"] == pytest.approx(40)
    assert totals["hardening"]["value"] == pytest.approx(24)
    page = client.get(f"/modifications/{with_steps}").text
    assert "20.5" in page and "computed" in page


def test_a_weighed_mass_wins_and_both_stay(client, with_steps):
    step = sheet(client, with_steps)["steps"][1]
    client.post(f"/steps/{step['id']}/edit", data=STEPS[1] | {"mass_weighed": "19.8"})
    seen = sheet(client, with_steps)
    assert seen["steps"][1]["weighed"]["value"] == 19.8
    assert seen["steps"][1]["computed"]["value"] == pytest.approx(20.472)
    assert seen["totals"]["mass"]["value"] == pytest.approx(19.8)


def test_a_plan_becomes_work_under_way_then_fitted_then_taken_off(client, hull_id, with_steps):
    assert sheet(client, with_steps)["status"] == "planned"
    steps = sheet(client, with_steps)["steps"]
    client.post(f"/steps/{steps[0]['id']}/tick")
    assert sheet(client, with_steps)["status"] == "under way"
    answer = fit(client, with_steps, done=[str(step["id"]) for step in steps[1:]])
    assert answer.status_code == 200, answer.text
    seen = sheet(client, with_steps)
    assert seen["status"] == "fitted" and not seen["moved_on"]
    assert all(step["on_the_boat"] and step["done"] for step in seen["steps"])
    assert seen["history"][0]["what"] == "fitted"
    client.post(f"/modifications/{with_steps}/take-off", data={"at": "2026-05-09T13:00"})
    assert sheet(client, with_steps)["status"] == "taken off"
    assert client.get(f"/hulls/{hull_id}/modifications.json").json()["rows"][0]["status"] == "taken off"


def test_an_open_step_stays_open_when_it_is_not_ticked_while_fitting(client, with_steps):
    steps = sheet(client, with_steps)["steps"]
    fit(client, with_steps, done=[str(step["id"]) for step in steps[:3]])
    assert [step["on_the_boat"] for step in sheet(client, with_steps)["steps"]] == [True] * 3 + [False] * 2


def test_work_after_the_fitting_is_taken_in_by_a_rework(client, with_steps):
    fit(client, with_steps, done=[str(step["id"]) for step in sheet(client, with_steps)["steps"]])
    client.post(f"/modifications/{with_steps}/steps", data={"action": "seal", "what": "edges"})
    last = sheet(client, with_steps)["steps"][-1]
    assert not sheet(client, with_steps)["moved_on"]
    client.post(f"/steps/{last['id']}/tick")
    assert sheet(client, with_steps)["moved_on"]
    client.post(f"/modifications/{with_steps}/rework", data={"at": "2026-05-09T13:00"})
    seen = sheet(client, with_steps)
    assert not seen["moved_on"] and seen["steps"][-1]["on_the_boat"]
    assert [line["what"] for line in seen["history"]] == ["fitted", "reworked"]


def test_fitting_twice_is_refused_in_words_and_keeps_what_was_typed(client, with_steps):
    fit(client, with_steps)
    again = fit(client, with_steps, note="once more")
    assert again.status_code == 422
    assert "fitted already" in again.text and "once more" in again.text


def test_fitting_can_be_taken_back_from_the_notice(client, with_steps):
    answer = fit(client, with_steps, done=[str(step["id"]) for step in sheet(client, with_steps)["steps"]])
    undo = re.search(r'action="([^"]+)">(?:<input[^>]*>)?<button class="link">Take it back', answer.text)[1]
    assert client.post(undo, follow_redirects=False).status_code == 303
    seen = sheet(client, with_steps)
    assert seen["status"] == "under way"
    assert not any(step["on_the_boat"] for step in seen["steps"])


def test_a_dropped_modification_can_be_picked_up_again(client, tabs_id):
    client.post(f"/modifications/{tabs_id}/drop", data={"reason": "too heavy"})
    assert (sheet(client, tabs_id)["status"], sheet(client, tabs_id)["dropped_reason"]) == (
        "dropped",
        "too heavy",
    )
    assert fit(client, tabs_id).status_code == 422
    client.post(f"/modifications/{tabs_id}/pick-up")
    assert sheet(client, tabs_id)["status"] == "planned"


def test_a_step_in_one_line_is_enough(client, tabs_id):
    client.post(f"/modifications/{tabs_id}/steps", data={"action": "cut", "what": "tabs"})
    assert [step["what"] for step in sheet(client, tabs_id)["steps"]] == ["tabs"]


def test_steps_change_places_and_come_back_after_setting_aside(client, with_steps):
    def order():
        return [step["action"] for step in sheet(client, with_steps)["steps"]]

    ids = [step["id"] for step in sheet(client, with_steps)["steps"]]
    client.post(f"/steps/{ids[0]}/down")
    assert order() == ["cut", "mark out", "bend", "drill", "fit"]
    client.post(f"/steps/{ids[0]}/up")
    client.post(f"/steps/{ids[0]}/up")
    assert order() == ["mark out", "cut", "bend", "drill", "fit"]
    client.post(f"/steps/{ids[2]}/set-aside")
    assert order() == ["mark out", "cut", "drill", "fit"]
    client.post(f"/steps/{ids[2]}/bring-back")
    assert order() == ["mark out", "cut", "bend", "drill", "fit"]


def test_a_step_can_be_unticked_until_it_is_on_the_boat(client, with_steps):
    step_id = sheet(client, with_steps)["steps"][0]["id"]
    client.post(f"/steps/{step_id}/tick")
    client.post(f"/steps/{step_id}/untick")
    assert sheet(client, with_steps)["steps"][0]["done"] is None
    fit(client, with_steps, done=[str(step_id)])
    assert client.post(f"/steps/{step_id}/untick").status_code == 409


def test_a_step_that_a_run_rests_on_is_mended_beside_and_never_rewritten(app, client, hull_id, with_steps):
    ids = [step["id"] for step in sheet(client, with_steps)["steps"]]
    fit(client, with_steps, done=[str(step_id) for step_id in ids])
    run_on(app, hull_id)
    assert sheet(client, with_steps)["steps"][1]["frozen"]
    for act in ("set-aside", "up", "down", "untick"):
        assert client.post(f"/steps/{ids[1]}/{act}").status_code == 409, act
    refused = client.post(f"/steps/{ids[1]}/edit", data=STEPS[1] | {"width": "32"})
    assert refused.status_code == 422 and "A run rests on this step" in refused.text
    assert client.post(f"/steps/{ids[1]}/mend", data=STEPS[1] | {"width": "32"}).status_code == 422
    mended = client.post(f"/steps/{ids[1]}/mend", data=STEPS[1] | {"width": "32", "why": "misread the rule"})
    assert mended.status_code == 200, mended.text
    step = sheet(client, with_steps)["steps"][1]
    assert step["computed"]["value"] == pytest.approx(20.472 * 32 / 30)
    assert [tuple(slip[name] for name in ("what", "old", "new", "why")) for slip in step["mended"]] == [
        ("width", "30 mm", "32 mm", "misread the rule")
    ]
    assert not sheet(client, with_steps)["moved_on"]
    with app.state.engine.connect() as connection:
        assert connection.execute(text("SELECT width_mm FROM step WHERE id = :i"), {"i": ids[1]}).scalar() == 30


def test_mending_without_a_difference_is_refused(app, client, hull_id, with_steps):
    ids = [step["id"] for step in sheet(client, with_steps)["steps"]]
    fit(client, with_steps, done=[str(step_id) for step_id in ids])
    run_on(app, hull_id)
    answer = client.post(f"/steps/{ids[1]}/mend", data=STEPS[1] | {"why": "none"})
    assert answer.status_code == 422 and "Nothing differs" in answer.text


def test_an_own_material_is_remembered_with_its_density(client, tabs_id):
    own = {"action": "cut", "other_material": "Grey foam", "density": "0.045 g/cm³", "section": "rectangle",
           "width": "100", "height": "20", "length": "200", "adds_mass": "yes"}  # fmt: skip
    client.post(f"/modifications/{tabs_id}/steps/new", data=own)
    assert ["Grey foam", "Grey foam"] in client.get(f"/modifications/{tabs_id}/steps/new.json").json()["materials"]
    again = {name: value for name, value in own.items() if name not in ("other_material", "density")}
    client.post(f"/modifications/{tabs_id}/steps/new", data=again | {"material": "Grey foam"})
    # 100 × 20 × 200 mm³ = 400 cm³ at 0.045 g/cm³: 18 g each
    assert sheet(client, tabs_id)["totals"]["mass"]["value"] == pytest.approx(36)


def test_what_stands_in_the_form_of_a_step_reads_back_as_the_same_step(client, with_steps):
    before = sheet(client, with_steps)["steps"]
    for step in before:
        values = client.get(f"/steps/{step['id']}/edit.json").json()["values"]
        client.post(f"/steps/{step['id']}/edit", data=values)
    assert sheet(client, with_steps)["steps"] == before


def test_what_is_said_after_an_act_leaves_the_title_as_it_was_typed(client, hull_id):
    typed = {"title": "Trim tabs, longer", "permanence": "removable"}
    added = client.post(f"/hulls/{hull_id}/modifications/new", data=typed)
    assert "Planned for Tern: Trim tabs, longer" in added.text
    dropped = client.post(f"{added.url.path}/drop", data={"reason": "too heavy"})
    assert "Dropped: Trim tabs, longer" in dropped.text
    assert "Picked up again: Trim tabs, longer" in client.post(f"{added.url.path}/pick-up").text


def test_strakes_bring_the_class_rules_as_hints_and_no_error(client, hull_id):
    answer = client.post(f"/hulls/{hull_id}/modifications/new",
                         data={"title": "Outer strakes", "permanence": "permanent"})  # fmt: skip
    number = int(re.search(r"/modifications/(\d+)", str(answer.url))[1])
    wide = {
        "action": "cut",
        "section": "triangle",
        "width": "25",
        "height": "5",
        "length": "450",
        "count": "4",
    }
    assert client.post(f"/modifications/{number}/steps/new", data=wide).status_code == 200
    hints = sheet(client, number)["hints"]
    assert [hint["beyond"] for hint in hints if hint["beyond"]] == ["step 1: 25 mm wide"]
    assert "rule book" in client.get(f"/modifications/{number}").text


def test_glue_and_dust_bring_their_cautions(client, tabs_id):
    for step in ({"action": "bond", "what": "strip", "adhesive": "CA (instant glue)"},
                 {"action": "sand", "what": "flush", "material": "Basswood (lime)"}):  # fmt: skip
        client.post(f"/modifications/{tabs_id}/steps/new", data=step)
    hazards = [caution["key"] for caution in sheet(client, tabs_id)["cautions"]]
    assert hazards == ["ca_glue", "wood_dust"]


def test_glue_that_hardens_says_until_when(client, with_steps):
    step = sheet(client, with_steps)["steps"][4]
    client.post(f"/steps/{step['id']}/tick")
    seen = sheet(client, with_steps)["steps"][4]
    assert seen["is_hardening"] and seen["hardens_until"]["utc"] == "2026-05-10T14:30:00Z"


def test_the_step_sheet_has_a_box_for_every_step(client, with_steps):
    page = client.get(f"/modifications/{with_steps}/sheet").text
    assert page.count('class="tick"') >= len(STEPS)
    assert "<svg" in page and "thickness" in page


def test_the_mass_is_shown_while_typing(client, tabs_id):
    piece = {name: STEPS[1][name] for name in ("material", "section", "width", "height", "length", "count")}
    answer = client.get("/steps/mass", params=piece)
    assert answer.status_code == 200 and "20.5" in answer.text and "<html" not in answer.text
    assert "thickness, length" in client.get("/steps/mass", params={"section": "sheet", "width": "3"}).text
    assert "wall cannot be" in client.get("/steps/mass", params={"section": "tube", "diameter": "4", "wall": "3"}).text


WRONG = (
    ({"action": ""}, "action"),
    ({"action": "juggle"}, "action"),
    ({"action": "cut", "width": "-3"}, "width"),
    ({"action": "cut", "width": "0"}, "width"),
    ({"action": "cut", "width": "9e9 km"}, "width"),
    ({"action": "cut", "length": "12 g"}, "length"),
    ({"action": "cut", "length": "🚤"}, "length"),
    ({"action": "cut", "length": "1" * 10000}, "length"),
    ({"action": "cut", "what": "x" * 10000}, "what"),
    ({"action": "cut", "note": "x" * 10000}, "note"),
    ({"action": "cut", "density": "-1"}, "density"),
    ({"action": "cut", "material": "moon rock"}, "material"),
    ({"action": "cut", "material": "Balsa", "other_material": "Oak"}, "other_material"),
    ({"action": "cut", "section": "star"}, "section"),
    ({"action": "cut", "section": "tube", "diameter": "4", "wall": "3"}, "wall"),
    ({"action": "cut", "count": "0"}, "count"),
    ({"action": "cut", "count": "2.5"}, "count"),
    ({"action": "bond", "cure": "-2"}, "cure"),
    ({"action": "bond", "cure_temperature": "900"}, "cure_temperature"),
    ({"action": "paint", "coats": "many"}, "coats"),
    ({"action": "cut", "minutes": "-5"}, "minutes"),
    ({"action": "weigh"}, "mass_weighed"),
    ({"action": "weigh", "mass_weighed": "5,000"}, "mass_weighed"),
    ({"action": "other"}, "what"),
)


@pytest.mark.parametrize("typed, field", WRONG, ids=[f"{field}-{number}" for number, (_, field) in enumerate(WRONG)])
def test_a_wrong_field_of_a_step_gets_a_message_and_keeps_what_was_typed(client, tabs_id, typed, field):
    answer = client.post(f"/modifications/{tabs_id}/steps/new", data=typed | {"finish": "kept as typed"})
    assert answer.status_code == 422
    assert f'id="e-{field}"' in answer.text
    assert "kept as typed" in answer.text
    assert sheet(client, tabs_id)["steps"] == []


@pytest.mark.parametrize(
    "typed, field",
    [
        ({"title": ""}, "title"),
        ({"title": "x" * 10000}, "title"),
        ({"title": "tabs", "purpose": "x" * 10000}, "purpose"),
        ({"title": "tabs", "permanence": "perhaps"}, "permanence"),
        ({"title": "tabs", "permanence": "permanent", "trial": "yes"}, "permanence"),
    ],
)
def test_a_wrong_field_of_a_modification_gets_a_message(client, hull_id, typed, field):
    address = f"/hulls/{hull_id}/modifications/new"
    answer = client.post(address, data={"permanence": "removable", "notes": "kept as typed"} | typed)
    assert answer.status_code == 422
    assert f'id="e-{field}"' in answer.text and "kept as typed" in answer.text


@pytest.mark.parametrize("at", ["", "2030-01-01T10:00", "yesterday", "0001-01-01T00:00", "🚤", "x" * 10000])
def test_a_wrong_time_of_fitting_gets_a_message(client, with_steps, at):
    answer = fit(client, with_steps, at=at, note="kept as typed")
    assert answer.status_code == 422
    assert 'id="e-at"' in answer.text and "kept as typed" in answer.text
    assert sheet(client, with_steps)["status"] == "planned"


def test_emoji_in_words_are_welcome(client, tabs_id):
    client.post(f"/modifications/{tabs_id}/steps", data={"action": "cut", "what": "tabs 🚤"})
    assert "tabs 🚤" in client.get(f"/modifications/{tabs_id}").text


def test_a_wrong_quick_step_keeps_its_words(client, tabs_id):
    answer = client.post(f"/modifications/{tabs_id}/steps", data={"action": "", "what": "half a tab"})
    assert answer.status_code == 422 and "half a tab" in answer.text


NOT_THERE = (
    "/modifications/99",
    "/modifications/99/sheet",
    "/modifications/99/fit",
    "/modifications/99/steps/new",
    "/steps/99",
    "/steps/99/edit",
    "/steps/99/mend",
    "/hulls/99/modifications",
    "/hulls/99/modifications/new",
)


@pytest.mark.parametrize("address", NOT_THERE)
def test_what_is_not_there_is_said_to_be_not_there(client, address):
    assert client.get(address).status_code == 404


def test_a_note_attached_to_a_step_stands_on_the_step_s_page(client, with_steps):
    step_id = sheet(client, with_steps)["steps"][2]["id"]
    answer = client.post(f"/attachments/step/{step_id}", data={"attach_text": "annealed first, bent over a rod"})
    assert answer.status_code == 200
    assert "annealed first" in client.get(f"/steps/{step_id}").text


def test_fitting_before_a_run_that_is_written_down_is_refused_in_words(app, client, hull_id, with_steps):
    fit(client, with_steps)
    run_on(app, hull_id)
    client.post(f"/modifications/{with_steps}/take-off", data={"at": "2026-05-09T14:20"})
    answer = fit(client, with_steps, at="2026-05-09T13:00", note="forgotten")
    assert answer.status_code == 422
    assert "written down after that time" in answer.text and "forgotten" in answer.text


def test_the_list_comes_as_a_table_for_spreadsheets_too(client, hull_id, with_steps):
    answer = client.get(f"/hulls/{hull_id}/modifications.csv")
    assert answer.status_code == 200
    assert "Trim tabs" in answer.text and "mass [g]" in answer.text


def test_the_forms_read_well_in_inches_and_ounces(app, client, tabs_id):
    app.state.units = DisplayUnits.imperial()
    typed = STEPS[1] | {"width": "1 3/16", "height": "0.04", "length": "1 1/2", "count": "2"}
    assert client.post(f"/modifications/{tabs_id}/steps/new", data=typed).status_code == 200
    # 2 × 1.1875 × 0.04 × 1.5 in³ × 16387.064 mm³/in³ × 8.53e-3 g/mm³
    by_hand = 2 * 1.1875 * 0.04 * 1.5 * 16387.064 * 8.53e-3
    assert sheet(client, tabs_id)["totals"]["mass"]["value"] == pytest.approx(by_hand)
    assert "oz</span>" in client.get(f"/modifications/{tabs_id}").text


def test_work_written_down_later_carries_the_time_it_was_done(client, with_steps):
    step = sheet(client, with_steps)["steps"][4]
    address = f"/steps/{step['id']}/edit"
    assert client.post(address, data=STEPS[4] | {"done": "2026-04-02T18:30"}).status_code == 200
    work = sheet(client, with_steps)
    assert work["steps"][4]["done"]["utc"][:10] == "2026-04-02" and not work["totals"]["is_hardening"]
    assert client.get(address + ".json").json()["values"]["done"] == "2026-04-02T18:30"
    refused = client.post(address, data=STEPS[4] | {"done": "2031-01-01T10:00"})
    assert refused.status_code == 422 and 'id="e-done"' in refused.text
    client.post(address, data=STEPS[4])
    assert sheet(client, with_steps)["steps"][4]["done"] is None


def test_what_is_on_the_boat_stays_done(client, with_steps):
    step_id = sheet(client, with_steps)["steps"][0]["id"]
    fit(client, with_steps, done=[str(step_id)])
    refused = client.post(f"/steps/{step_id}/edit", data=STEPS[0])
    assert refused.status_code == 422 and "stays ticked" in refused.text


def test_done_steps_are_ticked_on_the_printed_sheet(client, with_steps):
    client.post(f"/steps/{sheet(client, with_steps)['steps'][0]['id']}/tick")
    page = client.get(f"/modifications/{with_steps}/sheet").text
    assert page.count('<span class="tick">✓</span>') == 1


def test_a_new_step_is_not_offered_a_place_before_one_that_a_run_rests_on(app, client, hull_id, with_steps):
    ids = [step["id"] for step in sheet(client, with_steps)["steps"]]
    fit(client, with_steps, done=[str(step_id) for step_id in ids])
    run_on(app, hull_id)
    for what in ("one more", "and another"):
        client.post(f"/modifications/{with_steps}/steps", data={"action": "sand", "what": what})
    page = client.get(f"/modifications/{with_steps}").text
    later = [step["id"] for step in sheet(client, with_steps)["steps"]][len(ids) :]
    assert f"/steps/{later[0]}/up" not in page and f"/steps/{later[0]}/down" in page
    assert f"/steps/{later[1]}/up" in page
