"""What a run still lacks of what the evening asks for."""

from collections.abc import Callable, Collection, Iterable, Sequence

from garage.fields.definition import FormData, is_open
from garage.preferences.instruments import OF_SPOT, any_measured
from garage.runs.fields import FIELDS, PACK_FIELDS, READING_SECTIONS, RunField
from garage.runs.form_data import RunFormData
from garage.runs.not_known import not_known_of
from garage.runs.tables import Run

_ABOUT_SPEED = READING_SECTIONS | {"speed"}
_OF_SPEED = [field for field in FIELDS if _ABOUT_SPEED & {*field.sections}]
_RATINGS = [field for field in FIELDS if field.kind == "rating"]
_OTHERS = [field for field in FIELDS if field not in _OF_SPEED and field not in _RATINGS]


def missing(
    run: FormData,
    packs: Sequence[object],
    temperatures: int,
    props: int,
    not_known: Collection[str] = (),
    not_measured: Collection[str] = (),
) -> list[str]:
    """What is not written yet, in words, in the order of the evening table; empty when all is there.

    `run` holds its facts by column, `packs` what was read off each. `temperatures` is how many readings after the run
    there are, `props` how many props are known. What is in `not_known` was asked for, and answered; what takes an
    instrument that is in `not_measured` is not asked for.
    """
    return [
        *_lacking(
            [field for field in _OF_SPEED if not ("speed" in not_known and "speed" in field.sections)],
            run,
            not_measured,
        ),
        *["the prop"] * (not props and "prop" not in not_known),
        *["the pack"] * (not packs and "pack" not in not_known),
        *_lacking_of_packs(packs, not_measured),
        *_lacking(_OTHERS, run, not_measured),
        *["temperatures after"] * (not temperatures and any_measured(OF_SPOT.values(), not_measured)),
        *_lacking(_RATINGS, run, not_measured),
    ]


def lacking_of(form: RunFormData, not_measured: Collection[str]) -> list[str]:
    """The same of a run as its form has it."""
    told = (form.facts, form.packs, len(form.temperatures), len(form.props))
    return missing(*told, form.not_known, not_measured)


def is_waiting(
    kept: Run,
    facts: FormData,
    packs: Sequence[object],
    temperatures: int,
    props: int,
    not_measured: Collection[str] = (),
) -> bool:
    """Whether the evening still asks for something of a run that is written."""
    lacking = missing(facts, packs, temperatures, props, not_known_of(kept.not_known), not_measured)
    return bool(lacking) and kept.waved_away_at is None and kept.set_aside_at is None


def _lacking(fields: Iterable[RunField], run: FormData, not_measured: Collection[str]) -> list[str]:
    """What is missed of `fields`; of those that say the same, one is enough."""
    asked: dict[str, list[RunField]] = {}
    for field in fields:
        if field.missed and field.instrument not in not_measured and _is_asked(field, run):
            asked.setdefault(field.missed, []).append(field)
    return [words for words, alike in asked.items() if all(is_open(run[field.column]) for field in alike)]


def _lacking_of_packs(packs: Sequence[object], not_measured: Collection[str]) -> list[str]:
    asked = [field for field in PACK_FIELDS if field.missed and field.instrument not in not_measured]
    return [field.missed for field in asked if any(is_open(getattr(pack, field.column)) for pack in packs)]


def _is_asked(field: RunField, run: FormData) -> bool:
    """A speed is asked of speed runs only, ways and passes only of a speed that was measured."""
    asked = _ASKED.get(field.column)
    return asked(run) if asked else True


def _is_measured(run: FormData) -> bool:
    return run["speed_kmh"] is not None and run["speed_how"] != "by eye"


_ASKED: dict[str, Callable[[FormData], bool]] = {
    "speed_kmh": lambda run: run["kind"] == "speed",
    "speed_how": lambda run: run["speed_kmh"] is not None,
    "ways": _is_measured,
    "passes": _is_measured,
}
