"""A plugin of pytest: all of the program is loaded before tests are collected; no test is the first to load any."""

import pkgutil
from importlib import import_module

from tests.paths import ROOT


def pytest_collection() -> None:
    """Load it."""
    for found in pkgutil.walk_packages([str(ROOT / "garage")], "garage."):
        if not found.name.endswith(".__main__"):
            import_module(found.name)
