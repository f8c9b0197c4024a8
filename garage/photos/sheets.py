"""What is attached to a thing, as its page shows it."""

from collections.abc import Sequence
from dataclasses import dataclass

from garage.moments import Moment
from garage.photos.store import SHOWN_AT_ONCE
from garage.photos.tables import BOUGHT, Attachment
from garage.things import Thing


@dataclass(frozen=True)
class AttachedItem:
    """One picture, note, sound, video or link. `src` and `thumb` are addresses of its file, or ''."""

    id: int
    kind: str
    at: Moment
    text: str
    url: str
    src: str
    thumb: str
    media_type: str
    width_px: int | None
    height_px: int | None
    role: str = ""


@dataclass(frozen=True)
class Attached:
    """All that is attached to one thing; `more` if only the first of many are here."""

    owner: str
    owner_id: int | None
    items: list[AttachedItem]
    more: bool = False
    may_be_receipt: bool = False


@dataclass(frozen=True)
class AttachmentsSheet:
    """A page of its own for what is attached to a thing."""

    name: str
    url: str
    attached: Attached
    page: int
    more: bool
    values: dict[str, str]

    @property
    def rows(self) -> list[AttachedItem]:
        """The same for the table file."""
        return self.attached.items


@dataclass(frozen=True)
class UnsortedSheet:
    """Notes made at the water, and what each may belong to."""

    items: list[AttachedItem]
    choices: list[tuple[str, str]]
    page: int
    more: bool
    values: dict[str, str]

    @property
    def rows(self) -> list[AttachedItem]:
        """The same for the table file."""
        return self.items


@dataclass(frozen=True)
class EditSheet:
    """One attachment with its caption or note and its time to mend, and whether it is a receipt."""

    item: AttachedItem
    name: str
    url: str
    values: dict[str, str]
    may_be_receipt: bool


def attached_item(row: Attachment) -> AttachedItem:
    """One attachment as a page shows it."""
    src = f"/files/{row.sha256}" if row.sha256 else ""
    thumb = f"{src}/thumb" if row.kind == "photo" else ""
    return AttachedItem(
        row.id, row.kind, Moment(row.at, row.offset_min), row.text, row.url, src, thumb, row.media_type,
        row.width_px, row.height_px, row.role,
    )  # fmt: skip


def attached(owner: str, owner_id: int | None, rows: Sequence[Attachment]) -> Attached:
    """What is attached to a thing, for the field `attached` of its sheet."""
    items = [attached_item(row) for row in rows]
    return Attached(owner, owner_id, items, len(items) >= SHOWN_AT_ONCE, owner in BOUGHT)


def attachments_sheet(
    owner: Thing, rows: Sequence[Attachment], page: int, limit: int, *, receipt: bool = False
) -> AttachmentsSheet:
    """The page; `rows` holds one more than `limit` if there is a further page. With `receipt` the form begins with
    that ticked."""
    items, may_be = [attached_item(row) for row in rows[:limit]], owner.owner in BOUGHT
    shown = Attached(owner.owner, owner.id, items, may_be_receipt=may_be)
    values = {"attach_receipt": "yes"} if receipt and may_be else {}
    return AttachmentsSheet(owner.name, owner.url, shown, page, len(rows) > limit, values)


def unsorted_sheet(rows: Sequence[Attachment], owners: Sequence[Thing], page: int, limit: int) -> UnsortedSheet:
    """Notes to sort; `rows` holds one more than `limit` if there is a further page."""
    choices = [(f"{found.owner}:{found.id}", f"{found.owner}: {found.name}") for found in owners]
    return UnsortedSheet([attached_item(row) for row in rows[:limit]], choices, page, len(rows) > limit, {})


def edit_sheet(row: Attachment, owner: Thing) -> EditSheet:
    """The form of one attachment."""
    item = attached_item(row)
    typed = {"attach_text": item.text, "attach_at": item.at.local_text()}
    typed |= {"attach_receipt": "yes"} if item.role == "receipt" else {}
    return EditSheet(item, owner.name, owner.url, typed, owner.owner in BOUGHT and item.kind != "note")
