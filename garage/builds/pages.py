"""Pages of this room: build states, service, modifications, steps."""

from garage.builds import modification_pages, service_pages, state_pages, step_pages
from garage.builds.routes import pages

__all__ = ["modification_pages", "pages", "service_pages", "state_pages", "step_pages"]
