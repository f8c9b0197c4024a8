"""Whether the two sides of a question were run one after the other only, so that whatever drifted looks like it."""

from garage.calc.effect.design import Design
from garage.calc.effect.sentences import side_words


def never_back(made: Design, can_go_back: bool) -> str:
    """That all runs of one side came before all of the other, in words; nothing where they were run in turn."""
    words = side_words(made.question)
    if not made.came_first:
        return ""
    first, then = (words.lacking, words.having) if made.came_first == "without" else (words.having, words.lacking)
    rest = f"Runs {first} once more would take that out." if can_go_back else "What was before cannot be run any more."
    return (
        f"First came all runs {first}, then all {then}, and never back: whatever else got better or worse meanwhile, "
        f"the driver above all, is counted in. {rest}"
    )
