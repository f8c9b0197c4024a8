"""Routes for asking: from any modification, setting, prop edition, pack or pair of build states."""

from dataclasses import dataclass

from garage.errors import NotFound
from garage.findings import ask_store, store
from garage.findings.answer_pages import show_hull_effects
from garage.findings.judge import check_subject
from garage.findings.tables import ABOUTS, Finding
from garage.modifications.step_store import step
from garage.modifications.store import modification
from garage.packs.verdict_store import retire_word
from garage.states.query_store import state_by_number
from garage.web.desk import Desk
from garage.web.pages import Done, Pages

pages = Pages()


@dataclass(frozen=True)
class AskSheet:
    """Where a prop or pack ran, to ask about it on one hull: the words to post, and how many runs there are."""

    title: str
    places: list[ask_store.Place]
    retire: str = ""


@dataclass(frozen=True)
class BeforeStepSheet:
    """Asking, before work that cannot be undone, whether the runs without it are in."""

    step_id: int
    modification_id: int
    hull_id: int
    step: str
    title: str
    runs: list[ask_store.Baseline]


@pages.action("/findings/ask")
def ask(desk: Desk) -> Done:
    words = desk.reader().text("what", required=True).split("|")
    if len(words) != 3 or not words[0].isdecimal() or words[1] not in (*ABOUTS, "numbers"):
        raise NotFound("There is no such thing to ask about.")
    hull_id, about, subject = int(words[0]), words[1], words[2]
    if about == "numbers":
        about, subject = "states", _by_numbers(desk, hull_id, subject)
    check_subject(desk.session, hull_id, about, subject)
    return _asked(store.ask(desk.session, hull_id, about, subject, desk.moment))


def _by_numbers(desk: Desk, hull_id: int, text: str) -> str:
    numbers = sorted(int(word) for word in text.split(":") if word.isdecimal())
    if len(numbers) != 2 or numbers[0] == numbers[1]:
        raise NotFound("Two different build states are needed.")
    return ":".join(str(state_by_number(desk.session, hull_id, number).id) for number in numbers)


@pages.action("/hulls/{hull_id:int}/findings/states", on_error=show_hull_effects)
def ask_about_states(desk: Desk, hull_id: int) -> Done:
    reader = desk.reader()
    first, second = (reader.whole(name, low=1, required=True) for name in ("first", "second"))
    if first is not None and first == second:
        reader.fail("second", "Choose two different build states.")
    reader.finish()
    subject = _by_numbers(desk, hull_id, f"{first}:{second}")
    return _asked(store.ask(desk.session, hull_id, "states", subject, desk.moment))


def _asked(finding: Finding) -> Done:
    return Done(f"/findings/{finding.id}", "The question is kept.", back_to="/findings")


@pages.sheet("/findings/of-prop/{prop_id:int}", "findings/ask.html")
def ask_prop(desk: Desk, prop_id: int) -> AskSheet:
    code, places = ask_store.where_prop_ran(desk.session, prop_id)
    return AskSheet(f"prop {code}", places)


@pages.sheet("/findings/of-pack/{pack_id:int}", "findings/ask.html")
def ask_pack(desk: Desk, pack_id: int) -> AskSheet:
    code, places = ask_store.where_pack_ran(desk.session, pack_id)
    return AskSheet(f"pack {code}", places, retire_word(desk.session, pack_id))


@pages.sheet("/findings/before-step/{step_id:int}", "findings/before_step.html")
def before_step(desk: Desk, step_id: int) -> BeforeStepSheet:
    found = step(desk.session, step_id)
    work = modification(desk.session, found.modification_id)
    runs = ask_store.baseline(desk.session, work.hull_id)
    return BeforeStepSheet(step_id, work.id, work.hull_id, f"{found.action} {found.what}".strip(), work.title, runs)
