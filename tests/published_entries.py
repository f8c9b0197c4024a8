"""Which published figure belongs to which calculator, and why the others belong to none. Run it to see the table."""

import ast
from functools import cache
from pathlib import Path

from tests.published import CHECKS

TESTS = Path(__file__).parent

# Entries of a calculator of the bench. Each of their figures is held to its tolerance, or has a reason below.
CALCULATORS = {
    **{f"PLAN-{number:02}": "planing" for number in (*range(1, 12), 13, 14, 15, *range(17, 22))},
    "PROP-10": "pitch-speed", "PROP-11": "slip", "PROP-13": "motor", "PROP-15": "tip-speed",
    "MOTOR-01": "motor", "MOTOR-02": "motor", "MOTOR-03": "motor",
    "FLUID-01": "water", "FLUID-03": "water", "FLUID-04": "water", "FLUID-05": "water", "FLUID-06": "water",
    "FLUID-08": "air", "FLUID-11": "air", "FLUID-12": "water, planing",
    "BATT-01": "rest-voltage", "BATT-03": "rest-voltage", "BATT-04": "resistance-at", "BATT-06": "pack-heat",
    "BATT-08": "pack-load, refill", "BATT-09": "use of a pack",
    "BATT-10": "pack-heat", "BATT-11": "pack-heat", "BATT-12": "pack-load", "BATT-17": "pack-load",
    "MAT-01": "strip", "MAT-06": "strip", "MAT-07": "strip", "MAT-08": "strip", "MAT-09": "strip", "MAT-11": "strip",
    "MAT-13": "strip", "MAT-02": "strip", "MAT-04": "strip", "MAT-05": "strip",
    "STAT-17": "runs-needed", "STAT-18": "runs-needed", "STAT-19": "runs-needed",
    "MASS-01": "balance", "MASS-02": "balance", "MASS-04": "balance", "MASS-06": "balance", "MASS-07": "balance",
    "MASS-08": "balance", "MASS-09": "two-scales", "MASS-10": "balance",
}  # fmt: skip

_TRACK = "of measured tracks, not of a calculator: tests/calc/track and tests/logs"
_EFFECT = "of findings, not of a calculator: tests/calc/effect"
# Why an entry, or one figure of it, is held against no calculator.
BELONGS_TO_NONE: dict[str, str] = {
    "PROP-12": "thrust of an ideal disc: no published coefficients cover surface-piercing props, so there is no thrust",
    "PROP-13: T": "thrust of an open-water prop: no published coefficients cover surface-piercing props",
    "PROP-13: eta": "efficiency of an open-water prop: as its thrust",
    "FLUID-06: nu_ICT": "goes into its test as the older table's figure, from which the deviation follows",
    "FLUID-09": "a standard atmosphere by height: pressure is read off a barometer here",
    "FLUID-10": "vapour pressure alone: inside the formula for moist air, which FLUID-08 and FLUID-11 hold",
    "BATT-03: Qn_Ah": "electrode of the cell that the curve was made from; the curve is held",
    "BATT-03: Qp_Ah": "electrode of the cell that the curve was made from; the curve is held",
    "BATT-03: Q_usable_Ah": "electrodes of the cell that the curve was made from; the curve is held",
    "BATT-06: cp_NCA": "one of the cells that the band was made from; the band is held",
    "BATT-06: cp_NMC": "one of the cells that the band was made from; the band is held",
    "BATT-06: cp_LFP": "one of the cells that the band was made from; the band is held",
    "BATT-06: cp_LCO_pouch_model": "one of the cells that the band was made from; the band is held",
    "BATT-07": "resistance of two loads: no calculator has two, and a run's own is fitted to its log",
    "BATT-12: limit_free": "rules of flying: no page speaks of them",
    "BATT-12: limit_with_approval": "rules of flying: no page speaks of them",
    "BATT-12: over_100": "rules of flying: no page speaks of them",
    "BATT-13": "temperatures of a transport test: nothing is computed",
    "BATT-14": "limits while charging: nothing is computed; makers' instructions go before them",
    "BATT-15": "a convention on the end of a pack's life: shown in words with the ageing of packs",
    "BATT-16": "shows that a law is not needed here; no calculator uses it",
    "MAT-02: spruce": "printed without its moisture; spruce is computed from its specific gravity, MAT-01",
    "MAT-02: eastern_white_pine": "printed without its moisture; computed from its specific gravity, MAT-01",
    "MAT-03": "a range, within which the figure of the table must lie: tests/test_reference.py",
    "MAT-04: stainless 304": "from memory in a table that was seen, and within the tolerance of 316, which is held",
    "MAT-04: steel 1020": "one steel of the range that is held",
    "MAT-07: thickness": "goes into its test, from which the mass follows",
    "MAT-07: Vf": "goes into its test, from which the mass follows",
    "MAT-12": "a trend over all species, below the spruce and lime that MAT-09 holds: no calculator uses it",
    "PLAN-21: V_Cv13_kmh": "the speed coefficient turned about; PLAN-20 holds it",
    "STAT-19: one_sided": "no calculator plans for one side only",
    "STAT-20": "how many readings make a mean: runs-needed asks about a difference",
    **{key: _TRACK for key in CHECKS if key.startswith("GPS-")},
    **{key: _EFFECT for key in CHECKS if key.startswith("STAT-") and int(key[5:]) not in (17, 18, 19, 20)},
}


@cache
def held() -> dict[tuple[str, str], list[str]]:
    """Tests by entry and figure: those that take it by `named` and hold the computed figure with `holds`."""
    found: dict[tuple[str, str], list[str]] = {}
    for path in sorted(TESTS.rglob("test_*.py")):
        text = path.read_text(encoding="utf-8")
        if "named(" not in text or "tests.published" not in text:
            continue
        for test in ast.walk(ast.parse(text)):
            if isinstance(test, ast.FunctionDef) and _calls(test.body, "holds"):
                for name, figure in _figures(test):
                    found.setdefault((name, figure), []).append(f"{path.relative_to(TESTS)}::{test.name}")
    return found


def _calls(body: list, name: str) -> list[ast.Call]:
    calls = [node for part in body for node in ast.walk(part) if isinstance(node, ast.Call)]
    return [one for one in calls if name in (getattr(one.func, "id", ""), getattr(one.func, "attr", ""))]


def _figures(test: ast.FunctionDef) -> list[tuple[str, str]]:
    """What the test's decorators name, as `named("CHECK", "figure", …)` or `pytest.param("CHECK", "figure", …)`."""
    calls = _calls(test.decorator_list, "named") + _calls(test.decorator_list, "param")
    texts = [[one.value for one in call.args if isinstance(one, ast.Constant)] for call in calls]
    found = {(check, figure) for check, *figures in filter(None, texts) if check in CHECKS for figure in figures}
    return sorted(one for one in found if one[1] in CHECKS[one[0]]["expected"])


def reason(check: str, figure: str) -> str:
    """Why a figure is held against no calculator; "" if there is no reason."""
    return BELONGS_TO_NONE.get(check) or BELONGS_TO_NONE.get(f"{check}: {figure}", "")


def table() -> list[tuple[str, str, str, str]]:
    """Every figure of every entry: which, the calculator it belongs to, the tolerance, and its test or the reason."""
    rows = []
    for check, entry in CHECKS.items():
        for figure, expected in entry["expected"].items():
            tolerance = f"{expected['tolerance']['kind']} {expected['tolerance']['value']:g}"
            where = "; ".join(held().get((check, figure), [])) or reason(check, figure)
            rows.append((f"{check} {figure}", CALCULATORS.get(check, "none"), tolerance, where))
    return rows


if __name__ == "__main__":
    for row in table():
        print(" | ".join(row))
