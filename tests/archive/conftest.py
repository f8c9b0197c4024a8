"""The small garage and the demo, as the tests of durability make them."""

from tests.durability.conftest import demo, demo_pages, garage, small_garage

__all__ = ["demo", "demo_pages", "garage", "small_garage"]
