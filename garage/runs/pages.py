"""Pages of this room, from all its page modules."""

from garage.runs import insertion_pages
from garage.runs.routes import pages

__all__ = ["insertion_pages", "pages"]
