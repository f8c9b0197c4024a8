"""What a question is about, as the factors of the model see it: names, and how far apart the steps of a setting are."""

from collections.abc import Mapping
from typing import Any

from garage.calc.effect.runs import Factor
from garage.findings.evidence.causes import cause_factor
from garage.findings.evidence.steps import STEPS
from garage.states.fold import Content, split_place
from garage.states.settings_list import BALANCE, name_at, setting_of


def setting_number(key: str, value: Any) -> float | None:
    """A setting's value as a number, where it is one; a balance point in percent of the length."""
    name, _ = split_place(key)
    if name == BALANCE and isinstance(value, Mapping):
        value = value.get("percent")
    return float(value) if isinstance(value, (int, float)) and not isinstance(value, bool) else None


def factors_of(content: Content) -> dict[str, float]:
    """Everything on the boat in a state, by a key of its own: 1 for a modification or part, a number for a setting."""
    found: dict[str, float] = {f"modification:{key}": 1.0 for key in content.fitted}
    found |= {f"part:{entry['part_id']}@{split_place(key)[1]}": 1.0 for key, entry in content.parts.items()}
    for key, value in content.settings.items():
        number = setting_number(key, value)
        if number is not None:
            found[f"setting:{key}"] = number
    return found


def names_of(content: Content) -> dict[str, str]:
    """The names of what is on the boat, by the same keys."""
    names = {f"modification:{key}": str(entry.get("title", "")) or key for key, entry in content.fitted.items()}
    for key, entry in content.parts.items():
        place = split_place(key)[1]
        where = "" if place == "single" else f", {place}"
        names[f"part:{entry['part_id']}@{place}"] = (
            f"{entry.get('kind', 'part')} {entry.get('name', '')}".strip() + where
        )
    return names | {f"setting:{key}": setting_name(key) for key in content.settings}


def setting_name(key: str) -> str:
    """A setting's name with its place, in a sentence."""
    name = name_at(*split_place(key))
    return name[:1].lower() + name[1:]


def factor(key: str, name: str) -> Factor:
    """The factor of a key, under its name."""
    if key.startswith("own:"):
        return cause_factor(key, name)
    if not key.startswith("setting:"):
        return Factor(name)
    setting = setting_of(split_place(key.removeprefix("setting:"))[0])
    usual = STEPS.get(setting.kind, 1.0) if setting else 1.0
    return Factor(name, is_setting=True, step=(setting.step if setting else None) or usual)
