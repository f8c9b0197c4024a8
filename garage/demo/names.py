"""Who is who in the demo: the numbers that the notebook gave to what the story calls by name or code."""

from dataclasses import dataclass, field


@dataclass(frozen=True)
class Names:
    """Row numbers by the story's names, filled as things are written down.

    A modification is called `Brindle/Trim tabs`, an outing by its day, a run `2025-09-28 1`.
    """

    hulls: dict[str, int] = field(default_factory=dict)
    props: dict[str, int] = field(default_factory=dict)
    packs: dict[str, int] = field(default_factory=dict)
    parts: dict[str, int] = field(default_factory=dict)
    supplies: dict[str, int] = field(default_factory=dict)
    chargers: dict[str, int] = field(default_factory=dict)
    waters: dict[str, int] = field(default_factory=dict)
    modifications: dict[str, int] = field(default_factory=dict)
    outings: dict[str, int] = field(default_factory=dict)
    runs: dict[str, int] = field(default_factory=dict)

    def owner(self, words: str) -> tuple[str, int]:
        """Kind and number of what `prop P1` or `hull Two Herons` calls. KeyError if there is none."""
        kind, _, name = words.partition(" ")
        tables = {
            "hull": self.hulls,
            "prop": self.props,
            "pack": self.packs,
            "part": self.parts,
            "supply": self.supplies,
            "charger": self.chargers,
            "modification": self.modifications,
            "outing": self.outings,
            "run": self.runs,
        }
        return kind, tables[kind][name]
