"""Pages of this room: the records and the rebuild sheets."""

from garage.records import rebuild_pages, record_pages
from garage.records.routes import pages

__all__ = ["pages", "rebuild_pages", "record_pages"]
