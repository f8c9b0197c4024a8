"""What was found in the demo: its hulls judged at their last closed outing, and what was decided."""

import json
from collections.abc import Mapping
from typing import Any

from sqlmodel import Session, col, select

from garage.demo.clock import moment
from garage.demo.names import Names
from garage.findings.evidence.runs_store import only_closed
from garage.findings.gather import numbers_words
from garage.findings.judge import judge, used
from garage.findings.judging import judge_hull
from garage.findings.store import ask, decide
from garage.findings.tables import FindingDecision
from garage.moments import Moment
from garage.runs.tables import Run
from garage.units import DisplayUnits
from garage.waters.tables import Outing


def write_findings(session: Session, story: Mapping[str, Any], names: Names) -> None:
    """Judge every hull as of her last closed outing, and keep the decisions of the story with the figures."""
    units = DisplayUnits.metric()
    for hull_id in names.hulls.values():
        last = _last_outing(session, hull_id)
        if last is not None and last.id is not None and last.closed_at:
            judge_hull(session, hull_id, last.id, Moment(last.closed_at, last.offset_min), units)
    session.flush()
    for row in story["decided"]:
        at = moment(row["at"])
        hull_id = names.hulls[row["hull"]]
        subject = str(names.modifications[f"{row['hull']}/{row['modification']}"])
        asked = ask(session, hull_id, "change", subject, at)
        judged = judge(session, asked, units)
        given = judged.answer
        decide(session, FindingDecision(
            finding_id=asked.id, kind=row["kind"], reason=row["reason"], at=at.utc, offset_min=at.offset_min,
            verdict=given.tangled_verdict if given else "", numbers=numbers_words(given) if given else "",
            run_ids=json.dumps(used(only_closed(judged.gathered).runs)),
        ))  # fmt: skip


def _last_outing(session: Session, hull_id: int) -> Outing | None:
    """The last closed outing on which a hull ran."""
    closed = select(Outing).join(Run, col(Run.outing_id) == col(Outing.id)).where(Run.hull_id == hull_id)
    latest = closed.where(col(Outing.closed_at).is_not(None)).order_by(col(Outing.started_at).desc())
    return session.exec(latest).first()
