"""The verdict on packs that questions are about: one that is to be retired is no gain to go for."""

from collections.abc import Iterable

from sqlmodel import Session

from garage.findings.evidence.runs_store import HullRuns
from garage.findings.tables import Finding
from garage.packs.verdict_store import retire_words


def retire_of_asked(
    session: Session, asked: Iterable[Finding], gathered: HullRuns | None = None
) -> dict[tuple[str, str], str]:
    """What speaks for retiring the packs among the things asked about, by what a question is about and its subject.

    Of the packs of runs that were `gathered` it is known already.
    """
    ids = {int(each.subject) for each in asked if each.about == "pack"}
    known = set(gathered.pack_rows) if gathered else set()
    retire = {**(gathered.facts.retire if gathered else {}), **retire_words(session, ids - known)}
    return {("pack", str(pack_id)): retire[pack_id] for pack_id in ids if pack_id in retire}
