"""Pages of this room, from all its page modules."""

from garage.logs import log_pages, owner_pages, piece_pages
from garage.logs.routes import pages

__all__ = ["log_pages", "owner_pages", "pages", "piece_pages"]
