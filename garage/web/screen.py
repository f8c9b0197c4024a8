"""How pages look on one screen: a phone in the sun needs black on white whatever its own palette says."""

from fastapi import Request

COOKIE = "garage_screen"
# What is kept, and how a person reads it. At the water the form of a run is larger as well.
SCREENS = {"": "as this screen is set", "bright": "bright, for the sun", "water": "water: bright, and a run in large"}
STAYS_S = 400 * 24 * 3600


def screen_of(request: Request) -> str:
    """What was chosen on this screen; '' for nothing that is known."""
    chosen = request.cookies.get(COOKIE, "")
    return chosen if chosen in SCREENS else ""
