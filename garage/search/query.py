"""What a person typed into the search field, as a query that the full-text table cannot misread.

The table has a language of its own (AND, NEAR, stars, quotes). Nobody at the water means that, so every word
goes in as a quoted phrase, and only letters, digits and the marks on them get through.
"""

import unicodedata
from dataclasses import dataclass

MOST_WORDS = 12
MOST_SIGNS = 60
# A single letter begins too many words to be a help.
SHORTEST_BEGINNING = 2


@dataclass(frozen=True)
class Wanted:
    """`match` is the query for the full-text table ('' if nothing can be looked for); `cut` tells that words
    were left out because there were too many or too long ones."""

    match: str
    words: tuple[str, ...] = ()
    cut: bool = False


def wanted(typed: str) -> Wanted:
    """The query behind what was typed: all the words, in any order; the last may be just a beginning.

    What stands together with a sign between (`44,5`, `long-strut`) is looked for together, in that order.
    """
    chunks = [words for words in (_words(chunk) for chunk in typed.split()) if words]
    if not chunks:
        return Wanted("")
    kept = [words[:MOST_WORDS] for words in chunks[:MOST_WORDS]]
    cut = kept != chunks
    phrases = []
    for words in kept:
        shortened = [word[:MOST_SIGNS] for word in words]
        cut = cut or shortened != words
        phrases.append('"' + " ".join(shortened) + '"')
    if len(kept[-1][-1]) >= SHORTEST_BEGINNING or cut:
        phrases[-1] += " *"
    return Wanted(" ".join(phrases), tuple(word[:MOST_SIGNS] for words in kept for word in words), cut)


def _words(chunk: str) -> list[str]:
    letters = "".join(sign if unicodedata.category(sign)[0] in "LNM" else " " for sign in chunk)
    # A mark without a letter to stand on is no word.
    return [word for word in letters.split() if any(unicodedata.category(sign)[0] in "LN" for sign in word)]


def fingerprint_beginning(typed: str) -> str:
    """What was typed, if it can be the beginning of a fingerprint: 4 to 64 hexadecimal digits; else ''."""
    text = typed.strip().lower()
    is_one = 4 <= len(text) <= 64 and all(sign in "0123456789abcdef" for sign in text)
    return text if is_one else ""
