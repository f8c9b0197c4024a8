"""Libraries that few tests need: imported when one is first asked something, not by every process that collects."""

from importlib import import_module
from typing import Any


class Late:
    """Stands for a module by its name."""

    def __init__(self, name: str) -> None:
        self._name = name

    def __getattr__(self, name: str) -> Any:
        return getattr(import_module(self._name), name)
