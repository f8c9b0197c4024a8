"""How many SQL statements a page or a save of the demo takes, and how many of them were asked before.

`python -m tests.queries` prints a line for each kind of page and of save, worst first; with addresses behind it, every
statement of these pages, most often asked first.
"""

import re
import sys
import tempfile
from collections import Counter, deque
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import UTC, datetime
from pathlib import Path

from sqlalchemy import Engine, event
from starlette.testclient import TestClient

from garage.app import create_app
from garage.demo.first_start import make_demo_garage
from garage.settings import Settings
from tests.forms import Form, read_page

MOST_ON_A_PAGE, MOST_IN_A_SAVE = 25, 15
# Of addresses that differ in numbers, or in what stands behind the question mark, so many are asked for.
MOST_OF_A_KIND, MOST_PAGES = 3, 900
# The season of the demo has ended by then; the clock stands still so that counts can be set side by side.
REFERENCE = datetime(2026, 11, 25, 9, 0, tzinfo=UTC)
DESK = ("127.0.0.1", 50000)
_ASKS = re.compile(r"\s*(SELECT|INSERT|UPDATE|DELETE|REPLACE|WITH)\b", re.IGNORECASE)


@dataclass
class Statements:
    """What was asked of the file, in order, each with its parameters; the bounds of transactions are not among it."""

    asked: list[tuple[str, str]] = field(default_factory=list)

    def __len__(self) -> int:
        return len(self.asked)

    @property
    def again(self) -> int:
        """How many had been asked before, in the same words with the same parameters."""
        return len(self.asked) - len(set(self.asked))

    @property
    def alike(self) -> int:
        """How many had been asked before in the same words, with whatever parameters."""
        return len(self.asked) - len({text for text, _ in self.asked})

    def table(self) -> list[tuple[int, int, str]]:
        """Each statement: how often it was asked, with how many different parameters, and its words."""
        often = Counter(text for text, _ in self.asked)
        different = Counter(text for text, _ in set(self.asked))
        return [(count, different[text], " ".join(text.split())) for text, count in often.most_common()]


@contextmanager
def counted(engine: Engine) -> Iterator[Statements]:
    """Note every statement that goes through `engine` within the block."""
    noted = Statements()

    def note(_connection, _cursor, text: str, parameters, *_rest) -> None:
        if _ASKS.match(text):
            noted.asked.append((text, repr(parameters)))

    event.listen(engine, "before_cursor_execute", note)
    try:
        yield noted
    finally:
        event.remove(engine, "before_cursor_execute", note)


@dataclass(frozen=True)
class Count:
    """The page or save of a kind that asked most. `status` is what the server answered."""

    kind: str
    address: str
    status: int
    statements: Statements
    most: int

    @property
    def is_over(self) -> bool:
        """Whether it asks too much, or anything twice."""
        return len(self.statements) > self.most or self.statements.again > 0


def kind_of(address: str) -> str:
    """Addresses that differ only in numbers and in the values behind the question mark are of one kind."""
    path, _, query = address.partition("?")
    names = "&".join(sorted({part.partition("=")[0] for part in query.split("&") if part}))
    path = re.sub(r"\d+", "N", re.sub(r"/files/[0-9a-f]{64}", "/files/N", path))
    return path + (f"?{names}" if names else "")


def pages(client: TestClient) -> tuple[list[Count], dict[str, Form]]:
    """The worst page of each kind that Home leads to, and one form of each kind found on them."""
    worst: dict[str, Count] = {}
    forms: dict[str, Form] = {}
    visits: Counter[str] = Counter()
    seen, waiting = {"/"}, deque(["/"])
    while waiting and visits.total() < MOST_PAGES:
        address = waiting.popleft()
        kind = kind_of(address)
        if visits[kind] >= MOST_OF_A_KIND:
            continue
        visits[kind] += 1
        with counted(client.app.state.engine) as statements:
            answer = client.get(address)
        if not answer.headers.get("content-type", "").startswith("text/html"):
            continue
        if kind not in worst or len(statements) > len(worst[kind].statements):
            worst[kind] = Count(kind, address, answer.status_code, statements, MOST_ON_A_PAGE)
        found, links = read_page(answer.text, address.partition("?")[0])
        for form in found:
            if form.method == "post":
                forms.setdefault(f"POST {kind_of(form.action)}", form)
        waiting.extend(link for link in dict.fromkeys(links) if link not in seen)
        seen.update(links)
    return list(worst.values()), forms


def saves(client: TestClient, forms: dict[str, Form]) -> list[Count]:
    """What each form takes when it is sent as it stands; those that were not taken as they stood answer 422."""
    counts = []
    for kind, form in forms.items():
        with counted(client.app.state.engine) as statements:
            answer = client.post(form.action, data=form.data)
        counts.append(Count(kind, form.action, answer.status_code, statements, MOST_IN_A_SAVE))
    return counts


def lines(counts: list[Count]) -> list[str]:
    """The counts as a table, worst first; a star for what is over the budget."""
    ordered = sorted(counts, key=lambda count: (-len(count.statements), -count.statements.again, count.kind))
    rows = [
        f"{'*' if each.is_over else ' '} {len(each.statements):6} {each.statements.again:6} {each.statements.alike:6} "
        f"{each.status:6}  {each.kind}  ({each.address})"
        for each in ordered
    ]
    over = sum(each.is_over for each in counts)
    head = f"  {'asked':>6} {'again':>6} {'alike':>6} {'answer':>6}  kind (the worst of it)"
    return [head, *rows, f"{over} of {len(counts)} over the budget."]


@contextmanager
def demo_client() -> Iterator[TestClient]:
    """A client on a demo garage of its own, gone afterwards; what runs beside the pages does not run."""
    with tempfile.TemporaryDirectory() as folder:
        make_demo_garage(Path(folder) / "garage", None)
        app = create_app(Settings(Path(folder) / "garage", hosts=("testserver",), clock=lambda: REFERENCE))
        yield TestClient(app, follow_redirects=False, raise_server_exceptions=False, client=DESK)
        app.state.engine.dispose()


def main(addresses: list[str]) -> None:
    """Print the table of all kinds, or every statement of some pages."""
    with demo_client() as client:
        for address in addresses:
            with counted(client.app.state.engine) as statements:
                client.get(address)
            print(f"{address}: {len(statements)} asked, {statements.again} again. Times, different parameters, words:")
            print("\n".join(f"{often:5} {different:5}  {text}" for often, different, text in statements.table()))
        if not addresses:
            counts, forms = pages(client)
            print(f"Pages: at most {MOST_ON_A_PAGE}, none again.", *lines(counts), sep="\n")
            print(f"\nSaves: at most {MOST_IN_A_SAVE}, none again.", *lines(saves(client, forms)), sep="\n")


if __name__ == "__main__":
    main(sys.argv[1:])
