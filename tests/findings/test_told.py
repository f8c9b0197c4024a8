"""What other pages are told of findings, and how effects of a hull are put together."""

from types import SimpleNamespace as Made

import pytest
from sqlmodel import select

from garage.calc.effect.design import NothingToCompare
from garage.calc.effect.runs import EffectRun, PackUse
from garage.findings import store
from garage.findings.changed import decided_by_id, decided_on_hull, finding_news, found_about
from garage.findings.evidence.outcomes import OUTCOMES
from garage.findings.evidence.runs_store import _day_names, _mean, _silent, _told_apart
from garage.findings.hull_gather import _questions, _ties
from garage.findings.judge import question
from garage.findings.judging import _modifications, judge_hull
from garage.findings.subjects import Subject
from garage.findings.tables import Finding, FindingDecision, FindingResult
from garage.runs.counting import SpeedStanding
from garage.runs.tables import Run
from garage.units import DisplayUnits
from tests.seeded import NOW, at


@pytest.fixture
def asked(session, garage) -> Finding:
    """The question about the tabs, answered twice and decided twice."""
    hull, subject = garage.hulls["Medlar"], str(garage.modifications["Trim tabs"])
    found = store.ask(session, hull, "change", subject, NOW)
    for row in session.exec(select(FindingResult)):
        session.delete(row)
    session.flush()
    for number, (verdict, before) in enumerate((("gain", ""), ("loss", "gain"))):
        figures = {"ln": -0.01, "low_ln": -0.02, "high_ln": 0.005, "chance": 0.1, "wide_chance": 0.2, "runs": 9}
        outing = garage.outings[number]
        session.add(FindingResult(finding_id=found.id, outing_id=outing, at=at("05-01").utc, verdict=verdict,
                                  verdict_before=before, confirmed=False, **figures))  # fmt: skip
    told = {"offset_min": 0, "verdict": "loss", "numbers": "-1 %", "run_ids": "[1]"}
    for day, kind in (("05-02", "take off"), ("05-03", "test again")):
        decided = FindingDecision(finding_id=found.id, at=at(day).utc, kind=kind, reason=f"on {day}", **told)
        store.decide(session, decided)
    return found


def test_a_verdict_that_changed_is_told_once(session, asked):
    [one] = finding_news(session, changes=5, questions=0).changed
    assert (one.id, one.hull, one.title, one.verdict, one.before, one.retire) == (
        asked.id, "Medlar", "Trim tabs", "loss", "gain", "",
    )  # fmt: skip
    store.mark_noticed(session, asked.id, NOW.utc)
    session.flush()
    assert finding_news(session, changes=5, questions=0).changed == []


def test_decisions_are_told_with_their_figures_the_latest_first(session, asked):
    latest, by_id = decided_on_hull(session, asked.hull_id, 1, [1, 999])
    assert [(one.finding_id, one.kind, one.reason, one.verdict, one.numbers, one.title) for one in latest] == [
        (asked.id, "test again", "on 05-03", "loss", "-1 %", "Trim tabs")
    ]
    assert set(by_id) == {1} and by_id[1].kind == "take off" and by_id[1].at.day() == "2 May 2026"
    assert decided_by_id(session, [1]) == by_id and decided_by_id(session, []) == {}


def test_what_is_found_about_a_thing_is_its_last_answer_and_its_decisions(session, asked):
    found = found_about(session, asked.hull_id, "change", asked.subject)
    assert (found.finding_id, found.verdict, found.confirmed) == (asked.id, "loss", False)
    assert (found.percent, found.low, found.high) == pytest.approx((-0.995, -1.980, 0.501), abs=1e-3)
    assert found.judged.day() == "1 May 2026" and [one.kind for one in found.decisions] == ["test again", "take off"]
    assert found_about(session, asked.hull_id, "change", "999") is None
    new = store.ask(session, asked.hull_id, "setting", "strut_angle@single", NOW)
    bare = found_about(session, asked.hull_id, "setting", "strut_angle@single")
    assert (bare.finding_id, bare.verdict, bare.percent, bare.judged, bare.decisions) == (new.id, "", None, None, [])


def _row(name: str, *tied: str) -> Made:
    return Made(name=name, tied=list(tied))


@pytest.mark.parametrize(
    ("rows", "ties"),
    [
        ([_row("a"), _row("b")], [0, 0]), ([_row("a", "b"), _row("c"), _row("b")], [1, 0, 1]),
        ([_row("a", "b"), _row("b", "c"), _row("c"), _row("d", "e"), _row("e")], [1, 1, 1, 2, 2]),
        ([_row("a, per step", "b"), _row("b")], [1, 1]), ([_row("a", "elsewhere")], [0]), ([], []),
    ],
)  # fmt: skip
def test_effects_that_cannot_be_told_apart_are_of_one_tie(rows, ties):
    found = _ties(rows)
    groups = {tuple(place for place, each in enumerate(found) if each == tie) for tie in set(found) - {0}}
    expected = {tuple(place for place, each in enumerate(ties) if each == tie) for tie in set(ties) - {0}}
    assert groups == expected and [bool(each) for each in found] == [bool(each) for each in ties]
    assert sorted(set(found) - {0}) == list(range(1, len(groups) + 1))


def _gathered(*runs: tuple[str, str, float]) -> Made:
    made = {
        n: EffectRun(str(n), 60, "d1", (PackUse(pack),), prop, {"fin": fin, "strut": fin, "motor": fin})
        for n, (pack, prop, fin) in enumerate(runs)
    }
    names = {"modification:7": "fin", "setting:strut_angle@single": "strut", "part:3@single": "motor"}
    return Made(runs=made, names=names, props={"11": "P1", "12": "P2", "": "", "13": "P3"}, packs={21: "J", 22: "K"})


def test_whatever_differs_between_runs_is_asked_about_but_no_part():
    both = [("change", "7"), ("setting", "strut_angle@single")]
    assert _questions(_gathered(("J", "P1", 0.0), ("J", "P1", 1.0))) == both
    assert _questions(_gathered(("J", "P1", 0.0), ("K", "P1", 0.0))) == [("pack", "21"), ("pack", "22")]
    assert _questions(_gathered(("J", "P1", 0.0), ("J", "P2", 0.0))) == [("prop", "11"), ("prop", "12")]
    assert _questions(_gathered(("J", "P1", 0.0))) == []


def test_each_question_is_judged_with_its_own_choices_and_against_its_own_last_answer(session, asked, garage):
    hull, run = asked.hull_id, session.exec(select(Run)).first()
    other = store.ask(session, hull, "setting", "strut_angle@single", NOW)
    store.choose_run(session, asked.id, run.id, False, NOW.utc)
    store.choose_run(session, other.id, run.id, True, NOW.utc)
    strut = str(garage.modifications["Long strut"])
    judging = store.to_judge(
        session, {hull: [asked.subject, strut], garage.hulls["Quince"]: []}, garage.outings[1], NOW
    )
    found = {(one.asked.about, one.asked.subject): one for one in judging.questions[hull]}
    mine = found["change", asked.subject]
    assert (mine.choices, mine.last_verdict, mine.last_outing_id) == ({run.id: False}, "loss", garage.outings[1])
    assert mine.answer.verdict == "loss" and found["setting", "strut_angle@single"].choices == {run.id: True}
    bare = found["setting", "strut_angle@single"]
    assert (bare.last_verdict, bare.last_outing_id, bare.answer) == ("", None, None)
    # Nobody asked about the strut yet: it is written down, and stands first.
    new = judging.questions[hull][0]
    assert (new.asked.subject, new.choices, new.last_verdict, new.answer) == (strut, {}, "", None) and new.asked.id
    assert [one.asked.id for one in judging.questions[hull][1:]] == sorted(
        (one.asked.id for one in judging.questions[hull][1:]), reverse=True
    )
    assert judging.questions[garage.hulls["Quince"]] == []
    assert judging.last_id == max(row.id for row in session.exec(select(FindingResult)))


def test_of_more_questions_than_are_judged_the_latest_are_and_no_fewer(session, asked, garage, monkeypatch):
    more = [store.ask(session, asked.hull_id, "setting", f"{key}@single", NOW) for key in ("strut_angle", "ballast")]
    monkeypatch.setattr(store, "MOST_OF_A_HULL", 2)
    judging = store.to_judge(session, {asked.hull_id: []}, garage.outings[1], NOW)
    assert [one.asked.id for one in judging.questions[asked.hull_id]] == [more[1].id, more[0].id]


def test_of_a_hull_the_latest_twenty_modifications_are_asked_about_unasked():
    keys = [f"modification:{number}" for number in range(21)] + ["setting:strut_angle@single", "part:1@single"]
    assert _modifications(keys) == [str(number) for number in range(1, 21)]
    assert _modifications(keys[:20]) == [str(number) for number in range(20)]


@pytest.mark.parametrize(
    ("facts", "outcome", "why", "can_return"),
    [
        ({}, "speed", "", True), ({"aside": "x"}, "speed", "set aside: wrong boat", False),
        ({"aside": "x", "reason": ""}, "speed", "set aside", False),
        ({"measured": None}, "speed", "no speed written", False),
        ({"measured": None}, "motor", "no ", False),
        ({"counts": "does not count"}, "speed", "the speed does not count", True),
        ({"counts": "not known"}, "speed", "not known whether the speed counts", True),
        ({"counts": "asked"}, "speed", "", True), ({"counts": "counts"}, "speed", "", True),
        ({"counts": "does not count"}, "motor", "", True), ({"kind": "break-in"}, "speed", "a break-in run", True),
        ({"kind": "break-in"}, "motor", "a break-in run", True),
        ({"packs": []}, "speed", "its pack is not written", True),
        ({"packs": [], "not_known": "pack"}, "speed", "its pack is not known", True),
        ({"not_known": "state"}, "motor", "its build state is not known", True),
        ({"denied": "[1, 2]"}, "speed", "its log contradicts itself", False), ({"denied": "[1, 2]"}, "motor", "", True),
    ],
)  # fmt: skip
def test_why_a_run_does_not_speak_and_whether_it_may_be_put_in(facts, outcome, why, can_return):
    place = Made(counting=SpeedStanding(facts.get("counts", "")), denied=facts.get("denied"))
    row = Made(id=3, set_aside_at=facts.get("aside"), set_aside_reason=facts.get("reason", "wrong boat"),
               kind=facts.get("kind", "speed"), not_known=facts.get("not_known", ""))  # fmt: skip
    told = Made(places={3: place}, packs={3: facts.get("packs", ["J"])})
    said, may = _silent(row, facts.get("measured", 1.0), told, OUTCOMES[outcome])
    assert (said.startswith(why), bool(said), may) == (True, bool(why), can_return)


def test_two_things_of_one_name_and_two_outings_of_one_day_are_told_apart():
    names = {"modification:7": "fin", "part:3@left": "fin", "setting:a@single": "strut"}
    assert _told_apart(names) == {
        "modification:7": "fin (7)", "part:3@left": "fin (3)", "setting:a@single": "strut",
    }  # fmt: skip
    days = [Made(id=n, started_at=f"2026-05-0{day}T1{n}:00:00Z", offset_min=0) for n, day in ((2, 1), (1, 1), (3, 2))]
    assert _day_names(days) == {1: "1 May 2026", 2: "1 May 2026 (outing 2)", 3: "2 May 2026"}
    assert (_mean([1.0, None, 4.0]), _mean([None]), _mean([])) == (2.5, None, None)


def test_how_many_verdicts_another_outing_changed_is_told(session, asked, garage):
    assert judge_hull(session, asked.hull_id, garage.outings[-1], NOW, DisplayUnits()) == 1
    session.flush()
    # As it stands by then: judged once more for a later outing nothing changes, and for the same one nothing is news.
    assert judge_hull(session, asked.hull_id, garage.outings[-1], NOW, DisplayUnits()) == 0
    last = store.latest_results(session, [asked.id])[asked.id]
    # A question from which its owner took a run is judged without it.
    run = session.exec(select(Run).where(Run.hull_id == asked.hull_id, Run.speed_kmh > 0)).first()
    store.choose_run(session, asked.id, run.id, False, NOW.utc)
    judge_hull(session, asked.hull_id, garage.outings[-1], NOW, DisplayUnits())
    session.flush()
    assert store.latest_results(session, [asked.id])[asked.id].runs == last.runs - 1
    assert last.outing_id == garage.outings[-1] and last.verdict_before in ("loss", "") and last.verdict != "loss"


def test_a_setting_that_one_of_two_states_does_not_know_says_nothing_of_them():
    strut, height = "setting:strut_angle@single", "setting:strut_height@single"
    names = {"modification:7": "fin", strut: "strut", height: "height"}
    factors = ({"fin": 1.0, "strut": 1.0, "height": 4.0}, {"strut": 2.0, "height": 5.0})
    runs = {n: EffectRun(str(n), 60, "d1", factors=each) for n, each in enumerate(factors)}

    def asked_of(first: dict[str, float], second: dict[str, float]):
        about = Finding(id=1, hull_id=1, about="states", subject="1:2", created_at=NOW.utc)
        return question(Subject(about, "the two", (first, second)), Made(names=names, runs=runs))

    found = asked_of({strut: 1.0, height: 4.0}, {"modification:7": 1.0, strut: 1.0, height: 5.0})
    assert (found.before, found.after) == ({"fin": 0.0, "height": 4.0}, {"fin": 1.0, "height": 5.0})
    half = asked_of({strut: 1.0, height: 4.0}, {"modification:7": 1.0, height: 4.0})
    assert (half.before, half.after) == ({"fin": 0.0}, {"fin": 1.0})
    with pytest.raises(NothingToCompare, match="is not known in numbers on both"):
        asked_of({strut: 1.0}, {})
    with pytest.raises(NothingToCompare, match="do not differ in what sets the two build states apart"):
        asked_of({strut: 1.0}, {strut: 1.0})
