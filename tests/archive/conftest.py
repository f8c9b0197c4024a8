"""The small garage, as the tests of durability make it."""

from tests.durability.conftest import garage, small_garage

__all__ = ["garage", "small_garage"]
