"""The small garage, as the tests of durability make it."""

from tests.durability.conftest import demo_pages, garage, small_garage

__all__ = ["demo_pages", "garage", "small_garage"]
