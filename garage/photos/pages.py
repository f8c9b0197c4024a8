"""Routes of what is attached to things: adding, mending, sorting, setting aside, and the files themselves."""

from fastapi.responses import FileResponse

from garage.errors import NotFound
from garage.moments import Moment
from garage.photos import files, forms, sheets, store
from garage.web.desk import Desk
from garage.web.pages import Done, Pages

pages = Pages()
# A file's address is the hash of its bytes, so what lies there never changes.
_FOR_GOOD = {"cache-control": "private, max-age=31536000, immutable"}


@pages.response("/files/{sha256}")
def send_file(desk: Desk, sha256: str) -> FileResponse:
    media_type = store.stored_media_type(desk.session, sha256)
    path = files.stored_path(desk.request.app.state.settings.files_dir, sha256, media_type)
    if not path.is_file():
        raise NotFound("The file is no longer in the data folder.")
    return FileResponse(path, media_type=media_type, headers=_FOR_GOOD)


@pages.response("/files/{sha256}/thumb")
def send_thumb(desk: Desk, sha256: str) -> FileResponse:
    store.stored_media_type(desk.session, sha256)
    path = files.thumb_path(desk.request.app.state.settings.files_dir, sha256)
    if not path.is_file():
        raise NotFound("There is no small picture of that file.")
    return FileResponse(path, media_type="image/jpeg", headers=_FOR_GOOD)


@pages.sheet("/attachments/unsorted", "photos/unsorted.html", is_list=True)
def show_unsorted(desk: Desk) -> sheets.UnsortedSheet:
    rows = store.unsorted(desk.session, limit=desk.limit + 1, offset=desk.offset)
    return sheets.unsorted_sheet(rows, store.recent_owners(desk.session, desk.things), desk.page, desk.limit)


@pages.action("/attachments/quick", on_error=show_unsorted)
def add_quick(desk: Desk) -> Done:
    files_dir = desk.request.app.state.settings.files_dir
    form = forms.read_attach(desk.reader(), desk.typed.files("attach_files"), files_dir)
    store.attach(desk.session, files_dir, store.TO_SORT, form, desk.moment)
    return Done("/attachments/unsorted", "Noted. Sort it when there is time.")


@pages.sheet(
    "/attachments/{owner}/{owner_id:int}",
    "photos/attachments.html",
    is_list=True,
    asks={"receipt": "“yes” for a form that begins with a receipt"},
)
def show_attachments(desk: Desk, owner: str, owner_id: int) -> sheets.AttachmentsSheet:
    thing = store.owner_thing(desk.session, desk.things, owner, owner_id)
    rows = store.attachments(desk.session, owner, owner_id, limit=desk.limit + 1, offset=desk.offset)
    receipt = desk.query.get("receipt") == "yes"
    return sheets.attachments_sheet(thing, rows, desk.page, desk.limit, receipt=receipt)


@pages.action("/attachments/{owner}/{owner_id:int}", on_error=show_attachments)
def attach(desk: Desk, owner: str, owner_id: int) -> Done:
    thing = store.owner_thing(desk.session, desk.things, owner, owner_id)
    files_dir = desk.request.app.state.settings.files_dir
    form = forms.read_attach(desk.reader(), desk.typed.files("attach_files"), files_dir)
    count = store.attach(desk.session, files_dir, thing, form, desk.moment)
    return Done(thing.url, f"Attached to {thing.name}." if count == 1 else f"{count} attached to {thing.name}.")


@pages.sheet("/attachments/{attachment_id:int}/edit", "photos/edit.html")
def edit_attachment(desk: Desk, attachment_id: int) -> sheets.EditSheet:
    row = store.attachment(desk.session, attachment_id)
    return sheets.edit_sheet(row, store.owner_thing(desk.session, desk.things, row.owner, row.owner_id))


@pages.action("/attachments/{attachment_id:int}/edit", on_error=edit_attachment, edits=True)
def change_attachment(desk: Desk, attachment_id: int) -> Done:
    row = store.attachment(desk.session, attachment_id)
    at = Moment(row.at, row.offset_min)
    store.change(desk.session, attachment_id, *forms.read_caption(desk.reader(), row.kind, at))
    return Done(store.owner_thing(desk.session, desk.things, row.owner, row.owner_id).url, "Saved.")


@pages.action("/attachments/{attachment_id:int}/sort", on_error=show_unsorted)
def sort_attachment(desk: Desk, attachment_id: int) -> Done:
    owner, owner_id = forms.read_new_owner(desk.reader())
    thing = store.owner_thing(desk.session, desk.things, owner, owner_id)
    store.move(desk.session, attachment_id, owner, owner_id)
    return Done("/attachments/unsorted", f"Moved to {thing.name}.", f"/attachments/{attachment_id}/unsort")


@pages.action("/attachments/{attachment_id:int}/unsort")
def unsort_attachment(desk: Desk, attachment_id: int) -> str:
    store.move(desk.session, attachment_id, "", None)
    return "/attachments/unsorted"


@pages.action("/attachments/{attachment_id:int}/aside")
def set_aside(desk: Desk, attachment_id: int) -> Done:
    row = store.set_aside(desk.session, attachment_id, desk.moment.utc)
    thing = store.owner_thing(desk.session, desk.things, row.owner, row.owner_id)
    return Done(thing.url, f"The {row.kind} is set aside.", f"/attachments/{attachment_id}/return")


@pages.action("/attachments/{attachment_id:int}/return")
def bring_back(desk: Desk, attachment_id: int) -> str:
    row = store.set_aside(desk.session, attachment_id, None)
    return store.owner_thing(desk.session, desk.things, row.owner, row.owner_id).url
