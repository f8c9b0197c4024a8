"""Attaching the demo's pictures, notes and links to what they belong to."""

import io
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import IO, Any

from sqlmodel import Session

from garage.demo.clock import moment
from garage.demo.names import Names
from garage.demo.pictures import draw_picture
from garage.photos.store import TO_SORT, add_link, add_note, add_photo, owner_thing
from garage.schema import THINGS


@dataclass(frozen=True)
class _Drawn:
    """A drawn picture, as a form would hand a file over."""

    filename: str
    file: IO[bytes]


def write_attached(session: Session, story: Mapping[str, Any], names: Names, files_dir: Path) -> None:
    """Pictures, notes and links of the story; a note of nothing is one that was not sorted yet."""
    for row in story["picture"]:
        drawn = _Drawn(f"{row['draw']}.png", io.BytesIO(draw_picture(row["draw"])))
        of = owner_thing(session, THINGS, *names.owner(row["of"]))
        add_photo(session, files_dir, of, drawn, moment(row["at"]), row["caption"], row.get("role", ""))
    for row in story["note"]:
        of = owner_thing(session, THINGS, *names.owner(row["of"])) if row["of"] else TO_SORT
        add_note(session, of, row["text"], moment(row["at"]))
    for row in story["link"]:
        of = owner_thing(session, THINGS, *names.owner(row["of"]))
        add_link(session, of, row["url"], row["text"], moment(row["at"]))
