"""What a reader should know before trusting a run's speed, in a few words each."""

from collections.abc import Collection, Sequence
from dataclasses import dataclass

from garage.reference import temperature_limits
from garage.runs.counting import SpeedStanding
from garage.runs.not_known import not_known_words


@dataclass(frozen=True)
class Flag:
    """A caution about a run: `text` for lists, `why` and `source` for the run's own page.

    `said` is set where the words about the speed (`known_words`) say it already.
    """

    text: str
    why: str
    source: str = ""
    said: bool = False


@dataclass(frozen=True)
class PackLook:
    """What counts about one pack of a run. `standing` is fresh, breaking in, in service or retired."""

    code: str
    standing: str
    standing_text: str
    start_temperature_c: float | None = None


@dataclass(frozen=True)
class DeniedLook:
    """What both witnesses of a log that contradicts itself said; None where one said nothing."""

    receiver_kmh: float | None
    places_kmh: float | None


@dataclass(frozen=True)
class RunLook:
    """What the flags of a run are made of. `hottest` is the highest reading by spot, in °C."""

    speed_kmh: float | None
    speed_how: str
    averaging_s: float | None
    ways: str
    passes: int | None
    packs: Sequence[PackLook] = ()
    hottest: tuple[tuple[str, float], ...] = ()
    state_before: int | None = None
    state_now: int | None = None
    counting: SpeedStanding = SpeedStanding()
    set_aside: bool = False
    speed_limit_kmh: float | None = None
    denied: DeniedLook | None = None
    not_known: Collection[str] = ()
    course_m: float | None = None


NOT_KNOWN_HOW_AVERAGED = "not known how it was averaged"
DENIED = "its log contradicts itself"
NOT_COUNTED = "does not count"
STILL_ASKED = "asked: does it count?"
NOBODY_KNOWS = "not known whether it counts"
_FOLK = "common practice, no source"
_WHY_UNKNOWN = {
    "pack": "It counts for no pack, and is left out of findings.",
    "prop": "It counts for no prop that nobody named.",
    "state": "It stands on a state because it has to stand somewhere; it is left out where states are compared.",
    "speed": "Nobody knows it any more, and it is not asked for.",
    "start": "The time of day that it is put in order by is a guess.",
}
_GPS = "own arithmetic on the maximum of a noisy series"


def flags_of(run: RunLook) -> list[Flag]:
    """The flags of a run, the gravest first."""
    return [*_outcome(run), *_unknown(run), *_pack_flags(run), *_heat(run), *_limit(run), *_state(run), *_reading(run)]


def _outcome(run: RunLook) -> list[Flag]:
    found = [Flag("set aside", "This run was set aside; no record counts it.")] if run.set_aside else []
    if run.denied:
        found.append(Flag(DENIED, _denied_why(run.denied)))
    return found + _counting(run.counting)


def _counting(speed: SpeedStanding) -> list[Flag]:
    """What was said of a speed beside which something happened, or that nothing was said yet."""
    if speed.word == "does not count":
        spoiled = [Flag(f"spoiled by {kind}", "Said of this speed: it does not count.") for kind in speed.because]
        return spoiled or [Flag(NOT_COUNTED, "Said of this speed: no record counts it.")]
    happened = " and ".join(dict.fromkeys(speed.because)) or "what happened"
    if speed.word == "asked":
        return [Flag(STILL_ASKED, f"In this run: {happened}. Nobody said yet whether its speed counts.")]
    if speed.word == "not known":
        return [Flag(NOBODY_KNOWS, f"In this run: {happened}. No verdict on a change rests on this speed.")]
    return []


def _denied_why(denied: DeniedLook) -> str:
    receiver, places = (
        "nothing" if speed is None else f"{speed:.1f} km/h" for speed in (denied.receiver_kmh, denied.places_kmh)
    )
    return (
        f"For the two seconds of its highest mean the receiver says {receiver}, the places say {places}. No record "
        "counts this speed until another one is written: change the run and say why."
    )


def keeps_from_records(flag: str) -> bool:
    """Whether a flag's text says that no record counts the speed, though the run stands."""
    return flag in (DENIED, NOT_COUNTED) or flag.startswith("spoiled by")


def _unknown(run: RunLook) -> list[Flag]:
    """What nobody knows of the run any more."""
    no_pack = run.speed_kmh is not None and not run.packs and "pack" not in run.not_known
    found = [Flag("pack not written", _WHY_UNKNOWN["pack"])] if no_pack else []
    return found + [
        Flag(words, _WHY_UNKNOWN[word]) for word in _WHY_UNKNOWN for words in not_known_words({word} & {*run.not_known})
    ]


def _pack_flags(run: RunLook) -> list[Flag]:
    words = {
        "fresh": "A fresh pack has not been broken in: its speed says little about the boat.",
        "breaking in": "The pack was still breaking in: it may get stronger, and the boat with it.",
        "retired": "The pack was retired when it ran.",
    }
    found = [
        Flag(f"{pack.code} {pack.standing_text}", words[pack.standing], "counted from the pack's own log")
        for pack in run.packs
        if pack.standing in words
    ]
    return found + [flag for pack in run.packs for flag in _start(pack)]


def _start(pack: PackLook) -> list[Flag]:
    """A pack too cold or too hot before it ran."""
    cold, hot = temperature_limits()["pack_cold"], temperature_limits()["pack"]
    if pack.start_temperature_c is None:
        return []
    if pack.start_temperature_c < cold.limit_c:
        return [Flag(f"{pack.code} cold at the start", cold.text, cold.source)]
    if pack.start_temperature_c > hot.limit_c:
        return [Flag(f"{pack.code} hot at the start", hot.text, hot.source)]
    return []


def _heat(run: RunLook) -> list[Flag]:
    """One flag for each spot that was hotter than a limit, the highest limit passed."""
    found = []
    for spot, reading in run.hottest:
        place = "controller" if spot == "speed controller" else spot
        passed = [
            limit
            for limit in temperature_limits().values()
            if limit.place == place and limit.side == "above" and reading > limit.limit_c and limit.key != "pack_warm"
        ]
        if passed:
            worst = max(passed, key=lambda limit: limit.limit_c)
            found.append(Flag(f"hot {spot}", worst.text, worst.source))
    return found


def _limit(run: RunLook) -> list[Flag]:
    """A speed that the rules of the water do not allow, as they stand now."""
    if run.speed_kmh is None or run.speed_limit_kmh is None or run.speed_kmh <= run.speed_limit_kmh:
        return []
    why = f"The rule written down for this water is {run.speed_limit_kmh:g} km/h at most."
    return [Flag("over the water's limit", why, "the water's own page")]


def _state(run: RunLook) -> list[Flag]:
    if run.state_before is None or run.state_before == run.state_now or "state" in run.not_known:
        return []
    return [Flag("new state", f"The run before it was made with state {run.state_before}.", "build states compared")]


def _reading(run: RunLook) -> list[Flag]:
    if run.speed_kmh is None:
        return []
    found = []
    if run.averaging_s == 0:
        found.append(
            Flag(
                "peak",
                "A single reading is the highest of a noisy series: it reads high, up to 1 km/h.",
                _GPS,
            )
        )
    # Over a course, the course is what it was averaged over.
    if run.averaging_s is None and run.speed_how in ("log", "display") and not run.course_m:
        found.append(
            Flag(
                NOT_KNOWN_HOW_AVERAGED,
                "A single reading reads high; whether this is one, or over how long it was averaged, is not written.",
                _GPS,
            )
        )
    if run.speed_how == "by eye":
        found.append(Flag("by eye", "A speed judged by eye is no measurement.", _FOLK, said=True))
    if run.ways == "one way":
        found.append(
            Flag(
                "one way",
                "Wind and current are still in it; the mean of both ways takes most out.",
                _FOLK,
                said=True,
            )
        )
    if not run.ways:
        found.append(Flag("one way or both not known", "Wind may be in it.", _FOLK, said=True))
    if run.passes is None:
        found.append(
            Flag("passes not known", "The best of many passes is higher than the best of few.", _GPS, said=True)
        )
    return found
