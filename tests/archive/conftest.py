"""The small garage and the demo, as the tests of durability make them."""

from tests.durability.conftest import demo, garage, small_garage

__all__ = ["demo", "garage", "small_garage"]
