"""Elements of a drawing as SVG text. Words are escaped; nothing is styled inline, classes are in garage.css."""

from collections.abc import Iterable

from markupsafe import Markup, escape


def shape(tag: str, css: str = "", inside: str = "", **attributes: object) -> Markup:
    """One element; `_` in the name of an attribute stands for `-`, and words `inside` are escaped."""
    named = {"class": css} if css else {}
    # Escaped by hand: a drawing has thousands of attributes, and a template for each took a fifth of a page’s time.
    name_of = escape(tag)
    written = "".join(
        f' {escape(name.replace("_", "-"))}="{escape(value)}"' for name, value in (named | attributes).items()
    )
    if not inside:
        return Markup(f"<{name_of}{written}/>")
    return Markup(f"<{name_of}{written}>{escape(inside)}</{name_of}>")


def words(x: float | str, y: float | str, said: str, css: str = "", **attributes: object) -> Markup:
    """A label that begins at a place, or with `css` "end" ends there, with "mid" stands in its middle."""
    return shape("text", f"label {css}".strip(), said, x=x, y=y, **attributes)


def dot(x: float | str, y: float, radius: float, hollow: bool = False, said: str = "") -> Markup:
    """A round mark; `said` shows when a pointer rests on it."""
    return shape("circle", "dot hollow" if hollow else "dot", told(said), cx=x, cy=y, r=radius)


def told(said: str) -> Markup:
    """What a mark says when a pointer rests on it; '' for no words."""
    return shape("title", inside=said) if said else Markup("")


def corners(points: Iterable[tuple[float, float]]) -> str:
    """Places as the `points` of a line or an area."""
    return " ".join(f"{x},{y}" for x, y in points)
