"""The one list of routes that the bench's pages are added to."""

from garage.web.pages import Pages

pages = Pages()
