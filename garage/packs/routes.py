"""The list of routes that the page modules of this room share."""

from garage.web.pages import Pages

pages = Pages()
