"""The command calc: one calculator of the bench on the command line."""

import csv
import json
from collections.abc import Sequence
from pathlib import Path

from garage.api.calculators import CALCULATORS, Unusable, as_json, calculator, worked_out
from garage.bench.definition import Calculator, Input, Ranged, Result, Value, Worked

_USAGE = "usage: garage calc NAME key=value ... [--json]   |   garage calc --list   |   garage calc NAME --help"
_LARGEST_FILE = 1_000_000


def calc(words: Sequence[str]) -> int:
    """Run the command with the words after `calc`. Raises Unusable, in one line."""
    flags = {word for word in words if word.startswith("-")}
    if unknown := flags - {"--json", "--list", "--help", "-h"}:
        raise Unusable(f"There is no option {sorted(unknown)[0][:40]}. {_USAGE}")
    given = [word for word in words if word not in flags]
    if "--list" in flags:
        print(_listed())
    elif not given:
        if flags & {"--help", "-h"}:
            print(_USAGE)
            return 0
        raise Unusable(_USAGE)
    elif flags & {"--help", "-h"}:
        print(_help(calculator(given[0])))
    else:
        asked = calculator(given[0])
        worked = worked_out(asked, _typed(asked, given[1:]))
        print(json.dumps(as_json(worked), ensure_ascii=False) if "--json" in flags else _shown(worked))
    return 0


def _typed(calculator: Calculator, words: Sequence[str]) -> dict[str, str]:
    typed: dict[str, str] = {}
    for word in words:
        name, parted, text = word.partition("=")
        if not parted or not name:
            raise Unusable(f"“{word[:60]}”: write an input as key=value.")
        taken = calculator.by_name.get("part" if name == "file" else name)
        if taken is not None and taken.kind == "lines":
            lines = _lines_of(Path(text)) if name == "file" else text
            typed[taken.name] = "\n".join(filter(None, (typed.get(taken.name, ""), lines)))
        elif name in typed:
            raise Unusable(f"{name} is given twice.")
        else:
            typed[name] = text
    return typed


def _lines_of(path: Path) -> str:
    """Parts from a CSV file: name, mass, x, y, z, with or without a heading; comma or semicolon."""
    try:
        if path.stat().st_size > _LARGEST_FILE:
            raise Unusable(f"{path} is too large for a list of parts.")
        text = path.read_text(encoding="utf-8-sig")
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or "it is not text"
        raise Unusable(f"{path} cannot be read: {reason}.") from error
    parted_by = ";" if ";" in text else ","
    rows = [row for row in csv.reader(text.splitlines(), delimiter=parted_by) if any(row)]
    if rows and rows[0][0].strip().casefold() in ("name", "part"):
        rows = rows[1:]
    return "\n".join(";".join(cell.strip() for cell in row).rstrip(";") for row in rows)


def _listed() -> str:
    width = max(map(len, CALCULATORS))
    return "\n".join(f"{name:{width}}  {one.question}" for name, one in CALCULATORS.items())


def _help(calculator: Calculator) -> str:
    example = " ".join(f'{name}="{text}"' for name, text in _words(calculator.example.inputs.items()))
    return "\n".join(
        [
            f"{calculator.name}: {calculator.question}",
            "",
            "inputs",
            *(f"  {_input_line(one)}" for one in calculator.inputs),
            "",
            "results",
            *(f"  {one.name:26} {one.plain_unit:10} {one.label}" for one in calculator.results),
            "",
            f"range    {calculator.valid}",
            f"source   {calculator.source}",
            f"example  garage calc {calculator.name} {example}",
            f"         {calculator.example.source}",
        ]
    )


def _words(inputs) -> list[tuple[str, str]]:
    return [(name, line) for name, text in inputs for line in text.splitlines()]


def _input_line(one: Input) -> str:
    known = "optional" if one.optional else f"default {one.default}" if one.default else "needed"
    choices = f" one of {', '.join(one.choices)};" if one.choices else ""
    hint = f" ({one.hint})" if one.hint else ""
    form = f", one a line: {one.written}" if one.kind == "lines" else f": {one.written}" if one.of else ""
    several = " several, separated by ;" if one.many else ""
    return f"{one.name:20} {one.plain_unit:10} {one.label}{form};{several}{choices} {known}{hint}"


def _shown(worked: Worked) -> str:
    width = max(len(one.name) for one in worked.calculator.results)
    lines = [
        f"{one.name:{width}}  {_figure(worked.answer.results.get(one.name), one)}"
        for one in worked.calculator.results
        if worked.answer.results.get(one.name) is not None
    ]
    lines += [f"caution: {caution}" for caution in worked.answer.cautions]
    return "\n".join([*lines, f"source: {worked.calculator.source}"])


def _figure(value: Value, result: Result) -> str:
    unit = f" {result.plain_unit}" if result.plain_unit not in ("", "fraction") else ""
    if isinstance(value, Ranged):
        if value.value is None:
            return "not known"
        return f"{value.value:.6g}{unit} ({value.low:.6g} to {value.high:.6g})"
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, (int, float)):
        return f"{value:.7g}{unit}"
    return str(value)
