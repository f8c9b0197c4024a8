"""The routes of this room, gathered by all of its page modules."""

from garage.web.pages import Pages

pages = Pages()
