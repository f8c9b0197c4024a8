"""The routes of this room, gathered from its page modules."""

from garage.web.pages import Pages

pages = Pages()
