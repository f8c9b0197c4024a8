"""Pages of this room, from all its page modules."""

from garage.findings import answer_pages, ask_pages, closing_pages, decide_pages, plan_pages, prior_pages
from garage.findings.routes import pages

__all__ = ["answer_pages", "ask_pages", "closing_pages", "decide_pages", "pages", "plan_pages", "prior_pages"]
