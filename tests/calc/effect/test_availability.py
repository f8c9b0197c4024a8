"""What the next runs may use, as typed and as seen."""

import pytest

from garage.calc.effect.availability import available_from
from garage.calc.effect.runs import EffectRun, Factor, PackUse
from garage.calc.effect.table import TableFault

TABS, HEIGHT = Factor("tabs"), Factor("height", is_setting=True)


def _run(number: int, pack: str = "A", discharge: int | None = None, prop: str = "P1", cells=None, **factors: float):
    return EffectRun(str(number), 60.0, "d1", (PackUse(pack, discharge),), prop, factors, cells=cells)


RUNS = [
    _run(1, "A", 3, tabs=0, height=1.0, cells=4), _run(2, "B", None, "P2", tabs=1, height=2.0),
    _run(3, "A", 1, tabs=1, height=4.0), _run(4, "C", None, tabs=1, height=2.0, cells=6),
]  # fmt: skip


def test_without_words_all_that_was_seen_can_be_used():
    found = available_from("", RUNS, [TABS, HEIGHT])
    assert found.factors == {"tabs": (0, 1), "height": (1.0, 2.0, 4.0)} and found.props == ("P1", "P2")
    # The discharge after the highest one; a settled pack has none.
    assert found.packs == {"A": 4, "B": None, "C": None} and found.cells == {"A": 4, "C": 6}


def test_what_is_named_goes_before_what_was_seen():
    found = available_from(" pack = B, A ; prop=P2;tabs=1; pack_cycle=A:9,B:1;height=1,5;", RUNS, [TABS, HEIGHT])
    assert (found.factors, found.props) == ({"tabs": (1.0,), "height": (1.0, 5.0)}, ("P2",))
    assert found.packs == {"B": 1, "A": 9}
    assert available_from("pack=D", RUNS, [TABS]).packs == {"D": None}


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("wind=3", "wind is neither"), ("tabs", "not of the form name=value"), ("tabs=", "not of the form name=value"),
        ("tabs=x", "needs numbers"), ("tabs=2", "is a change: 0 or 1"),
        ("pack_cycle=A", "not of the form pack:discharge"),
        ("pack_cycle=A:0", "not of the form pack:discharge"), ("pack_cycle=A:x", "not of the form pack:discharge"),
        ("pack_cycle=D:3", "names D, which is none of the packs A, B, C"),
        ("pack=A;pack_cycle=B:3", "none of the packs A"),
    ],
)  # fmt: skip
def test_what_cannot_be_read_is_told(text, words):
    with pytest.raises(TableFault, match=words):
        available_from(text, RUNS, [TABS, HEIGHT])


def test_of_many_levels_five_even_ones_are_kept_both_ends_among_them():
    runs = [_run(number, height=float(number)) for number in range(9)]
    assert available_from("", runs, [HEIGHT]).factors == {"height": (0.0, 2.0, 4.0, 6.0, 8.0)}
    assert len(available_from("", runs[:5], [HEIGHT]).factors["height"]) == 5


def test_of_too_many_states_all_but_the_first_factors_stay_as_they_were_last():
    factors = [Factor(f"f{number}", is_setting=True) for number in range(5)]
    runs = [_run(n, **{one.name: float(n) for one in factors}) for n in range(4)]
    found = available_from("", runs, factors).factors
    # 4^5 are more than 500, 4^4 are not.
    assert [len(values) for values in found.values()] == [4, 4, 4, 4, 1] and found["f4"] == (3.0,)
