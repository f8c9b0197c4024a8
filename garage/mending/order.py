"""The order of a day: runs put among others, and starts that nobody looked at the clock for."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from garage.moments import Moment

# What a run is taken to last, where nobody wrote it down.
USUAL_LENGTH_S = 60.0


@dataclass(frozen=True)
class Placed:
    """A run in the order of its day: when it began, whether somebody looked at the clock, and how long it went on."""

    run_id: int
    start: Moment
    known: bool
    length_s: float = USUAL_LENGTH_S


class OutOfOrder(Exception):
    """Two runs whose clocks were looked at stand in another order than their clocks."""

    def __init__(self, first: Placed, second: Placed) -> None:
        super().__init__("out of order")
        self.first, self.second = first, second


def put_among(here: Sequence[Placed], come: Iterable[Placed]) -> list[int]:
    """Runs of one day put among others, which keep their order: each goes before the first that began later."""
    order = list(here)
    for new in sorted(come, key=lambda one: one.start.utc):
        after = [place for place, one in enumerate(order) if one.start.utc <= new.start.utc]
        order.insert(after[-1] + 1 if after else 0, new)
    return [one.run_id for one in order]


def numbers_after(numbers: Mapping[int, int], gone: Iterable[int]) -> dict[int, int]:
    """The numbers of the runs that stay, once some are gone: those behind them move up."""
    left = {numbers[run_id] for run_id in gone}
    return {
        run_id: number - sum(one < number for one in left) for run_id, number in numbers.items() if number not in left
    }


def starts_in_order(runs: Sequence[Placed], began: Moment) -> dict[int, Moment]:
    """Starts that keep the order of `runs`, on a day that began at `began`: a clock that was looked at stays, and what
    nobody looked at the clock for is put between where it is not there already. Raises OutOfOrder."""
    clocks = [one for one in runs if one.known]
    for first, second in zip(clocks, clocks[1:], strict=False):
        if second.start.utc < first.start.utc:
            raise OutOfOrder(first, second)
    found = {one.run_id: one.start for one in clocks}
    for before, guesses, after in _gaps(runs):
        if not _rises([*([before] if before else []), *guesses, *([after] if after else [])]):
            found |= _spread(before, guesses, after, began)
        else:
            found |= {one.run_id: one.start for one in guesses}
    return {one.run_id: found[one.run_id] for one in runs}


def _gaps(runs: Sequence[Placed]) -> Iterable[tuple[Placed | None, list[Placed], Placed | None]]:
    """Guesses that follow each other, with the clocks before and after them."""
    before, guesses = None, []
    for one in runs:
        if not one.known:
            guesses.append(one)
            continue
        if guesses:
            yield before, guesses, one
        before, guesses = one, []
    if guesses:
        yield before, guesses, None


def _rises(runs: Sequence[Placed]) -> bool:
    return all(one.start.utc < other.start.utc for one, other in zip(runs, runs[1:], strict=False))


def _spread(before: Placed | None, guesses: Sequence[Placed], after: Placed | None, began: Moment) -> dict[int, Moment]:
    """Guesses one after the other, as far apart as they last; evenly where there is no room for that."""
    lasting = sum(one.length_s for one in guesses)
    first = _moved(before.start, before.length_s) if before else min(began, guesses[0].start)
    if after and not before and first.utc >= after.start.utc:
        first = _moved(after.start, -lasting)
    starts = [_moved(first, sum(one.length_s for one in guesses[:place])) for place in range(len(guesses))]
    if after and starts[-1].utc >= after.start.utc:
        low = before.start if before else first
        share = _seconds(low, after.start) / (len(guesses) + 1)
        starts = [_moved(low, share * (place + 1)) for place in range(len(guesses))]
    return {one.run_id: start for one, start in zip(guesses, starts, strict=True)}


def _moved(moment: Moment, seconds: float) -> Moment:
    utc = _read(moment) + timedelta(seconds=int(seconds))
    return Moment(utc.strftime("%Y-%m-%dT%H:%M:%SZ"), moment.offset_min)


def _seconds(one: Moment, other: Moment) -> float:
    return (_read(other) - _read(one)).total_seconds()


def _read(moment: Moment) -> datetime:
    return datetime.fromisoformat(moment.utc.replace("Z", "+00:00"))
