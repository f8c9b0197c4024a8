"""Markup and scripts typed into every text field: every page opened in a real browser runs none of them."""

import shutil
from pathlib import Path

import pytest
from playwright.sync_api import Browser
from starlette.testclient import TestClient

from tests.durability.pages import CLOCK, DESK, addresses
from tests.forms import read_page

# Each calls the one name that the listener below hears; ways known from public lists of such tricks, from memory.
CORPUS = (
    "<script>ran(1)</script>",
    "\"><img src=x onerror=ran(2)>",
    "'><svg/onload=ran(3)>",
    "</textarea><script>ran(4)</script>",
    "</title><script>ran(5)</script>",
    "</script><script>ran(6)</script>",
    "<iframe srcdoc='<script>parent.ran(7)</script>'>",
    "\" autofocus onfocus=ran(8) x=\"",
    "<a href=javascript:ran(9)>a</a>",
    "{{ran(10)}}",
    "<details open ontoggle=ran(11)>",
    "<math><mtext><table><mglyph><style><img src=x onerror=ran(12)>",
    "<div hx-get=/ hx-trigger=load hx-on::load=ran(13)>",
    "<style>@import'javascript:ran(14)';</style>",
    "--><script>ran(15)</script>",
    "<body onload=ran(16)>",
)  # fmt: skip


def _type_everywhere(client: TestClient, paths: list[str]) -> int:
    """Post every form of every page with the corpus in its fields of text, other fields as they stood."""
    done, kept = set(), 0
    for path in paths:
        answer = client.get(path)
        if not answer.headers.get("content-type", "").startswith("text/html"):
            continue
        for form in read_page(answer.text, path)[0]:
            if form.method != "post" or form.action in done:
                continue
            done.add(form.action)
            typed = [part.name for part in form.fields.values() if part.kind in ("text", "textarea", "search")]
            kept += _type(client, form, typed, len(done))
    return kept


def _type(client: TestClient, form, typed: list[str], turn: int) -> int:
    """All fields at once; where that is refused, one field after the other beside what stood there."""
    every = {name: CORPUS[(turn + place) % len(CORPUS)] for place, name in enumerate(typed)}
    tries = [every, *({name: text} for name, text in every.items())]
    kept = 0
    for texts in tries:
        answer = client.post(form.action, data=form.data | texts, follow_redirects=False)
        assert answer.status_code < 500
        kept += answer.status_code == 303 and bool(texts)
        if answer.status_code == 303:
            break
    return kept


@pytest.mark.browser
@pytest.mark.parametrize("of_each", [2, pytest.param(6, marks=pytest.mark.long)], ids=["some", "more"])
def test_no_page_runs_a_script_that_was_typed(
    demo_folder: Path, tmp_path: Path, make_app, served, browser: Browser, of_each
):
    folder = Path(shutil.copytree(demo_folder, tmp_path / "demo"))
    app = make_app(folder, clock=lambda: CLOCK)
    client = TestClient(app, client=DESK)
    paths = [path.removesuffix(".json").replace("/home", "/") for path in addresses(app, folder, ".json", 3)]
    kept = _type_everywhere(client, paths)
    assert kept > 60, "hardly anything was taken, so this would show nothing"
    heard: list[str] = []
    address = served(folder)
    # Without the content policy, so that escaping alone has to hold.
    context = browser.new_context(base_url=address, bypass_csp=True)
    context.expose_function("ran", lambda number=None: heard.append(f"script {number} ran"))
    page = context.new_page()
    page.on("dialog", lambda dialog: (heard.append(f"dialog {dialog.message}"), dialog.dismiss()))
    opened = 0
    for path in [path.removesuffix(".json").replace("/home", "/") for path in addresses(app, folder, ".json", of_each)]:
        answer = page.goto(path, wait_until="load")
        assert answer is not None and answer.status < 500, path
        opened += 1
    # A page that nothing protects, so that a deaf listener would be noticed.
    page.goto("about:blank")
    page.set_content("<img src=x onerror='ran(99).then(() => document.title = 1)'>")
    page.wait_for_function("document.title === '1'")
    context.close()
    assert heard == ["script 99 ran"]
    assert opened > 60
    print(f"{kept} forms took markup in, {opened} pages opened, no script ran")
