"""What can go wrong, each with words fit for a page."""


class GarageError(Exception):
    """Something the person can understand and act on; its text is shown as it stands."""


class NotFound(GarageError):
    """There is nothing under that address."""


class Conflict(GarageError):
    """What was asked goes against something already recorded."""


class UnusableData(GarageError):
    """The data folder or file cannot be used: foreign, newer, damaged, locked or not writable."""
