"""The one list of routes that every page module of this room adds to."""

from garage.web.pages import Pages

pages = Pages()
