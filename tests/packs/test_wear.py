"""The quick look at a pack's readings lets none through that the exact one would speak against."""

import math
import random

import pytest

from garage.calc.ageing.temperature import ratio_to_reference
from garage.packs.ageing.trend import Point, ageing
from garage.packs.wear import may_be_worn, wear_of
from tests.packs.test_ageing import at


def readings(seed: int, count: int = 10) -> list[Point]:
    """A pack whose cells grew to between 1.0 and 2.4 times over its readings, at 10 to 34 °C."""
    draws = random.Random(seed)
    growth = [draws.choice((1.0, 1.3, 1.5, 1.8, 2.1, 2.4)) for _ in range(3)]
    points = []
    for number in range(count):
        celsius, done = draws.uniform(10, 34), number / (count - 1)
        constant = draws.choice((2000, 2600, 3500))
        cells = tuple(
            2.0 * g**done * math.exp(draws.gauss(0, 0.02)) * ratio_to_reference(celsius, constant) for g in growth
        )
        points.append(Point(at(7 * number), 8 * number, cells, celsius, draws.choice((50.0, 60.0, None))))
    return points


def plain(points: list[Point]) -> list[tuple[float | None, tuple[float, ...]]]:
    return [(point.temperature_c, point.cells_mohm) for point in points]


@pytest.mark.parametrize("limit", [None, 4.5])
def test_what_the_quick_look_lets_through_nothing_speaks_against(limit):
    found = {True: 0, False: 0}
    for seed in range(16):
        points = readings(seed)
        exact = ageing(points, limit).cells
        against = any(cell.at_limit or cell.ratio >= 1.5 for cell in exact)
        assert may_be_worn(plain(points), limit) or not against
        found[against] += 1
        if against:
            worn = wear_of(tuple(points), limit)
            assert worn.at_limit == tuple(cell.number for cell in exact if cell.at_limit)
            assert worn.ratios == tuple(cell.ratio for cell in exact)
    assert found[True] >= 3 and found[False] >= 3


def test_a_pack_that_reads_like_new_is_let_through_without_a_fit():
    steady = [Point(at(7 * n), 8 * n, (2.0, 2.1, 2.05), 20.0 + n % 4, 50.0) for n in range(20)]
    assert not may_be_worn(plain(steady), None) and wear_of(tuple(steady), None).at_limit == ()
    assert may_be_worn(plain(steady), 2.0)


def test_readings_without_a_temperature_speak_neither_way():
    unknown = [Point(at(n), n, (2.0, 9.0, 2.0), None, 50.0) for n in range(8)]
    assert not may_be_worn(plain(unknown), None) and not may_be_worn([], 3.0)
