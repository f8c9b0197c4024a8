"""The page of a modification with what was found and decided about it."""

from dataclasses import dataclass, fields

from garage.findings.changed import Found
from garage.modifications.sheets import ModificationSheet


@dataclass(frozen=True, kw_only=True)
class FoundModificationSheet(ModificationSheet):
    """One modification with its steps, and what is found about it; None while nobody asked."""

    found: Found | None


def found_sheet(plain: ModificationSheet, found: Found | None) -> FoundModificationSheet:
    """The sheet of the builder's room with what the findings say."""
    return FoundModificationSheet(**{each.name: getattr(plain, each.name) for each in fields(plain)}, found=found)
