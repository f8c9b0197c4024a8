"""Pages of this room, from all its page modules."""

from garage.boats import state_pages
from garage.boats.routes import pages

__all__ = ["pages", "state_pages"]
