"""Reading the forms of a page as a browser would: fields, what stands in them, and where they go."""

from dataclasses import dataclass, field
from html.parser import HTMLParser

TEXT_TYPES = ("text", "search", "date", "datetime-local", "number", "tel", "url", "email")


@dataclass
class Field:
    """One named field. `choices` are the values a select, radio or tick box offers."""

    name: str
    kind: str
    value: str = ""
    choices: list[str] = field(default_factory=list)

    @property
    def is_typed(self) -> bool:
        return self.kind == "textarea" or self.kind in TEXT_TYPES


@dataclass
class Form:
    """One form of a page."""

    action: str
    method: str
    fields: dict[str, Field] = field(default_factory=dict)

    @property
    def data(self) -> dict[str, str]:
        """What would be sent if nothing was touched (files left out)."""
        return {
            name: part.value
            for name, part in self.fields.items()
            if part.kind != "file" and (part.kind not in ("checkbox", "radio") or part.value)
        }


class _Reader(HTMLParser):
    def __init__(self, page: str) -> None:
        super().__init__()
        self.page, self.forms, self.links = page, [], []
        self._by_id: dict[str, Form] = {}
        self._loose: list[tuple[str, dict]] = []
        self._form: Form | None = None
        self._select: Field | None = None
        self._area: Field | None = None

    def handle_starttag(self, tag: str, attributes) -> None:
        values = {name: value or "" for name, value in attributes}
        if tag == "a" and values.get("href", "").startswith("/"):
            self.links.append(values["href"].split("#")[0])
        elif tag == "form":
            self._form = Form(values.get("action") or self.page, values.get("method", "get").lower())
            self.forms.append(self._form)
        elif self._form is not None and values.get("name"):
            self._field(tag, values)
        elif tag == "option" and self._select is not None:
            value = values.get("value", "")
            self._select.choices.append(value)
            if "selected" in values or len(self._select.choices) == 1:
                self._select.value = value

    def _field(self, tag: str, values: dict[str, str]) -> None:
        assert self._form is not None
        name = values["name"]
        if tag == "select":
            self._select = self._form.fields.setdefault(name, Field(name, "select"))
        elif tag == "textarea":
            self._area = self._form.fields.setdefault(name, Field(name, "textarea"))
        elif tag == "input":
            kind = values.get("type", "text")
            part = self._form.fields.setdefault(name, Field(name, kind))
            if kind in ("checkbox", "radio"):
                part.choices.append(values.get("value", "on"))
                part.value = values.get("value", "on") if "checked" in values else part.value
            elif kind != "submit":
                part.value = values.get("value", "")

    def handle_data(self, data: str) -> None:
        if self._area is not None:
            self._area.value += data

    def handle_endtag(self, tag: str) -> None:
        if tag == "form":
            self._form = None
        elif tag == "select":
            self._select = None
        elif tag == "textarea" and self._area is not None:
            # The first line break behind the tag is the template's own.
            self._area.value = self._area.value.removeprefix("\n")
            self._area = None


def read_page(html: str, path: str) -> tuple[list[Form], list[str]]:
    """The forms of a page and the addresses it links to within the app."""
    reader = _Reader(path)
    reader.feed(html)
    return reader.forms, reader.links
