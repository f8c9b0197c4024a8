"""The list of questions put together."""

from dataclasses import replace

from sqlmodel import Session

from garage.calc.effect.verdict import percent
from garage.findings import sheets, store
from garage.findings.asked_packs import retire_of_asked
from garage.findings.subjects import titles
from garage.findings.tables import Finding, FindingDecision, FindingResult
from garage.hulls.store import hull_names, hulls
from garage.moments import Moment

_MOST_HULLS = 40
_ABOUTS = {"change": "modification", "setting": "setting", "prop": "prop", "pack": "pack", "states": "two build states"}


def finding_list_sheet(session: Session, asked: list[Finding], page: int, more: bool) -> sheets.FindingListSheet:
    """Questions with their last stored answers, and the hulls that can be asked about."""
    ids = [each.id for each in asked]
    results = store.latest_results(session, ids)
    decided: dict[int, FindingDecision] = {}
    for row in store.decisions_of(session, ids):
        decided.setdefault(row.finding_id, row)
    names = hull_names(session, {each.hull_id for each in asked})
    retire = retire_of_asked(session, asked)
    rows = [
        replace(
            _row(each, title, names, results.get(each.id), decided.get(each.id)),
            retire=retire.get((each.about, each.subject), ""),
        )
        for each, title in zip(asked, titles(session, asked), strict=True)
    ]
    listed = [(each.id, each.name) for each in hulls(session, limit=_MOST_HULLS)]
    return sheets.FindingListSheet(rows, listed, page, more)


def _row(
    asked: Finding,
    title: str,
    names: dict[int, str],
    result: FindingResult | None,
    decision: FindingDecision | None,
) -> sheets.FindingRow:
    return sheets.FindingRow(
        id=asked.id,
        hull=names[asked.hull_id],
        about=_ABOUTS[asked.about],
        title=title,
        verdict=("confirmed: " if result and result.confirmed else "") + (result.verdict if result else ""),
        percent=percent(result.ln) if result else None,
        low=percent(result.low_ln) if result else None,
        high=percent(result.high_ln) if result else None,
        judged=Moment.here(result.at) if result else None,
        decision=decision.kind if decision else "",
    )
