"""The verdict on packs that questions are about: one that is to be retired is no gain to go for."""

from collections.abc import Iterable

from sqlmodel import Session

from garage.findings.tables import Finding
from garage.packs.verdict_store import retire_words


def retire_of_asked(session: Session, asked: Iterable[Finding]) -> dict[tuple[str, str], str]:
    """What speaks for retiring the packs among the things asked about, by what a question is about and its subject."""
    ids = [int(each.subject) for each in asked if each.about == "pack"]
    return {("pack", str(pack_id)): words for pack_id, words in retire_words(session, ids).items()} if ids else {}
