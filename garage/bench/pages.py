"""All routes of the bench."""

from garage.bench import balance_pages, calculator_pages
from garage.bench.routes import pages

__all__ = ["balance_pages", "calculator_pages", "pages"]
