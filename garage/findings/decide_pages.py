"""Routes for deciding: leave on, take off, test again."""

import json

from garage.findings import sheets, store
from garage.findings.asked_packs import retire_of_asked
from garage.findings.evidence.runs_store import only_closed
from garage.findings.gather import numbers_words
from garage.findings.judge import judge, used
from garage.findings.tables import DECISIONS, FindingDecision
from garage.hulls.store import hull
from garage.runs.lines.store import run_facts
from garage.web.desk import Desk
from garage.web.pages import Done, Pages

pages = Pages()


@pages.sheet("/findings/{finding_id:int}/decide", "findings/decide.html")
def ask_decision(desk: Desk, finding_id: int) -> sheets.DecideSheet:
    asked = store.finding(desk.session, finding_id)
    judged = judge(desk.session, asked, desk.units)
    given = judged.answer
    return sheets.DecideSheet(
        finding_id,
        hull(desk.session, asked.hull_id).name,
        judged.title,
        given.tangled_verdict if given else "",
        numbers_words(given) if given else "",
        {},
        retire_of_asked(desk.session, [asked], judged.gathered).get((asked.about, asked.subject), ""),
    )


@pages.action("/findings/{finding_id:int}/decide", on_error=ask_decision)
def decide(desk: Desk, finding_id: int) -> Done:
    asked, reader = store.finding(desk.session, finding_id), desk.reader()
    kind = reader.choice("kind", DECISIONS, required=True)
    reason = reader.long_text("reason", most=1000)
    reader.finish()
    judged = judge(desk.session, asked, desk.units, facts_of=run_facts)
    given = judged.answer
    kept = store.decide(desk.session, FindingDecision(
        finding_id=finding_id, kind=kind, reason=reason, at=desk.moment.utc, offset_min=desk.moment.offset_min,
        verdict=given.tangled_verdict if given else "", numbers=numbers_words(given) if given else "",
        run_ids=json.dumps(used(only_closed(judged.gathered).runs)),
    ))  # fmt: skip
    undo = f"/findings/{finding_id}/decisions/{kept.id}/take-back"
    return Done(f"/findings/{finding_id}#decided", f"Decided: {kind}.", undo)


@pages.action("/findings/{finding_id:int}/decisions/{decision_id:int}/take-back")
def take_back(desk: Desk, finding_id: int, decision_id: int) -> Done:
    store.set_decision_aside(desk.session, finding_id, decision_id, desk.moment.utc)
    undo = f"/findings/{finding_id}/decisions/{decision_id}/bring-back"
    return Done(f"/findings/{finding_id}", "The decision is taken back.", undo)


@pages.action("/findings/{finding_id:int}/decisions/{decision_id:int}/bring-back")
def bring_back(desk: Desk, finding_id: int, decision_id: int) -> str:
    store.set_decision_aside(desk.session, finding_id, decision_id, None)
    return f"/findings/{finding_id}"
