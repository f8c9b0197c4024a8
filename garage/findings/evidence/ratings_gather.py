"""What the ratings say about a question: five ordered steps are compared by their order alone."""

from garage.calc.effect.answer import Answer
from garage.calc.effect.ratings import compare_ratings
from garage.findings.evidence.outcomes import RATINGS
from garage.findings.evidence.runs_store import HullRuns

_SURE = 0.05


def rating_sentences(given: Answer, gathered: HullRuns) -> list[str]:
    """One sentence for every rating given on both sides."""
    sentences = []
    for column, words in RATINGS.items():
        having, lacking = (
            [
                value
                for row in rows
                if (value := getattr(gathered.rows[int(given.design.runs[row].key)], column)) is not None
            ]
            for rows in (given.design.with_rows, given.design.without_rows)
        )
        if not having or not lacking:
            continue
        rated = compare_ratings(having, lacking)
        low, high = (round(100 * end) for end in rated.interval_90)
        said = "more than luck would do" if rated.p_value <= _SURE else "which luck alone may do"
        sentences.append(
            f"{words}: a run with is rated above a run without {round(100 * rated.chance_above)} times in 100 "
            f"(ties half; between {low} and {high}; {len(having)} against {len(lacking)} ratings), {said}. "
            "By the order of the steps only; packs, weather and days are not taken out."
        )
    return sentences
