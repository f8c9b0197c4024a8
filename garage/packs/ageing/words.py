"""What the ageing of a pack comes to in words. A forecast is worded as what it is: the latest, if it goes on so."""

from datetime import date, timedelta
from math import expm1

from garage.calc.ageing.cells import Drift
from garage.calc.ageing.settling import Settling
from garage.calc.ageing.trend import FEWEST, Forecast, Trend
from garage.moments import day_text
from garage.packs.ageing.trend import ahead

# Nobody runs a pack so often: a line that gets there later says nothing.
_BEYOND = 1500
_STRIDE = 10
_FAR_DAYS = 3652
NO_END = "no end in sight yet"


def slope_words(line: Trend | None, count: int) -> str:
    """How fast, in percent over ten discharges with the range; or how many readings are missing."""
    if line is None:
        missing = max(FEWEST - count, 1)
        return f"{count} compared; a trend needs {missing} more at other counts"
    middle, low, high = (expm1(slope * _STRIDE) * 100 for slope in (line.slope, line.slope_low, line.slope_high))
    return f"{_signed(middle)} % over {_STRIDE} discharges ({_signed(low)} to {_signed(high)})"


def reach_words(found: Forecast | None, discharges: int, at_limit: bool) -> str:
    """When a limit is reached, by the count of discharges."""
    if at_limit:
        return "at the limit now, as measured"
    if found is None:
        return ""
    seen = ahead(found, discharges)
    assert seen is not None
    if not seen.says_something or (seen.cycle or 0) > _BEYOND:
        begins = seen.earliest
        if begins is not None and discharges < begins < _BEYOND:
            return f"{NO_END}; not before discharge {begins:.0f} as far as the readings tell"
        return NO_END
    if seen.latest is not None and seen.latest <= discharges:
        return "its line is past the limit already, the last reading is not: read it again soon"
    middle = max(seen.cycle or 0.0, float(discharges))
    return (
        f"at the latest, if it goes on so: discharge {middle:.0f} "
        f"({seen.earliest or discharges:.0f} to {seen.latest:.0f})"
    )


def date_words(found: Forecast | None, discharges: int, a_year: int, days: float, today: str) -> str:
    """About when that is by the pace of the last year; '' where there is no end in sight or no pace."""
    if found is None or not found.says_something or not a_year or (found.cycle or 0) > _BEYOND:
        return ""
    if found.latest is not None and found.latest <= discharges:
        return ""
    pace = a_year / days
    middle, soon, late = (
        _month(today, max(cycle - discharges, 0) / pace)
        for cycle in (found.cycle or 0.0, found.earliest or 0.0, found.latest or 0.0)
    )
    return f"about {middle} ({soon} to {late}), at {pace * 30:.1f} discharges a month as in the last year"


def settling_words(found: Settling) -> str:
    """What the readings say of break-in."""
    if found.cycle is None:
        return f"by its readings ({found.count}): not proven"
    return (
        f"by its readings ({found.count}): settled after about {max(found.cycle - 1, 0):.0f} discharges; "
        f"it began {found.fell * 100:.0f} % higher"
    )


def drift_words(found: Drift | None, ratio: float) -> str:
    """How a cell stands and moves against its mates."""
    stands = f"{ratio:.2f} times its mates"
    if found is None or not found.apart:
        return stands
    low, high = (expm1(slope * _STRIDE) * 100 for slope in (found.low, found.high))
    return f"{stands}, and moves away: {_signed(low)} to {_signed(high)} % over {_STRIDE} discharges"


def _signed(percent: float) -> str:
    text = f"{abs(percent):.1f}"
    return text if not text.strip("0.") else ("+" if percent > 0 else "\u2212") + text


def _month(today: str, days: float) -> str:
    """The month so many days ahead; nothing exact beyond ten years."""
    if days > _FAR_DAYS:
        return "ten years or more from now"
    return day_text((date.fromisoformat(today) + timedelta(days=days)).isoformat()).split(" ", 1)[1]
