"""Who is who in the demo: the numbers that the notebook gave to what the story calls by name or code."""

from dataclasses import dataclass, field


@dataclass(frozen=True)
class Names:
    """Row numbers by the story's names, filled as things are written down. Modifications go by hull and title."""

    hulls: dict[str, int] = field(default_factory=dict)
    props: dict[str, int] = field(default_factory=dict)
    packs: dict[str, int] = field(default_factory=dict)
    parts: dict[str, int] = field(default_factory=dict)
    supplies: dict[str, int] = field(default_factory=dict)
    waters: dict[str, int] = field(default_factory=dict)
    modifications: dict[tuple[str, str], int] = field(default_factory=dict)

    def owner(self, words: str) -> tuple[str, int]:
        """What `prop P1` or `hull Two Herons` stands for: kind and number. KeyError if there is no such thing."""
        kind, _, name = words.partition(" ")
        tables = {
            "hull": self.hulls,
            "prop": self.props,
            "pack": self.packs,
            "part": self.parts,
            "supply": self.supplies,
        }
        return kind, tables[kind][name]
