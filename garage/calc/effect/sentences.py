"""What moved together with the thing in question, in plain sentences."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from garage.calc.effect.design import Design
from garage.calc.effect.runs import EffectRun, Question
from garage.calc.effect.tangled import DAY, Alias, Budget

# A pack counts as young in a sentence up to this discharge.
_YOUNG = 4
_NAMES_LISTED = 4
# Shares of young packs on the two sides nearer than this are about alike: nothing follows.
_SHARES_APART = 0.1
# A shift of the answer below this many points is not worth a sentence.
_SMALLEST_SHIFT = 0.05


@dataclass(frozen=True)
class SideWords:
    """How the two sides are spoken of: "with it" and "without it", or by the code or setting in question."""

    having: str
    lacking: str


_MEASURED: dict[str, tuple[str, str, str, str, Callable[[EffectRun], float | None]]] = {
    "air": ("in warmer air", "in colder air", "warmer air", "K", lambda run: run.air_c),
    "wind": ("windier", "calmer", "more wind", "m/s", lambda run: run.wind_ms),
    "head wind": (
        "more against the wind",
        "less against the wind",
        "more head wind",
        "m/s",
        lambda run: run.headwind_ms,
    ),
    "pack temperature at the start": (
        "on a warmer pack",
        "on a colder pack",
        "warmer packs",
        "K",
        lambda r: r.pack_start_c,
    ),
    "rested volts": (
        "on fuller packs",
        "on emptier packs",
        "higher rested voltage",
        "V per cell",
        lambda r: r.rested_v_per_cell,
    ),
    "cells in series": ("on more cells", "on fewer cells", "more cells", "S", lambda run: run.cells),
    "surface of the water": (
        "on rougher water",
        "on smoother water",
        "rougher water",
        "steps",
        lambda run: run.surface_step,
    ),
    "water temperature": ("in warmer water", "in colder water", "warmer water", "K", lambda run: run.water_c),
}


def side_words(question: Question) -> SideWords:
    """The two sides in words."""
    name = question.name
    if question.about == "setting":
        return SideWords(f"with {name} at its highest", f"with {name} at its lowest")
    if question.about == "states":
        return SideWords("with the later state", "with the earlier state")
    if question.about in ("prop", "pack"):
        others = (
            f"{question.about} {' or '.join(question.against)}"
            if len(question.against) <= 3
            else f"other {question.about}s"
        )
        return SideWords(f"with {question.about} {name}", f"with {others}")
    return SideWords("with it", "without it")


def sentence(cause: str, made: Design, found: Budget) -> str:
    """One cause's part in the tangle, in words: how it lay on the two sides, and what a wrong assumption would do."""
    words = side_words(made.question)
    having = [made.runs[row] for row in made.with_rows]
    lacking = [made.runs[row] for row in made.without_rows]
    if cause == DAY:
        text = _days(having, lacking, words)
    elif cause == "break-in":
        text = _young(having, lacking, words)
    elif cause in ("prop", "pack"):
        text = _levels(cause, having, lacking, words)
    elif cause in _MEASURED:
        text = _measured(cause, having, lacking, words)
    else:
        text = _factor(cause, having, lacking, words)
    return " ".join(part for part in (text, _shift(cause, made, found)) if part)


def alias_sentence(alias: Alias, made: Design) -> str:
    """That some causes move exactly, or nearly, as the one in question does."""
    words = side_words(made.question)
    together = _first_up(listed(alias.causes))
    moved = f"as the runs went from {words.lacking} to {words.having}"
    if alias.is_exact:
        return f"{together} moved exactly {moved}: no sum can part them."
    return f"{together} together moved nearly {moved}."


def _days(having: Sequence[EffectRun], lacking: Sequence[EffectRun], words: SideWords) -> str:
    first, second = (list(dict.fromkeys(run.outing for run in side)) for side in (having, lacking))
    there = set(second)
    both = [day for day in first if day in there]
    if not both:
        return (
            f"No day has runs both {words.having} and {words.lacking}: "
            f"{words.having} on {listed(first)}; {words.lacking} on {listed(second)}."
        )
    in_all = len(set(first) | set(second))
    if len(both) == in_all:
        return "" if in_all == 1 else f"Every day has runs both {words.having} and {words.lacking}."
    days = "1 day has" if len(both) == 1 else f"{len(both)} days have"
    return f"Of {in_all} days, {days} runs both {words.having} and {words.lacking}."


def listed(names: Sequence[str]) -> str:
    """Names in a row, "d1, d2 and d3"; of many only the first few."""
    if len(names) > _NAMES_LISTED:
        return f"{', '.join(names[:_NAMES_LISTED])} and {len(names) - _NAMES_LISTED} more"
    return " and ".join([", ".join(names[:-1]), names[-1]]) if len(names) > 1 else "".join(names)


def _young(having: Sequence[EffectRun], lacking: Sequence[EffectRun], words: SideWords) -> str:
    young_with, young_without = (_count_young(side) for side in (having, lacking))
    counts = (
        f"{_of(young_without, len(lacking))} {words.lacking} were on a pack's first {_YOUNG} discharges, "
        f"{_of_the(young_with, len(having))} {words.having}"
    )
    share_with, share_without = young_with / len(having), young_without / len(lacking)
    if share_with < share_without - _SHARES_APART:
        return f"{counts}: the pack getting better looks like {made_better(words)}."
    if share_with > share_without + _SHARES_APART:
        return f"{counts}: a pack not yet broken in hides a part of it."
    return f"{counts}."


def made_better(words: SideWords) -> str:
    """ "prop P2 doing better", from "with prop P2"; what is only called "it" is the change."""
    made = words.having.removeprefix("with ")
    return f"{'the change' if made == 'it' else made} doing better"


def _count_young(side: Sequence[EffectRun]) -> int:
    return sum(any(use.discharge is not None and use.discharge <= _YOUNG for use in run.packs) for run in side)


def _of(count: int, in_all: int) -> str:
    if in_all == 1:
        return "The one run" if count else "Not the one run"
    return f"{count or 'None'} of the {in_all} runs"


def _of_the(count: int, in_all: int) -> str:
    if in_all == 1:
        return "and so was the one" if count else "not the one"
    return f"{count or 'none'} of the {in_all}"


def _levels(kind: str, having: Sequence[EffectRun], lacking: Sequence[EffectRun], words: SideWords) -> str:
    counts = [Counter(level for run in side for level in _levels_of(kind, run)) for side in (having, lacking)]
    told = [
        listed([f"{level or 'not written down'} ({count})" for level, count in side.most_common()]) for side in counts
    ]
    return f"{_first_up(kind)}s {words.having}: {told[0]}; {words.lacking}: {told[1]}."


def _levels_of(kind: str, run: EffectRun) -> list[str]:
    return [run.prop] if kind == "prop" else [use.pack for use in run.packs] or [""]


def _measured(cause: str, having: Sequence[EffectRun], lacking: Sequence[EffectRun], words: SideWords) -> str:
    higher, lower, more, unit, of = _MEASURED[cause]
    first, second = ([value for run in side if (value := of(run)) is not None] for side in (having, lacking))
    if not first or not second:
        return f"Nothing is known of the {cause} on one of the two sides."
    if min(first) > max(second):
        return f"Every run {words.having} was {higher}."
    if max(first) < min(second):
        return f"Every run {words.having} was {lower}."
    by = sum(first) / len(first) - sum(second) / len(second)
    if abs(by) < 0.005:
        return f"Runs {words.having} and {words.lacking} had the same {cause} on average."
    side = words.having if by > 0 else words.lacking
    return f"Runs {side} had {abs(by):.2g} {unit} {more} on average."


def _factor(cause: str, having: Sequence[EffectRun], lacking: Sequence[EffectRun], words: SideWords) -> str:
    first, second = ([run.factors[cause] for run in side if cause in run.factors] for side in (having, lacking))
    if set(first + second) <= {0.0, 1.0}:
        return (
            f"{_of(int(sum(first)), len(having))} {words.having} also had {cause}, "
            f"{_of_the(int(sum(second)), len(lacking))} {words.lacking}."
        )
    if not first or not second:
        return ""
    return (
        f"{cause} was {sum(first) / len(first):.3g} on average {words.having} and "
        f"{sum(second) / len(second):.3g} {words.lacking}."
    )


def _shift(cause: str, made: Design, found: Budget) -> str:
    terms = [term for term in found.terms if term.cause == cause and not term.is_own]
    if not terms or cause in ("prop", "pack"):
        return ""
    term = max(terms, key=lambda each: abs(each.shift * each.prior_sd))
    moved = 100 * term.shift * term.prior_sd
    if abs(moved) < _SMALLEST_SHIFT:
        return ""
    less = "less" if moved < 0 else "more"
    return (
        f"If {_effect_words(cause)} really were {100 * term.prior_sd:.2g} percent more than assumed, "
        f"it gained {abs(moved):.1f} {less}."
    )


def _effect_words(cause: str) -> str:
    return "the break-in" if cause == "break-in" else f"the effect of {cause}"


def _first_up(text: str) -> str:
    return text[:1].upper() + text[1:]
