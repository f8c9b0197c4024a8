"""A calculator's lists: on its page a field for every entry, to commands and data one text."""

from collections.abc import Mapping

from garage.bench.definition import Calculator, Input
from garage.web.rows import DROP, MORE, fields_of_lines, figures_in, lines_in, row_numbers, without_row


def with_lists_whole(calculator: Calculator, query: Mapping[str, str]) -> dict[str, str]:
    """What was asked with each list as one text, whether it came so or in fields of its own."""
    stays = without_row(query)
    asked = {name: text for name, text in query.items() if stays(name)}
    for one in calculator.inputs:
        if one.is_list and (numbers := row_numbers(one.name, asked)):
            parts = [asked.get(one.name, ""), *_parts(one, asked, numbers)]
            for name in [name for name in asked if row_numbers(one.name, [name]) or name == f"{one.name}_rows"]:
                del asked[name]
            asked[one.name] = ("; " if one.many else "\n").join(part for part in parts if part.strip())
    asked.pop(MORE, "")
    return asked


def is_reshaped(query: Mapping[str, str]) -> bool:
    """Whether only a row more or less was asked for: what is still open is no mistake then."""
    return MORE in query or DROP in query


def in_fields(calculator: Calculator, texts: Mapping[str, str]) -> dict[str, str]:
    """Texts by input as they stand in the fields of the page."""
    shown = dict(texts)
    for one in calculator.inputs:
        if one.is_list and one.name in shown:
            text = shown.pop(one.name)
            shown |= fields_of_lines(one.name, _names(one), text) if one.of else _figures(one, text)
    return shown


def _parts(one: Input, asked: Mapping[str, str], numbers: list[int]) -> list[str]:
    if one.of:
        return [line.text for line in lines_in(asked, one.name, _names(one))]
    texts = [asked.get(f"{one.name}_{number}", "") for number in numbers]
    return [part for text in texts for part in figures_in(text)]


def _figures(one: Input, text: str) -> dict[str, str]:
    parts = [part.strip() for part in text.replace("\n", ";").split(";") if part.strip()]
    return {f"{one.name}_{number}": part for number, part in enumerate(parts, 1)}


def _names(one: Input) -> list[str]:
    return [field.name for field in one.of]
