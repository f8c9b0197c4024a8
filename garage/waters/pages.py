"""Routes of waters: the set of pages of a collection."""

from garage.inventory.pages import add_pages
from garage.waters.kinds import WATERS
from garage.web.pages import Pages

pages = Pages()
add_pages(pages, WATERS)
