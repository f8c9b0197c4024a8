"""Every calculator by its name, in the order in which the bench lists them.

A calculator's module is loaded when it is first asked for, so that one question on the command line does not wait
for the physics of all the others.
"""

from collections.abc import Iterator, Mapping
from functools import cache

from garage.bench.definition import Calculator
from garage.loading import loaded

_MODULES = {
    "balances": ("balance", "two-scales"),
    "building": ("strip", "bottom-strip", "coating"),
    "props": ("pitch-speed", "slip", "tip-speed"),
    "motors": ("motor",),
    "packs": ("pack-load", "pack-heat", "resistance-at", "rest-voltage", "refill"),
    "runs": ("two-way", "runs-needed"),
    "changes": ("what-if",),
    "waters": ("planing", "water", "air"),
}
_MODULE_OF = {name: module for module, names in _MODULES.items() for name in names}


@cache
def calculators_in(module: str) -> Mapping[str, Calculator]:
    """The calculators that one module defines, by name."""
    found = loaded(f"garage.bench.calculators.{module}:CALCULATORS")
    return {one.name: one for one in found}


class _Catalog(Mapping[str, Calculator]):
    def __getitem__(self, name: str) -> Calculator:
        return calculators_in(_MODULE_OF[name])[name]

    def __iter__(self) -> Iterator[str]:
        return iter(_MODULE_OF)

    def __len__(self) -> int:
        return len(_MODULE_OF)


CALCULATORS: Mapping[str, Calculator] = _Catalog()
