"""What can go wrong, each with words fit for a page."""


class GarageError(Exception):
    """Something the person can understand and act on; its text is shown as it stands."""


class NotFound(GarageError):
    """There is nothing under that address."""


class Conflict(GarageError):
    """What was asked goes against something already recorded. `helps` are pages on which that is put right, each with
    what is done there."""

    def __init__(self, words: str = "", *helps: tuple[str, str]) -> None:
        super().__init__(words)
        self.helps = helps


class UnusableData(GarageError):
    """The data folder or file cannot be used: foreign, newer, damaged, locked or not writable."""
