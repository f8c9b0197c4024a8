"""What the charts of a pack's ageing are made of: every reading, a line from first to last, a limit once near."""

from types import SimpleNamespace as Made

import pytest

from garage.packs.ageing import charts
from garage.units import DisplayUnits

MILLIOHM = DisplayUnits({"resistance": "mΩ", "charge": "mAh"})
AMP_HOURS = DisplayUnits({"resistance": "Ω", "charge": "Ah"})
LINE = Made(value=lambda cycle: 2.0 + cycle / 10, band=lambda cycle: (1.0 + cycle / 10, 3.0 + cycle / 10))


@pytest.fixture
def drawn(monkeypatch) -> list:
    """What is handed on to be drawn."""
    found: list = []
    monkeypatch.setattr(charts, "scatter", lambda *told: found.append(told) or "drawn")
    return found


def _point(discharges: int, celsius: float | None) -> Made:
    return Made(discharges=discharges, temperature_c=celsius, at=Made(day=lambda: f"day {discharges}"))


def _cell(now: float | None = 2.5, limit: float | None = 4.0, line=LINE, brought=True) -> Made:
    first, last = _point(6, 20.0), _point(30, None)
    at_25 = [(first, Made(value=2.1)), (last, Made(value=2.4))] if brought else []
    return Made(number=2, raw=[(first, 2.2), (last, 2.6)], at_25=at_25, line=line, limit=limit,
                now=None if now is None else Made(value=now))  # fmt: skip


def test_a_cell_is_drawn_as_read_and_as_brought_to_25_degrees_with_its_trend(drawn):
    assert charts.cell_drawing(_cell(), MILLIOHM) == "drawn"
    [(marks, title, words, unit, below, line, limit)] = drawn
    assert [(mark.x, mark.y, mark.hollow) for mark in marks] == [
        (6, 2.2, True), (30, 2.6, True), (6, 2.1, False), (30, 2.4, False),
    ]  # fmt: skip
    assert [mark.words for mark in marks] == [
        "day 6: as read at 20 °C", "day 30: as read", "day 6: at 25 °C", "day 30: at 25 °C",
    ]  # fmt: skip
    assert (title, unit, below, limit) == (
        "Cell 2 by discharges",
        "mΩ",
        "discharges",
        4.0,
    ) and "Hollow: as read" in words
    assert line.points == [(6, 2.6), (30, 5.0)]
    # Twelve steps of two discharges.
    assert [x for x, _, _ in line.band] == [6.0 + 2 * step for step in range(13)]
    assert line.band[0][1:] == pytest.approx((1.6, 3.6)) and line.band[-1][1:] == pytest.approx((4.0, 6.0))


@pytest.mark.parametrize(
    ("cell", "limit"),
    [(_cell(2.41), 4.0), (_cell(2.39), None), (_cell(None), None), (_cell(9.0, None), None)],
)
def test_a_limit_is_drawn_once_the_last_reading_is_over_six_tenths_of_it(drawn, cell, limit):
    charts.cell_drawing(cell, MILLIOHM)
    assert drawn[0][-1] == limit


def test_without_a_trend_or_readings_at_25_degrees_there_is_no_line(drawn):
    charts.cell_drawing(_cell(line=None), MILLIOHM)
    charts.cell_drawing(_cell(brought=False), MILLIOHM)
    assert [told[-2] for told in drawn] == [None, None] and len(drawn[1][0]) == 2


def _capacity(count: int, line=None, limit=None) -> Made:
    tests = [Made(discharges=10 * n, charge_mah=4000.0 - 100 * n, at=Made(day=lambda: "day")) for n in range(count)]
    return Made(tests=tests, line=line, limit_mah=limit)


def test_capacity_is_drawn_from_two_tests_on_in_the_unit_preferred(drawn):
    assert charts.capacity_drawing(_capacity(1), MILLIOHM) == "" and not drawn
    charts.capacity_drawing(_capacity(2), MILLIOHM)
    charts.capacity_drawing(_capacity(3, Made(value=lambda x: 4000.0 - x), 3200.0), AMP_HOURS)
    plain, whole = drawn
    assert [(mark.x, mark.y, mark.hollow) for mark in plain[0]] == [(0, 4000, False), (10, 3900, False)]
    assert plain[-2:] == (None, None) and plain[1] == "Capacity by discharges" and plain[3:5] == ("mAh", "discharges")
    assert [mark.y for mark in whole[0]] == pytest.approx([4.0, 3.9, 3.8]) and whole[3] == "Ah"
    assert whole[-1] == pytest.approx(3.2) and whole[-2].points == [(0, pytest.approx(4.0)), (20, pytest.approx(3.98))]
    assert whole[-2].band == plain[-2] or not whole[-2].band
