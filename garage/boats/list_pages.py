"""The list of hulls: that of a collection, with what stands in the fields that a person added to them."""

from garage.hulls.kinds import HULLS
from garage.inventory.pages import add_list
from garage.states.own_store import own_settings
from garage.web.pages import Pages

pages = Pages()
add_list(pages, HULLS, own_settings)
