"""Pages of this room, from all its page modules."""

from garage.boats import hull_pages, modification_pages, state_pages
from garage.boats.routes import pages

__all__ = ["hull_pages", "modification_pages", "pages", "state_pages"]
