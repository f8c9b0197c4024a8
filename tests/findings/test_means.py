"""What the next runs may use, and what a question rests on: each rule of its own on both of its sides."""

import json
import re
from types import SimpleNamespace as Made

import pytest
from sqlmodel import select

from garage.calc.effect.planning.plans import Plan, Planned
from garage.calc.effect.priors import DEFAULT_PRIORS, Prior, meanings
from garage.calc.effect.runs import EffectRun, Factor, PackUse, Question
from garage.findings import store
from garage.findings.drawings import Bar, Ranked, parts_chart, ranked_chart, signed
from garage.findings.evidence.causes import cause_factor
from garage.findings.evidence.factor import factor, setting_number
from garage.findings.evidence.logged_store import Logged, corners_kept, logged_of
from garage.findings.evidence.outcome_values import Readings, measured
from garage.findings.evidence.outcomes import OUTCOMES, stretched
from garage.findings.evidence.ratings_gather import rating_sentences
from garage.findings.gather import verdict_words
from garage.findings.in_time import never_back
from garage.findings.plan.gather import _minutes
from garage.findings.plan.packs_store import UsablePacks, _charge_words, usable_packs
from garage.findings.plan.sides_store import Side, prop_now, sides_of
from garage.findings.plan.store import Means, Wanted, available
from garage.findings.tables import Finding, FindingDecision, FindingResult
from garage.logs.tables import LogCorner, LogFile, LogPiece
from garage.modifications.tables import Modification
from garage.packs.care import LastKnown
from garage.packs.tables import Pack
from garage.props.tables import Prop, PropEdition
from garage.runs.tables import Run, RunPack
from garage.units import DisplayUnits
from tests.seeded import NOW, at


def _given(question: Question, *runs: EffectRun, factors=()) -> Made:
    """An answer as far as planning asks it."""
    return Made(design=Made(question=question, runs=runs, factors=factors))


def _run(number: int, prop: str = "", packs=(), **factors: float) -> EffectRun:
    return EffectRun(str(number), 60.0, "d1", tuple(PackUse(each) for each in packs), prop, factors)


def _asked(subject: str = "", about: str = "change") -> Finding:
    return Finding(id=1, hull_id=1, about=about, subject=subject, created_at=NOW.utc)


@pytest.mark.parametrize(
    ("values", "keys"),
    [((2.0, 1.0, 2.0), ["1", "2"]), ((1, 2, 3, 4, 5), list("12345")), ((1, 2, 3, 4, 5.5, 6), ["1", "4", "6"])],
)
def test_of_a_setting_its_values_can_be_had_and_of_more_than_five_the_ends_and_the_middle(
    session, garage, values, keys
):
    runs = [_run(n, strut=float(value)) for n, value in enumerate(values)]
    found = sides_of(session, _asked(), _given(Question("setting", "strut"), *runs, _run(9)), Made(), {})
    assert list(found) == keys
    assert found["1"] == Side("strut 1", {"strut": 1.0})


@pytest.mark.parametrize(
    ("permanence", "on_her", "keys"),
    [
        ("permanent", 1.0, ["with"]), ("permanent", 0.0, ["with", "without"]), ("removable", 1.0, ["with", "without"]),
    ],
)  # fmt: skip
def test_a_change_can_be_taken_back_unless_it_is_glued_on(session, garage, permanence, on_her, keys):
    tabs = garage.modifications["Trim tabs"]
    session.get(Modification, tabs).permanence = permanence
    question = Question("change", "Trim tabs")
    found = sides_of(session, _asked(str(tabs)), _given(question), Made(names={}), {"Trim tabs": on_her})
    assert list(found) == keys and found["with"] == Side("with it", {"Trim tabs": 1.0})
    if len(keys) > 1:
        assert found["without"].factors == {"Trim tabs": 0.0}


@pytest.mark.parametrize(
    ("permanence", "on_her", "keys"),
    [("permanent", 1.0, ["later"]), ("permanent", 0.0, ["earlier", "later"]), ("removable", 1.0, ["earlier", "later"])],
)
def test_a_build_state_without_what_is_glued_on_does_not_come_back(session, garage, permanence, on_her, keys):
    tabs = garage.modifications["Trim tabs"]
    session.get(Modification, tabs).permanence = permanence
    names = {f"modification:{tabs}": "Trim tabs", "modification:9999": "gone", "part:1@single": "motor"}
    question = Question("states", "s", before={"Trim tabs": 0.0, "motor": 1.0}, after={"Trim tabs": 1.0, "motor": 0.0})
    now = {"Trim tabs": on_her, "gone": 1.0, "motor": 1.0}
    found = sides_of(session, _asked("1:2", "states"), _given(question), Made(names=names), now)
    assert list(found) == keys and found["later"] == Side("with the later state", question.after)


def test_packs_are_no_sides(session, garage):
    assert sides_of(session, _asked("1", "pack"), _given(Question("pack", "J", ("K",))), Made(), {}) == {}


@pytest.fixture
def props(session, garage) -> Made:
    """Runs with P1, then P2, then three more props, then a pair and none at all."""
    ids = {name: [number] for name, number in garage.editions.items()}
    for code in ("P3", "P4", "P5"):
        prop = Prop(code=code, printed_name=code, blades=2, created_at=NOW.utc)
        session.add(prop)
        session.flush()
        edition = PropEdition(prop_id=prop.id, number=1, made_at=NOW.utc, created_at=NOW.utc)
        session.add(edition)
        session.flush()
        ids[code] = [edition.id]
    keys = {"+".join(map(str, each)): name for name, each in ids.items()} | {"": ""}
    runs = {n: _run(n, name) for n, name in enumerate(["P1", "P2", "P3", "P4", "P5", "", "gone"])}
    return Made(props=keys, runs=runs, ids=ids)


def _edition(session, props: Made, name: str) -> PropEdition:
    return session.get(PropEdition, props.ids[name][0])


def test_the_next_runs_are_made_with_the_prop_that_ran_last_and_is_as_it_was(session, props):
    assert prop_now(session, props) == "P5"
    _edition(session, props, "P5").condition = "unusable"
    assert prop_now(session, props) == "P4"
    session.get(Prop, _edition(session, props, "P4").prop_id).retired_on = "2026-05-01"
    assert prop_now(session, props) == "P3"
    one = Made(props={k: n for k, n in props.props.items() if n in ("P1", "")}, runs={1: _run(1, "P1")})
    session.add(
        PropEdition(prop_id=_edition(session, props, "P1").prop_id, number=2, made_at=NOW.utc, created_at=NOW.utc)
    )
    session.flush()
    # What became of it.
    assert prop_now(session, one) == "P1 ed. 2" and prop_now(session, Made(props={}, runs={})) == ""


def test_a_prop_is_asked_about_with_two_others_that_ran_lately(session, props):
    def keys() -> list[str]:
        question = Question("prop", "P2", against=("P1", "P3", "P4"))
        found = sides_of(session, _asked("", "prop"), _given(question), props, {})
        assert all(side == Side(f"prop {name}", prop=name) for name, side in found.items())
        return list(found)

    assert keys() == ["P2", "P4", "P3"]
    _edition(session, props, "P3").condition = "unusable"
    assert keys() == ["P2", "P4", "P1"]
    _edition(session, props, "P2").condition = "unusable"
    assert keys() == ["P4", "P1"]


def _gathered(garage, *used: tuple[str, ...], retire=()) -> Made:
    """Runs of these packs, in their order, each with three cells in series."""
    runs = {n: EffectRun(str(n), 60, "d1", tuple(map(PackUse, each)), cells=3.0) for n, each in enumerate(used)}
    packs = {number: code for code, number in garage.packs.items()}
    return Made(runs=runs, packs=packs, facts=Made(retire=dict.fromkeys(retire, "worn")))


def _leads(session, gathered: Made) -> list[str]:
    return [each.lead for each in usable_packs(session, gathered)]


def test_packs_are_those_used_lately_the_latest_first_each_once(session, garage):
    found = usable_packs(session, _gathered(garage, ("J",), ("L",), (), ("K", "J"), ("K",)))
    assert [(each.lead, [use.pack for use in each.packs], each.cells) for each in found] == [
        ("K", ["K"], 3.0), ("L", ["L"], 3.0), ("J", ["J"], 3.0),
    ]  # fmt: skip
    # The very latest of them was K alone; of J and K together nothing is left to plan.
    assert _leads(session, _gathered(garage, ("J",), ("K", "J"))) == ["K"]
    assert _leads(session, _gathered(garage, ("J",), *[("K",)] * 29)) == ["K", "J"]
    assert _leads(session, _gathered(garage, ("J",), *[("K",)] * 30)) == ["K"]


def test_a_pack_out_of_use_or_to_be_retired_is_left_out_and_five_are_offered(session, garage):
    uses = [("J",), ("K",), ("L",)]
    assert _leads(session, _gathered(garage, *uses, retire=[garage.packs["K"]])) == ["L", "J"]
    session.get(Pack, garage.packs["L"]).retired_on = "2026-05-01"
    assert _leads(session, _gathered(garage, *uses)) == ["K", "J"]
    assert _leads(session, _gathered(garage, ("J", "L"))) == []
    for code in ("M", "N", "O", "P"):
        pack = Pack(code=code, cells_s=3, capacity_mah=4000, created_at=NOW.utc)
        session.add(pack)
        session.flush()
        garage.packs[code] = pack.id
    assert _leads(session, _gathered(garage, ("J",), ("K",), *[(code,) for code in "MNOP"])) == list("PONMK")


@pytest.mark.parametrize(
    ("last", "warm_c", "words"),
    [
        (None, None, ""), (LastKnown("look", "2026-05-01"), None, ""),
        (LastKnown("charge", "2026-05-01"), None, "charged on 1 May 2026 or after"),
        (LastKnown("run", "2026-05-01", put_back=True), None, "charged on 1 May 2026 or after"),
        (LastKnown("storage", "2026-05-01"), None, "at storage volts since 1 May 2026"),
        (LastKnown("run", "2026-05-01"), None, "emptied on 1 May 2026, no charge written since"),
        (LastKnown("run", "2026-05-01", seen_v=3.856), 20.0, "3.86 V a cell when last looked at"),
        (LastKnown("charge", "2026-05-01", seen_v=3.856), 99.0, "came back at 99 °C, over"),
    ],
)  # fmt: skip
def test_what_is_known_of_a_charge(last, warm_c, words):
    said = _charge_words(Pack(code="J"), last, warm_c)
    assert said.startswith(words) and bool(said) == bool(words)


def test_packs_that_run_together_are_named_with_what_comes_next():
    both = UsablePacks("J", (PackUse("J", 3), PackUse("K")), 6.0, "charged")
    assert both.words == "J, discharge 3 comes next and K; charged"
    assert UsablePacks("J", (PackUse("J"),), None, "").words == "J"


MEANS = Means(
    {"fin": 1.0}, "P1", {"a": Side("a", {"fin": 0.0}), "b": Side("b", {"fin": 1.0})},
    [UsablePacks("J", (PackUse("J", 3), PackUse("K")), 6.0, ""), UsablePacks("L", (PackUse("L"),), None, "")],
)  # fmt: skip
FIN = _given(
    Question("change", "fin"), _run(1, strut=2.0), _run(2, strut=3.0), _run(3),
    factors=(Factor("fin"), Factor("pad"), Factor("strut", True)),
)  # fmt: skip


def test_what_may_be_used_is_the_boat_as_she_is_and_what_can_be_changed():
    found = available(FIN, MEANS, Wanted())
    assert found.factors == {"fin": (1.0,), "pad": (0.0,), "strut": (3.0,)} and found.props == ("P1",)
    assert found.packs == {"J": 3, "L": None} and found.beside == {"J": (PackUse("K"),), "L": ()}
    assert found.states == ({"fin": 0.0}, {"fin": 1.0}) and found.cells == {"J": 6.0} and found.most_uses is None
    kept = available(FIN, MEANS, Wanted(sides=["b"], packs=["L"], once=True))
    assert kept.packs == {"L": None} and kept.states == ({"fin": 1.0},) and kept.most_uses == 1
    by_prop = Means({}, "P1", {"P2": Side("prop P2", prop="P2")}, MEANS.packs)
    assert available(FIN, by_prop, Wanted()).props == ("P2",)


@pytest.mark.parametrize(
    ("there", "wanted", "is_had"),
    [
        (MEANS, Wanted(sides=[]), False), (MEANS, Wanted(packs=[]), False), (Means({}, "", {}, []), Wanted(), False),
        (Means({}, "", MEANS.sides, []), Wanted(), True), (Means({}, "", {}, MEANS.packs), Wanted(), True),
    ],
)  # fmt: skip
def test_nothing_is_planned_where_nothing_is_left_to_run_with(there, wanted, is_had):
    assert (available(FIN, there, wanted) is not None) == is_had


@pytest.mark.parametrize(
    ("fin", "prop", "now", "minutes"),
    [
        (1.0, "P1", {"fin": 1.0}, 30), (0.0, "P1", {"fin": 1.0}, 45), (0.0, "P1", {}, 30),
        (1.0, "P2", {"fin": 1.0}, 45), (0.0, "P2", {"fin": 1.0}, 45),
    ],
)  # fmt: skip
def test_the_boat_as_she_is_may_need_a_change_before_the_first_run(fin, prop, now, minutes):
    plan = Plan((Planned({"fin": fin, "pad": 5.0}, prop, "J"),), 0.02, 0.01, 30)
    assert _minutes(plan, Means(now, "P1", MEANS.sides, [])) == minutes


@pytest.mark.parametrize(
    ("came_first", "can", "words"),
    [
        ("without", True, "all runs without it, then all with it, and never back.* Runs without it once more would"),
        ("with", True, "all runs with it, then all without it, .* Runs with it once more would take that out."),
        ("with", False, "all runs with it, .* What was before cannot be run any more."), ("", True, None),
    ],
)  # fmt: skip
def test_a_question_never_run_back_says_so(came_first, can, words):
    said = never_back(Made(question=Question("change", "fin"), came_first=came_first), can)
    assert said == "" if words is None else re.match(f"First came {words}", said)


def test_how_a_verdict_of_another_outcome_is_called():
    speed, heat = OUTCOMES["speed"], OUTCOMES["motor"]
    assert verdict_words("gain, but x", speed) == "gain, but x"
    assert [verdict_words(each, heat) for each in ("gain", "loss, but x", "probably a gain", "cannot tell yet")] == [
        "higher", "lower, but x", "probably higher", "cannot tell yet",
    ]  # fmt: skip


def _measured(key: str, *, speed=None, how="log", air=10.0, hottest=None, read=None, charges=()):
    uses = [RunPack(pack_id=1, charge_mah=charge) for charge in charges]
    outcome = OUTCOMES[key]
    spots = {} if hottest is None else {outcome.spot: hottest}
    row = Made(id=5, speed_kmh=speed, speed_how=how)
    found = measured(
        row, outcome, Made(air_c=air), read or Readings({}, {}), spots, uses, {1: Pack(cells_s=3)}, DisplayUnits()
    )
    return None if found is None else (pytest.approx(found.value), found.how)


@pytest.mark.parametrize(("how", "known"), [("log", "log"), ("display", "display"), ("by eye", "eye"), ("", "display")])
def test_a_speed_is_known_as_it_was_read(how, known):
    assert _measured("speed", speed=80.0, how=how) == (80.0, known) and _measured("speed", how=how) is None


@pytest.mark.parametrize("key", ["pack", "motor", "controller"])
def test_a_rise_is_over_the_air(key):
    assert _measured(key, hottest=45.5) == (35.5, "log") and _measured(key, hottest=10.5) == (0.5, "log")
    assert _measured(key, hottest=10.0) is _measured(key) is _measured(key, hottest=45.0, air=None) is None


def test_energy_for_a_km_is_of_the_log_or_else_of_the_charge_put_back():
    def read(energy) -> Readings:
        return Readings({5: Logged(2000.0, energy, None)}, {})

    assert _measured("energy", read=read(9.0), charges=[1000]) == (4.5, "log")
    # 1 Ah at 3.7 V a cell, three in series: 11.1 Wh, of which 1.5 % stay behind.
    for none in (None, 0.0, -1.0):
        assert _measured("energy", read=read(none), charges=[1000]) == (5.55 * 0.985, "charge")
    assert _measured("energy", read=read(None), charges=[1000, 500]) == (1.5 * 5.55 * 0.985, "charge")
    assert _measured("energy", read=read(None), charges=[1000, None]) is _measured("energy", read=read(None)) is None
    assert _measured("energy", charges=[1000]) is None
    assert _measured("corners", read=Readings({}, {5: 61.5})) == (61.5, "log") and _measured("corners") is None


def _piece(session, run_id: int, distance_m: float, energy_wh=None, *, log=None, top=50.0, heading=None, corners=()):
    """A piece of a log that saw a run, in a log of its own unless told."""
    if log is None:
        number = len(session.exec(select(LogFile)).all())
        log = LogFile(sha256=f"{number}", name="x", kind="gpx", size_bytes=1, course_m=100.0, created_at=NOW.utc)
        session.add(log)
        session.flush()
    found = {"distance_m": distance_m, "energy_wh": energy_wh, "top_heading_deg": heading}
    number = len(session.exec(select(LogPiece)).all())
    piece = LogPiece(
        log_id=log.id, number=number, run_id=run_id, start_s=0, end_s=9, top_kmh=top, found=json.dumps(found)
    )
    session.add(piece)
    session.flush()
    rest = {"entry_kmh": 60, "lowest_kmh": 40, "exit_kmh": 50, "radius_m": 9, "lateral_g": 1, "turned_deg": 90}
    session.add_all(LogCorner(piece_id=piece.id, number=n, kept_percent=kept, **rest) for n, kept in enumerate(corners))
    session.flush()
    return log


def test_of_the_logs_of_a_run_that_with_energy_and_the_longer_one_is_told(session, garage):
    runs = [row.id for row in session.exec(select(Run))][:6]
    _piece(session, runs[0], 49.9)
    _piece(session, runs[1], 50.0)
    _piece(session, runs[2], 900.0)
    _piece(session, runs[2], 800.0, 5.0)
    _piece(session, runs[3], 900.0, 5.0, heading=1.0)
    _piece(session, runs[3], 950.0, 4.0, heading=2.0)
    # Of two pieces of one log the way is added up, the heading is that of the faster one, and energy is of both.
    log = _piece(session, runs[4], 100.0, 1.0, top=60.0, heading=90.0)
    _piece(session, runs[4], 200.0, 2.0, log=log, top=50.0, heading=180.0)
    log = _piece(session, runs[5], 100.0, 1.0, top=None, heading=90.0)
    _piece(session, runs[5], 200.0, None, log=log, top=50.0, heading=180.0)
    assert logged_of(session, runs) == {
        runs[1]: Logged(50.0, None, None), runs[2]: Logged(800.0, 5.0, None), runs[3]: Logged(950.0, 4.0, 2.0),
        runs[4]: Logged(300.0, 3.0, 90.0), runs[5]: Logged(300.0, None, 180.0),
    }  # fmt: skip
    log.set_aside_at = NOW.utc
    session.flush()
    assert set(logged_of(session, runs)) == set(runs[1:5]) and set(logged_of(session, runs[:2])) == {runs[1]}


def test_two_corners_at_least_tell_what_was_kept_in_them(session, garage):
    runs = [row.id for row in session.exec(select(Run))][:3]
    _piece(session, runs[0], 100.0, corners=(70.0,))
    log = _piece(session, runs[1], 100.0, corners=(70.0, 50.0, 0.0))
    _piece(session, runs[2], 100.0, corners=(80.0, 0.0))
    assert corners_kept(session, runs) == {runs[1]: 60.0}
    log.set_aside_at = NOW.utc
    session.flush()
    assert corners_kept(session, runs) == {}


def test_outcomes_but_the_speed_expect_nothing_and_have_everything_wider():
    assert stretched(DEFAULT_PRIORS, 1.0) is DEFAULT_PRIORS
    wider = stretched(DEFAULT_PRIORS, 4.0)
    for name in meanings():
        own, usual = getattr(wider, name), getattr(DEFAULT_PRIORS, name)
        if name in ("sigma", "tau"):
            assert own == Prior(4 * usual.mean, usual.sd)
        else:
            assert own == Prior(0.0, 4 * usual.sd)
    spreads = {key: one.spread for key, one in OUTCOMES.items()}
    assert spreads == {"speed": 1, "pack": 6, "motor": 6, "controller": 6, "energy": 4, "corners": 3}
    assert {key for key, one in OUTCOMES.items() if one.more_is_better} == {"speed", "corners"}


@pytest.mark.parametrize(
    ("name", "value", "number"),
    [
        ("strut_angle", 2, 2.0), ("strut_angle", True, None), ("strut_angle", "2", None), ("strut_angle", None, None),
        ("balance_point", {"percent": 31.0, "mm": 230.0}, 31.0), ("balance_point", {"mm": 230.0}, None),
        ("balance_point", 31.0, 31.0), ("strut_angle", {"percent": 31.0}, None),
    ],
)  # fmt: skip
def test_a_setting_is_a_number_where_it_is_one(name, value, number):
    assert setting_number(f"{name}@single", value) == number


def test_a_factor_is_a_change_unless_it_is_a_setting_or_a_cause():
    assert factor("modification:1", "fin") == Factor("fin") and factor("part:1@single", "m") == Factor("m")
    assert factor("setting:strut_angle", "a").is_setting and factor("setting:own_999", "x") == Factor("x", True, 1.0)
    assert factor("own:999", "x") == cause_factor("own:999=some", "x") == Factor("x", is_setting=True)


def _rated(having: list[int | None], lacking: list[int | None]) -> list[str]:
    values = [*having, *lacking]
    runs = [_run(n) for n, _ in enumerate(values)]
    blank = dict.fromkeys(("straight_rating", "corner_rating", "acceleration_rating"))
    rows = {n: Made(ride_rating=value, **blank) for n, value in enumerate(values)}
    sides = Made(runs=runs, with_rows=range(len(having)), without_rows=range(len(having), len(values)))
    return rating_sentences(Made(design=sides), Made(rows=rows))


def test_ratings_of_both_sides_are_told_with_what_luck_may_do():
    [said] = _rated([5, 4, 5, 4, None], [1, 2, 1, 2, None])
    assert said.startswith(
        "Ride, from wet to dry: a run with is rated above a run without 100 times in 100 (ties half; "
    )
    assert "4 against 4 ratings), more than luck would do. By the order" in said
    [even] = _rated([3], [3, 4])
    assert "above a run without 25 times in 100" in even and "1 against 2 ratings), which luck alone may do." in even
    assert _rated([3], [None]) == _rated([None], [3]) == []


def _chart(svg) -> tuple[list[tuple[float, ...]], list[str]]:
    """Bars as x and width in percent, y and height in pixels, and what stands beside them."""
    rects = re.findall(r"<rect [^>]*>", str(svg))
    places = ("x", "width", "y", "height")
    pick = [tuple(float(re.search(rf'\b{name}="([-\d.]+)%?"', one)[1]) for name in places) for one in rects]
    return pick, re.findall(r">([^<>]+)</text>", str(svg))


def test_parts_stand_in_rows_each_from_where_the_last_ended():
    """From -1 to 5 over the whole width: the nought at a sixth of it. A name stands above its bar."""
    svg = parts_chart(4.0, [Bar("own", 5.0, True), Bar("b" * 35, -6.0), Bar("c" * 34, 5.04)], (1.0, 3.0), "km/h")
    bars, said = _chart(svg)
    # Beneath the own part stands its interval, so the rows below it begin 0.3 of a row further down.
    assert bars == [
        pytest.approx(one, abs=0.02)
        for one in ((100 / 6, 400 / 6, 27, 17), (100 / 6, 500 / 6, 75, 17), (0, 100, 137.4, 17), (0, 84, 185.4, 17))
    ]
    assert said[-8:] == ["seen", "+4.0", "own", "+5.0", "b" * 33 + "…", "−6.0", "c" * 34, "+5.0"]
    assert 'x1="33.33%" x2="66.67%" y1="93.9"' in svg and 'height="214"' in svg
    plain, _ = _chart(parts_chart(4.0, [Bar("own", 5.0, True), Bar("b", -6.0)], None, "km/h"))
    assert plain[2][2] == 75 + 48
    # What would be too thin to see is drawn all the same.
    assert _chart(parts_chart(4.0, [Bar("own", 0.001, True)], None, "km/h"))[0][1][1] == 0.3


def test_effects_stand_in_rows_with_their_figures():
    svg = str(ranked_chart([Ranked("a", 2.0, -1.0, 5.0, True), Ranked("b", -0.04, -0.5, 0.5, False)]))
    assert re.findall(r'<circle[^>]*cx="([\d.]+)%"[^>]*cy="([\d.]+)"', svg) == [("50", "35.5"), ("16", "83.5")]
    assert re.findall(r">([^<>]+)</text>", svg) == ["a", "+2.0 %", "b", "0 %"]
    # Names begin at the left edge, figures end at the right one.
    assert re.findall(r'<text[^>]* x="(\d+%?)"', svg) == ["0", "100%", "0", "100%"]


@pytest.mark.parametrize(
    ("value", "digits", "text"), [(1.25, 1, "+1.2"), (-1.26, 1, "−1.3"), (0.04, 1, "0"), (-0.04, 2, "−0.04")]
)
def test_a_signed_figure(value, digits, text):
    assert signed(value, digits) == text


def _changed(session) -> list:
    """The answers whose verdict changed and that nobody has seen."""
    return [row for row in store.unnoticed_and_open(session, changes=9, questions=9) if row[3]]


def test_questions_are_kept_once_and_answers_and_decisions_are_read_the_latest_first(session, garage):
    hull = garage.hulls["Medlar"]
    first, second = (store.ask(session, hull, "pack", str(garage.packs[code]), NOW) for code in "JK")
    assert store.ask(session, hull, "pack", str(garage.packs["J"]), NOW).id == first.id
    asked = [one.id for one in store.findings_of(session, hull)]
    assert (
        asked == sorted(asked, reverse=True)
        and [one.id for one in store.findings_of(session, hull, limit=1)] == asked[:1]
    )
    assert [one.id for one in store.findings(session, limit=1, offset=1)] == asked[1:2]

    def result(number: int, verdict: str, before: str, noticed=None) -> FindingResult:
        return FindingResult(finding_id=first.id, outing_id=garage.outings[number], at=NOW.utc, verdict=verdict,
                             verdict_before=before, confirmed=False, ln=0.01, low_ln=0, high_ln=0.02, chance=0.9,
                             wide_chance=0.8, runs=4, noticed_at=noticed)  # fmt: skip

    store.keep_results(session, [result(0, "gain", ""), result(1, "loss", "gain"), result(2, "loss", "loss")], [], None)
    assert [row.outing_id for row in store.results_of(session, first.id, limit=2)] == garage.outings[2:0:-1]
    assert store.latest_results(session, [first.id, second.id])[first.id].outing_id == garage.outings[2]
    [(changed, about, *_)] = _changed(session)
    assert (changed.verdict, changed.verdict_before, about.id) == ("loss", "gain", first.id)
    store.mark_noticed(session, second.id, NOW.utc)
    assert _changed(session)
    store.mark_noticed(session, first.id, NOW.utc)
    session.flush()
    assert _changed(session) == []
    told = {"offset_min": 0, "kind": "test again", "reason": "r", "verdict": "gain", "numbers": "", "run_ids": "[2, 1]"}
    rows = [
        store.decide(session, FindingDecision(finding_id=one.id, at=at(day).utc, **told))
        for one, day in ((first, "05-01"), (second, "05-03"), (first, "05-02"))
    ]
    assert [row.id for row in store.decisions_of(session, [first.id])] == [rows[2].id, rows[0].id]
    latest, all_ = store.decisions_on_hull(session, hull, [rows[0].id], limit=2)
    assert [row.id for row, _ in latest] == [rows[1].id, rows[2].id] and len(all_) == 3
    store.set_decision_aside(session, first.id, rows[2].id, NOW.utc)
    session.flush()
    assert [row.id for row in store.decisions_of(session, [first.id, second.id])] == [rows[1].id, rows[0].id]
    assert store.runs_as_stood(rows[0]) == [2, 1]
