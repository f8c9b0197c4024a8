"""What stood in an edit form when it was opened: it comes back with the form, so that only what the person changed is
written, and what somebody else wrote meanwhile is neither lost nor overwritten unasked."""

import json
import re
from collections.abc import Iterable, Mapping, Sequence
from contextvars import ContextVar
from dataclasses import dataclass, field
from typing import Any

from markupsafe import Markup

from garage.units.kinds import KINDS, DisplayUnits
from garage.web.fields import to_the_minute

SHOWN_FIELD = "form_shown"
UNITS_FIELD = "form_units"
# The box beside a field into which two wrote: ticked, it takes the other's.
THEIRS = "theirs_"
_MARK = re.compile(r"[0-9a-f]{8}:[0-9]{1,15}")

# What stands in one field: nothing, one text, or the several that are ticked.
Texts = list[str]


@dataclass(frozen=True)
class FormShown:
    """What a form showed, by name of field, and a `mark` that differs once anything was written since."""

    mark: str
    values: Mapping[str, Texts]

    def written(self) -> str:
        """As it stands in the form's hidden field."""
        return json.dumps([self.mark, self.values], ensure_ascii=False)


@dataclass(frozen=True)
class Meanwhile:
    """What was written elsewhere, since the form was opened, into fields that were changed in it too; who did, when."""

    values: Mapping[str, Texts] = field(default_factory=dict)
    who: str = ""
    at: str = ""


NOBODY = Meanwhile()
# What the edit form of this page shows; None on a page that has none.
kept_shown: ContextVar[FormShown | None] = ContextVar("kept_shown", default=None)
# The units that this page is written in: a bare number in its form counts in them, whatever is preferred by then. Not
# taken from a template's context, which a macro does not see; what asks for them takes that context all the same, or
# Jinja would work it out once, as it compiles, with the units of that moment.
kept_units: ContextVar[DisplayUnits] = ContextVar("kept_units")


def standing(sheet: Any) -> Mapping[str, Any]:
    """What stands in the fields of a form's sheet, without what it merely `proposes` for something new."""
    proposed = getattr(sheet, "proposes", ())
    return {name: value for name, value in sheet.values.items() if name not in proposed}


def shown(mark: str, values: Mapping[str, Any]) -> FormShown:
    """What a form with these `values` shows."""
    return FormShown(mark, {name: _texts(value) for name, value in values.items()})


def shown_field() -> Markup:
    """The hidden fields for a form that posts to its own page: its units, and on an edit form what it shows."""
    fields = _hidden(UNITS_FIELD, _units_text(kept_units.get()))
    kept = kept_shown.get()
    return fields if kept is None else fields + _hidden(SHOWN_FIELD, kept.written())


def _hidden(name: str, value: str) -> Markup:
    return Markup('<input type="hidden" name="{}" value="{}" autocomplete="off">').format(name, value)


def _units_text(units: DisplayUnits) -> str:
    """The units that are not metric: `speed=mph;length=in`."""
    return ";".join(f"{kind}={unit}" for kind, unit in units.items() if unit != KINDS[kind].metric)


def read_units(texts: Sequence[str]) -> DisplayUnits | None:
    """The units that a form was shown in; None for one that does not say. What is no unit of ours is metric."""
    if not texts:
        return None
    pairs = (part.partition("=") for part in texts[-1].split(";"))
    return DisplayUnits({kind: unit for kind, _, unit in pairs})


def read_shown(texts: Iterable[str]) -> FormShown | None:
    """What a form said that it showed; None for one that says nothing, or nothing that can be read."""
    for text in texts:
        try:
            mark, values = json.loads(text)
            # Half of a sign, as `\ud800` may stand for, cannot be written onto a page again.
            json.dumps(values, ensure_ascii=False).encode()
        except (ValueError, TypeError, RecursionError):
            continue
        if isinstance(mark, str) and _MARK.fullmatch(mark) and isinstance(values, dict):
            return FormShown(mark, {name: _texts(value) for name, value in values.items()})
    return None


def merge(
    typed: Mapping[str, Texts], was: Mapping[str, Texts], now: Mapping[str, Texts]
) -> tuple[dict[str, Texts], dict[str, Texts]]:
    """What a form that showed `was` says where `now` stands: its texts, and what `now` holds of the fields that were
    changed on both sides, each to something else.

    A field that was left as it was shown follows what stands there now; one changed on both sides keeps what was
    typed, unless its box was ticked.
    """
    merged = {name: texts for name, texts in typed.items() if not name.startswith(THEIRS)}
    both: dict[str, Texts] = {}
    # A form's values need not name what is blank, nor a row that came since.
    for name in {**was, **now}:
        earlier, mine, stands = was.get(name, []), _texts(merged.get(name)), now.get(name, [])
        if _same(mine, earlier) or THEIRS + name in typed:
            # Nothing is said as the form said it: a box that is not ticked does not come with it at all.
            merged[name] = stands or [text for text in merged.get(name, []) if not text]
        elif not _same(stands, earlier) and not _same(stands, mine):
            both[name] = stands
    return {name: texts for name, texts in merged.items() if texts}, both


def _same(one: Texts, other: Texts) -> bool:
    # A form shows times without their seconds.
    return one == other or [to_the_minute(text) for text in one] == [to_the_minute(text) for text in other]


def _texts(value: Any) -> Texts:
    """What stands in a field, in one form for all: browsers end lines in their own way, and readers trim."""
    several = value if isinstance(value, (list, tuple)) else [value]
    return [text for each in several if (text := _trimmed(each))]


def _trimmed(value: Any) -> str:
    return "" if value is None else str(value).replace("\r\n", "\n").strip()
