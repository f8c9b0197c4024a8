"""Pages of this room."""

from garage.web.pages import Pages

pages = Pages()
