"""What a page function gets to work with: a session, what was typed, the units preferred, the time."""

import hashlib
import json
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any

from fastapi import Request, UploadFile
from sqlmodel import Session
from starlette.datastructures import UploadFile as StarletteUpload

from garage.handed_down import MeasuredSlip, Rests
from garage.moments import Moment
from garage.things import Things
from garage.units import DisplayUnits
from garage.units.kinds import UNITS_OF_SESSION
from garage.web.asking import ANSWER, read_answer
from garage.web.fields import Reader
from garage.web.guard import PHONE_OF_REQUEST
from garage.web.numbers import NUMBER_FIELD, read_number
from garage.web.shown import SHOWN_FIELD, UNITS_FIELD, Texts, merge, read_shown, read_units

PAGE_LENGTH = 50
MOST_FIELDS = 4000
MOST_FILES = 40


class Typed(Mapping[str, str]):
    """The texts of a form by name (the last of several), all of them with `all`, its files with `files`.

    The form's own one-time `number` is none of them; '' if it carried none. Nor is what it showed when it was
    opened, and the units it was shown in.
    """

    def __init__(self, texts: dict[str, list[str]] | None = None, files: dict[str, list[UploadFile]] | None = None):
        self._texts = dict(texts or {})
        self._files = files or {}
        self.number = read_number(self._texts.pop(NUMBER_FIELD, []))
        self.shown = read_shown(self._texts.pop(SHOWN_FIELD, []))
        self.units = read_units(self._texts.pop(UNITS_FIELD, []))

    def __getitem__(self, name: str) -> str:
        return self._texts[name][-1]

    def __iter__(self) -> Iterator[str]:
        return iter(self._texts)

    def __len__(self) -> int:
        return len(self._texts)

    def all(self, name: str) -> list[str]:
        """Every text under `name`, in the order of the form."""
        return list(self._texts.get(name, []))

    def answered(self) -> "Typed":
        """The form with what the pressed answer to a question stands for."""
        if ANSWER not in self._texts:
            return self
        texts = {name: several for name, several in self._texts.items() if name != ANSWER}
        return self._with(texts | {name: [text] for name, text in read_answer(self[ANSWER]).items()})

    def only(self, stays: Callable[[str], bool]) -> "Typed":
        """The form with those fields only that stay."""
        return self._with({name: texts for name, texts in self._texts.items() if stays(name)})

    def merged(self, was: Mapping[str, Texts], now: Mapping[str, Texts]) -> tuple["Typed", dict[str, Texts]]:
        """The form as `shown.merge` makes it of one that showed `was`, and what stands against it. It is told what
        stands there now, and so shows that."""
        texts, both = merge(self._texts, was, now)
        made = self._with(texts)
        made.shown = None
        return made, both

    def _with(self, texts: dict[str, list[str]]) -> "Typed":
        made = Typed(texts, self._files)
        made.number, made.shown, made.units = self.number, self.shown, self.units
        return made

    def files(self, name: str) -> list[UploadFile]:
        """The files that were chosen under `name`; an empty choice is none."""
        return [upload for upload in self._files.get(name, []) if upload.filename]

    def digest(self, address: str) -> str:
        """A hash of all that stands in the form sent to `address`, files with what is in them."""
        told = hashlib.sha256(json.dumps([address, self._texts]).encode())
        for name, uploads in self._files.items():
            for upload in uploads:
                content = hashlib.file_digest(upload.file, "sha256").hexdigest()  # type: ignore[arg-type]
                upload.file.seek(0)
                told.update(json.dumps([name, upload.filename, content]).encode())
        return told.hexdigest()


def typed_in_query(request: Request) -> Typed:
    """What stands behind the question mark of an address, as if it were a form."""
    asked = request.query_params
    return Typed({name: asked.getlist(name) for name in asked})


async def read_typed(request: Request) -> Typed:
    """Read a posted form. Done before the page function, which is not a coroutine."""
    texts: dict[str, list[str]] = {}
    files: dict[str, list[Any]] = {}
    form = await request.form(max_files=MOST_FILES, max_fields=MOST_FIELDS)
    for name, value in form.multi_items():
        if isinstance(value, StarletteUpload):
            files.setdefault(name, []).append(value)
        else:
            texts.setdefault(name, []).append(value)
    return Typed(texts, files)


@dataclass(frozen=True)
class Desk:
    """One request, as a page function sees it. `wants_all` is set for a `.csv`, which is not cut into pages."""

    request: Request
    session: Session
    typed: Typed = field(default_factory=Typed)
    wants_all: bool = False

    def __post_init__(self) -> None:
        self.session.info[UNITS_OF_SESSION] = self.units

    @property
    def now(self) -> datetime:
        return self.request.app.state.settings.clock()

    @property
    def moment(self) -> Moment:
        return Moment.of(self.now)

    @property
    def today(self) -> str:
        return self.moment.date()

    @property
    def who(self) -> str:
        """Who sent this: the phone by its name, or nobody in particular for the computer itself."""
        return self.request.scope.get(PHONE_OF_REQUEST, "")

    @property
    def units(self) -> DisplayUnits:
        """Those that the form at hand was shown in, else those preferred."""
        return self.typed.units or self.request.app.state.units

    @property
    def rests(self) -> Rests:
        """What rests on build states, asked of a floor above."""
        return self.request.app.state.rests

    @property
    def measured_slip(self) -> MeasuredSlip:
        """What a log measured of a run's slip, asked of a floor above."""
        return self.request.app.state.measured_slip

    @property
    def things(self) -> Things:
        """All kinds of things of the notebook, as the rooms describe them."""
        return self.request.app.state.things

    @property
    def query(self) -> Mapping[str, str]:
        return self.request.query_params

    @property
    def page(self) -> int:
        """Which page of a long list is asked for, from 1."""
        text = self.query.get("page", "1")
        return max(1, int(text)) if text.isascii() and text.isdigit() and len(text) < 7 else 1

    @property
    def limit(self) -> int:
        """How many rows a list may show; one more tells whether there is a further page."""
        return 10_000_000 if self.wants_all else PAGE_LENGTH

    @property
    def offset(self) -> int:
        return 0 if self.wants_all else (self.page - 1) * PAGE_LENGTH

    def reader(self) -> Reader:
        """A reader of what was typed."""
        return Reader(self.typed, self.units, self.now)

    def query_reader(self) -> Reader:
        """A reader of what stands behind the question mark of the address."""
        return Reader(typed_in_query(self.request), self.units, self.now)
