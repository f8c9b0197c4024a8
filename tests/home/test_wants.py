"""One list of wants: what may hurt stands first and is never behind the fold."""

from hypothesis import given
from hypothesis import strategies as st

from garage.home.wants import COULD_BE_DONE, DANGER, MAY_BE_LOST, MOST_SHOWN, WAITS, Want, in_order

RANKS = (DANGER, MAY_BE_LOST, WAITS, COULD_BE_DONE)


def want(rank: int, about: str = "a thing") -> Want:
    return Want(rank, about, "wants something", "/somewhere", "go")


@given(st.lists(st.sampled_from(RANKS), max_size=30))
def test_every_want_is_shown_or_counted_in_the_order_of_its_rank(ranks: list[int]):
    asked = [want(rank, str(place)) for place, rank in enumerate(ranks)]
    found = in_order(asked)
    both = [*found.shown, *found.more]
    assert sorted(one.about for one in both) == sorted(one.about for one in asked)
    assert [one.rank for one in both] == sorted(ranks)
    for rank in RANKS:
        of_rank = [int(one.about) for one in both if one.rank == rank]
        assert of_rank == sorted(of_rank), "lines of a rank stay in the order of the rooms"
    assert not any(one.rank == DANGER for one in found.more)
    assert len(found.shown) == min(len(ranks), max(MOST_SHOWN, ranks.count(DANGER)))


def test_what_is_behind_the_fold_is_counted_and_said_to_press_or_not():
    assert in_order([want(WAITS)] * 7).count_words == "4 more, none of them urgent"
    assert in_order([want(MAY_BE_LOST)] * 5).count_words == "2 more"
