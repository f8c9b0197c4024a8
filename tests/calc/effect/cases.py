"""The worked example: eight invented runs with one prop, all speeds from logs."""

from garage.calc.effect.planning.plans import Available
from garage.calc.effect.runs import EffectRun, Factor, PackUse, Question

_ROWS = """
57.2 d1 no  old - 18 2.0
55.1 d1 no  new 1 18 2.0
56.0 d1 no  new 2 18 2.5
56.9 d2 no  new 3 21 1.0
57.4 d2 no  new 4 21 1.5
59.3 d3 yes new 5 20 3.0
59.8 d3 yes new 6 20 3.0
58.9 d4 yes new 7 16 4.0
"""
_FOUR_MORE = """
59.1 d5 yes old - 19 2.0
59.5 d5 yes old - 19 2.0
60.0 d5 yes new 8 19 2.0
57.9 d5 no  old - 19 2.0
"""


def _read(rows: str) -> list[EffectRun]:
    runs = []
    for number, row in enumerate(rows.split("\n")[1:-1], start=1):
        speed, day, tabs, pack, cycle, air, wind = row.split()
        packs = (PackUse(pack, None if cycle == "-" else int(cycle)),)
        factors = {"tabs": float(tabs == "yes")}
        run = EffectRun(str(number), float(speed), day, packs, "P1", factors, air_c=float(air), wind_ms=float(wind))
        runs.append(run)
    return runs


EIGHT = _read(_ROWS)
TWELVE = EIGHT + _read(_FOUR_MORE)
TABS = Factor("tabs")
QUESTION = Question("change", "tabs")
REMOVABLE = Available({"tabs": (0.0, 1.0)}, ("P1",), {"old": None, "new": 8}, air_c=19, wind_ms=2.0)
GLUED = Available({"tabs": (1.0,)}, ("P1",), {"old": None, "new": 8}, air_c=19, wind_ms=2.0)
