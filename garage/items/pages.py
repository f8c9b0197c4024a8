"""The pages of this room: lists of props, packs and drives, and each one's own page."""

from garage.items import drive_pages, label_pages, pack_choice_pages, pack_pages, prop_pages
from garage.items.routes import pages

__all__ = ["drive_pages", "label_pages", "pack_choice_pages", "pack_pages", "pages", "prop_pages"]
