"""Settling: proven where the readings fell and came to rest, and only there."""

import math
import random

from garage.calc.ageing.settling import settling


def readings(fell: float, count: int, noise: float, draws: random.Random, pace: float = 2.0):
    cycles = list(range(1, count + 1))
    return cycles, [2 * math.exp(fell * math.exp(-(one - 1) / pace) + draws.gauss(0, noise)) for one in cycles]


def proven(fell: float, count: int, noise: float) -> float:
    draws = random.Random(8)
    return sum(settling(*readings(fell, count, noise, draws)).cycle is not None for _ in range(60)) / 60


def test_a_flat_pack_is_seldom_taken_for_one_that_settled():
    assert proven(0.0, 8, 0.03) <= 0.1 and proven(0.0, 20, 0.03) <= 0.1


def test_a_clear_fall_is_proven():
    assert proven(0.2, 12, 0.03) >= 0.9


def test_a_small_fall_in_noise_is_not_proven_most_of_the_time():
    assert proven(0.04, 8, 0.05) <= 0.3


def test_when_it_had_settled_is_found_without_noise():
    found = settling(*readings(0.2, 14, 0.002, random.Random(2)))
    assert abs(found.cycle - (1 + 2 * math.log(10))) < 0.5 and abs(found.fell - math.expm1(0.2)) < 0.01


def test_a_rise_is_no_settling():
    cycles = list(range(1, 15))
    assert settling(cycles, [2 - 0.4 * math.exp(-(one - 1) / 2) for one in cycles]).cycle is None


def test_few_readings_prove_nothing():
    assert settling([1, 2, 3, 4, 5], [3, 2.5, 2.2, 2.1, 2.05]).cycle is None
    assert settling([1, 1, 1, 2, 2, 2], [3, 3, 3, 2, 2, 2]).cycle is None
