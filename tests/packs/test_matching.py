"""Sets of packs: the weaker member governs."""

from hypothesis import given
from hypothesis import strategies as st

from garage.packs.break_in import FLAGS, standing
from garage.packs.matching import Member, together


def member(code: str, **extra) -> Member:
    facts = {"cells_s": 3, "capacity_mah": 4000.0, "measured": False, "first_used_on": ""}
    facts |= {"standing": standing(9, 4, "", "2026-05-09")}
    return Member(code=code, **facts | extra)


def stands(discharges: int):
    return standing(discharges, 4, "", "2026-05-09")


MEMBERS = st.lists(
    st.builds(
        member, st.sampled_from("FGHJ"), cells_s=st.integers(1, 6), capacity_mah=st.floats(500, 8000),
        standing=st.builds(stands, st.integers(0, 9))
    ), min_size=2, max_size=4,
)  # fmt: skip


def test_series_adds_cells_and_keeps_the_smaller_capacity_and_parallel_the_other_way_round():
    pair = [member("F"), member("G", capacity_mah=3900.0)]
    assert (together(pair, "series").cells_s, together(pair, "series").capacity_mah) == (6, 3900)
    assert (together(pair, "parallel").cells_s, together(pair, "parallel").capacity_mah) == (3, 7900)


def test_the_weaker_member_is_named_with_its_reason():
    old = member("F", first_used_on="2024-03-01", standing=stands(40))
    small = member("G", capacity_mah=3400.0, measured=True, first_used_on="2025-06-01")
    words = together([old, small], "series").weaker
    assert words == [
        "G: lowest capacity, 3400 mAh measured",
        "F: most used, 40 discharges",
        "F: oldest, since 2024-03-01",
    ]


def test_equal_packs_have_no_weaker_member():
    assert together([member("F"), member("G")], "series").weaker == []


def test_different_cell_counts_in_parallel_are_warned_of():
    assert any("never" in words for words in together([member("F"), member("G", cells_s=4)], "parallel").cautions)


@given(MEMBERS)
def test_a_set_stands_no_better_than_any_of_its_members(members):
    flag = together(members, "series").flag
    assert FLAGS.index(flag) == min(FLAGS.index(one.standing.flag) for one in members)


@given(MEMBERS)
def test_the_order_of_members_does_not_matter(members):
    one, other = together(members, "series"), together(members[::-1], "series")
    assert (one.cells_s, one.capacity_mah, one.flag) == (other.cells_s, other.capacity_mah, other.flag)
