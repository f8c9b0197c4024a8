"""How a number is known, beside it for whoever asks: one mark opens what a group of numbers says of itself.

The words always stand beside their number in the page, so a screen reader and a printer have them as they come. On a
screen those of a group lie behind its mark (`known` in `parts/page.html`, `.known` in `garage.css`); what belongs to no
group, such as a piece of a page that was fetched by itself, is in sight.
"""

from markupsafe import Markup

_LOOSE, _GROUPED = '<span class="origin loose">', '<span class="origin">'


def origin(said: str, before: str = "") -> Markup:
    """How a number is known, to stand behind it, and out of sight with what parts them; nothing for nothing."""
    return Markup(_LOOSE + "{}{}</span>").format(before, said) if said else Markup("")


def tells_origins(html: str) -> bool:
    """Whether a piece of a page says of a number how it is known, and no group within it has a mark for that."""
    return _LOOSE in html


def grouped(html: str) -> Markup:
    """A piece of a page of which the origins lie behind one mark."""
    return Markup(str(html).replace(_LOOSE, _GROUPED))
