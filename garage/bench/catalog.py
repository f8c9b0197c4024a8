"""Every calculator by its name, in the order in which the bench lists them."""

from collections.abc import Mapping
from types import MappingProxyType

from garage.bench.calculators import balances, building, motors, packs, props, runs, waters
from garage.bench.definition import Calculator

_ALL = (
    *balances.CALCULATORS,
    *building.CALCULATORS,
    *props.CALCULATORS,
    *motors.CALCULATORS,
    *packs.CALCULATORS,
    *runs.CALCULATORS,
    *waters.CALCULATORS,
)

CALCULATORS: Mapping[str, Calculator] = MappingProxyType({one.name: one for one in _ALL})
