"""Every link of the demo leads somewhere: a walk from Home, breadth first, with the twins of pages."""

import json
import re
from collections import deque
from html.parser import HTMLParser
from urllib.parse import urldefrag, urljoin, urlsplit

import pytest
from sqlmodel import select

from garage.packs.store import counted_at
from garage.runs.tables import Run, RunPack

# Of addresses that differ in numbers or in what stands behind the question mark only, so many are visited; the long
# set looks at more of each.
FEW_OF_A_KIND, MOST_OF_A_KIND = 3, 12
MOST_PAGES = 900


class _Links(HTMLParser):
    """Addresses that a page leads to, or shows, or asks for a piece of; twins as data have a test of their own."""

    def __init__(self) -> None:
        super().__init__()
        self.found: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        wanted = {"a": "href", "img": "src", "source": "src", "link": "href", "script": "src"}.get(tag)
        for name, value in attrs:
            is_twin = bool(value) and urlsplit(value).path.endswith(".json")
            if value and not is_twin and (name == wanted or name == "hx-get"):
                self.found.append(value)


def _kind(address: str) -> str:
    parts = urlsplit(address)
    names = "&".join(sorted(re.findall(r"(?:^|&)([^=&]+)=", parts.query)))
    path = re.sub(r"/files/[0-9a-f]{64}", "/files/N", parts.path)
    return re.sub(r"\d+", "N", path) + ("?" + names if names else "")


def _links(page_address: str, html: str) -> list[str]:
    reader = _Links()
    reader.feed(html)
    here = [urldefrag(urljoin("http://testserver" + page_address, link))[0] for link in reader.found]
    parts = [urlsplit(link) for link in here if link.startswith("http://testserver/")]
    return [part.path + (f"?{part.query}" if part.query else "") for part in parts]


@pytest.fixture(
    scope="module", params=[FEW_OF_A_KIND, pytest.param(MOST_OF_A_KIND, marks=pytest.mark.long)], ids=["few", "most"]
)
def walk(request, demo_client):
    """Visit pages from Home on; what each answered, by address, with the page that led there."""
    answers: dict[str, tuple[int, str, str]] = {}
    visits: dict[str, int] = {}
    waiting = deque([("/", "the start")])
    while waiting and len(answers) < MOST_PAGES:
        address, led_from = waiting.popleft()
        if address in answers or visits.get(_kind(address), 0) >= request.param:
            continue
        visits[_kind(address)] = visits.get(_kind(address), 0) + 1
        answer = demo_client.get(address)
        html = "text/html" in answer.headers.get("content-type", "")
        answers[address] = (answer.status_code, led_from, answer.text if html else "")
        if html:
            waiting.extend((link, address) for link in _links(address, answer.text))
    return answers


def test_every_address_that_a_page_leads_to_answers(walk):
    wrong = {address: (status, led_from) for address, (status, led_from, _) in walk.items() if status != 200}
    assert wrong == {}
    assert len(walk) >= 200


# Words that pages once had and that people did not understand, or that another program has for the same.
GIVEN_UP = (
    "against without", "the thing itself", "wave away", "waved away", "start anew", "fetched how",
    "log several", "parted by", "gave way", "gives way", "rise of the", "raw peak", "best 2 s",
    "best 1 s", "highest sample", "mω·ah", "sd of its log", "slip of the pen", "slips mended", "in service",
    "90 % interval", "not judged", "best mean over",
)  # fmt: skip
_TITLE, _UNSAID = re.compile(r"<title>(.*?)</title>"), re.compile(r"(?s)<script.*?</script>|<style.*?</style>|<[^>]+>")


def test_no_page_says_a_word_that_was_given_up(walk):
    said = {address: " ".join(_UNSAID.sub(" ", html).lower().split()) for address, (_, _, html) in walk.items()}
    assert [(address, word) for address, words in said.items() for word in GIVEN_UP if word in words] == []


def test_every_tab_says_what_its_page_does(walk):
    titles = {address: found[1] for address, (_, _, html) in walk.items() if (found := _TITLE.search(html))}
    assert not [address for address, title in titles.items() if title.startswith(("Garage notebook", " ("))]
    kinds: dict[str, set[str]] = {}
    for address, title in titles.items():
        kinds.setdefault(title, set()).add(address.split("/")[1].partition("?")[0])
    assert {title: found for title, found in kinds.items() if len(found) > 1} == {}, "pages of two rooms have one name"


def test_every_page_has_its_json_twin_and_says_the_same_kind_of_thing(walk, demo_client):
    wrong = {}
    for address, (status, _, html) in walk.items():
        whole_page = html.lstrip().lower().startswith("<!doctype")
        if status != 200 or not whole_page:
            continue
        parts = urlsplit(address)
        twin = ("/home" if parts.path == "/" else parts.path) + ".json" + (f"?{parts.query}" if parts.query else "")
        answer = demo_client.get(twin)
        if answer.status_code != 200 or not isinstance(json.loads(answer.text), dict):
            wrong[twin] = answer.status_code
    assert wrong == {}


def test_no_page_shows_a_hole_where_a_value_should_be(walk):
    holes = re.compile(r">\s*(None|nan|inf|undefined|True|False)\s*<|\[object|Measure\(|Moment\(")
    wrong = {address: found[0] for address, (*_, html) in walk.items() if (found := holes.search(html))}
    assert wrong == {}


def test_no_table_file_holds_an_object_or_a_hole_where_a_value_should_be(walk, demo_client):
    holes = re.compile(
        r"(?:^|,)\"?(None|nan|inf|True|False)\"?(?:,|$)|Measure\(|Moment\(|RunLine\(|\w+Row\(", re.MULTILINE
    )
    tables = [address for address in walk if urlsplit(address).path.endswith(".csv")]
    wrong = {address: found[0] for address in tables if (found := holes.search(demo_client.get(address).text))}
    assert wrong == {}
    assert len({urlsplit(address).path for address in tables}) >= 12


def test_wherever_the_speed_of_a_run_with_an_unbroken_in_pack_stands_in_a_table_it_says_so(walk, demo_session):
    uses = demo_session.exec(select(RunPack.run_id, RunPack.pack_id, Run.started_at).join(Run)).all()
    standings = counted_at(demo_session, [(pack_id, started_at) for _, pack_id, started_at in uses])
    young = {str(run) for run, *at in uses if not standings[tuple(at)].broken_in}
    assert len(young) > 3
    seen, silent = 0, set()
    for address, (_, _, html) in walk.items():
        for row in re.findall(r"<tr\b.*?</tr>", html, re.DOTALL):
            quoted = set(re.findall(r'href="/runs/(\d+)"', row)) & young
            if quoted and re.search(r"\d\s*(<[^>]*>\s*)*km/h", row):
                seen += 1
                if not re.search("breaking in|fresh|not broken in", row):
                    silent.add((_kind(address), *quoted))
    assert seen > 10 and not silent
