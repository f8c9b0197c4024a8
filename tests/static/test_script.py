"""The scripts of pages in a real browser: drafts, double posts, uploads, rows. Not run without Chromium."""

from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
pytestmark = pytest.mark.browser
POLICY = "default-src 'none'; script-src 'self'; connect-src 'self'; form-action 'self'; style-src 'self'"
NUMBER = "0123456789abcdef" * 2
HIDDEN = f'<input type="hidden" name="form_number" value="{NUMBER}">'
FORM = """<form method="post" action="/save" data-keep="run" {extra}>{error}{hidden}
<input name="speed" id="speed" value="{speed}"><input name="method" value="display">
<input type="checkbox" name="weed" id="weed">
<input type="datetime-local" name="at" id="at">
<button type="button" data-autofill-now="at" id="now">Now</button>
{more}<button id="save">Save</button></form>"""
TOO_FAST = '<p class="error">too fast</p>'
ROWS = """<table data-rows><tr><td><input id="a1"><td><input id="b1"></tr>
<tr><td><input id="a2"><td><input id="b2"></tr></table>"""


class Site:
    """A little site answered from memory: pages by path, and what POST /save answers."""

    def __init__(self):
        self.pages = {"/new": self.form(), "/done": "<h1>Saved</h1>", "/other": "<h1>Other</h1>"}
        self.save_status, self.save_body, self.posts = 303, "", 0
        self.held = False

    @staticmethod
    def form(speed="", error="", more="", extra=""):
        return FORM.format(speed=speed, error=error, more=more, extra=extra, hidden=HIDDEN)

    def answer(self, route):
        path = route.request.url.split("notebook.test", 1)[1].split("?")[0]
        if path.startswith("/static/"):
            return route.fulfill(path=ROOT / path[1:])
        if path == f"/sent/{NUMBER}":
            return route.fulfill(json={"held": self.held})
        if path == "/save" and route.request.method == "POST":
            self.posts += 1
            if self.save_status == 303:  # a redirect cannot be faked here: answer with the page behind it
                return self.page(route, 200, self.pages["/done"], f"garage_held={NUMBER}")
            return self.page(route, self.save_status, self.save_body)
        if path == "/save":
            return self.page(route, 200, self.pages["/done"])
        return self.page(route, 200 if path in self.pages else 404, self.pages.get(path, ""))

    @staticmethod
    def page(route, status, body, cookie=""):
        scripts = "".join(f'<script src="/static/{name}.js" defer></script>' for name in ("garage", "drafts"))
        shell = f'<!doctype html><html lang="en">{scripts}<main>{{}}'
        route.fulfill(
            status=status,
            body=shell.format(body),
            content_type="text/html; charset=utf-8",
            headers={"Content-Security-Policy": POLICY} | ({"Set-Cookie": cookie} if cookie else {}),
        )


@pytest.fixture
def site():
    return Site()


@pytest.fixture
def page(browser, site):
    page = browser.new_page(base_url="http://notebook.test")
    page.route("**/*", site.answer)
    page.goto("/new")
    yield page
    page.close()


HOME = """<h1>Home</h1><section data-drafts hidden><ul></ul></section>"""
SHOWN = '<input type="hidden" name="form_shown" value="{}">'


def _put_back(page) -> str:
    page.wait_for_selector(".draft")
    return page.input_value("#speed")


def test_typing_left_behind_is_back_when_the_form_is_opened_again(page):
    page.fill("#speed", "95,5")
    page.check("#weed")
    page.goto("/other")
    page.goto("/new")
    assert _put_back(page) == "95,5" and page.is_checked("#weed")
    assert "never saved" in page.text_content(".draft")
    page.click("text=Throw it away")
    page.wait_for_selector(".draft", state="detached")
    assert page.input_value("#speed") == "" and not page.is_checked("#weed")


def test_a_saved_draft_does_not_come_back(page):
    page.fill("#speed", "95,5")
    page.click("#save")
    page.wait_for_selector("h1")
    page.goto("/new")
    assert page.evaluate("() => Object.keys(localStorage)") == [] and page.input_value("#speed") == ""


def test_a_page_with_errors_shows_what_the_server_says_and_not_the_draft(page, site):
    page.fill("#speed", "955")
    page.check("#weed")
    site.save_status, site.save_body = 422, site.form(speed="955 as sent", error=TOO_FAST)
    page.click("#save")
    page.wait_for_selector(".error")
    assert page.input_value("#speed") == "955 as sent"
    assert not page.is_checked("#weed")
    page.goto("/new")
    assert _put_back(page) == "955"


def test_what_was_sent_into_a_dead_line_waits_on_home(page, site):
    site.pages["/"] = HOME
    page.fill("#speed", "95,5")
    site.save_status, site.save_body = 500, "<h1>Fault</h1>"
    page.click("#save")
    page.wait_for_selector("h1")
    page.goto("/")
    page.wait_for_selector("[data-drafts] li")
    page.click("text=Put it back")
    assert _put_back(page) == "95,5"
    page.goto("/")
    page.wait_for_selector("[data-drafts] li")
    page.click("text=Throw it away")
    assert page.is_hidden("[data-drafts]")
    page.goto("/new")
    assert page.input_value("#speed") == ""


def test_what_arrived_though_no_answer_came_is_not_offered_again(page, site):
    site.pages["/"] = HOME
    page.fill("#speed", "95,5")
    site.save_status, site.save_body, site.held = 500, "<h1>Fault</h1>", True
    page.click("#save")
    page.wait_for_selector("h1")
    page.goto("/")
    page.wait_for_function("() => Object.keys(localStorage).length === 0")
    assert page.is_hidden("[data-drafts]")


def test_another_notebook_at_the_same_address_has_drafts_of_its_own(page):
    page.fill("#speed", "95,5")
    page.evaluate("() => localStorage.setItem('draft:another:run', localStorage.getItem('draft::run'))")
    page.goto("/new")
    page.click("text=Throw it away")
    page.wait_for_selector(".draft", state="detached")
    assert page.evaluate("() => Object.keys(localStorage)") == ["draft:another:run"]


def test_a_draft_does_not_overwrite_what_was_changed_elsewhere(page, site):
    page.fill("#speed", "95,5")
    page.goto("/other")
    site.pages["/new"] = site.form(speed="97")
    page.goto("/new")
    page.wait_for_selector(".draft")
    assert page.input_value("#speed") == "97" and "No longer a place for: 95,5" in page.text_content(".draft")


def test_of_an_edit_form_what_it_showed_comes_back_too_so_that_the_notebook_can_ask(page, site):
    site.pages["/new"] = site.form(speed="90", more=SHOWN.format("as it was"))
    page.goto("/new")
    page.fill("#speed", "95,5")
    page.goto("/other")
    site.pages["/new"] = site.form(speed="97", more=SHOWN.format("as it is"))
    page.goto("/new")
    assert _put_back(page) == "95,5" and page.input_value("[name=form_shown]") == "as it was"


def test_numbers_typed_in_other_units_are_told_and_not_put_back(page, site):
    page.fill("#speed", "95,5")
    site.pages["/new"] = site.form(more='<input type="hidden" name="form_units" value="speed=mph">')
    page.goto("/new")
    page.wait_for_selector(".draft")
    assert page.input_value("#speed") == "" and "Typed in other units: 95,5" in page.text_content(".draft")


def test_chosen_pictures_are_kept_as_well(page, site, tmp_path):
    open_upload(page, site, tmp_path)
    page.wait_for_function("""() => new Promise((done) => { const asked = indexedDB.open("drafts", 1);
        asked.onsuccess = () => { const all = asked.result.transaction("files").objectStore("files").getAllKeys();
        all.onsuccess = () => { asked.result.close(); done(all.result.length > 0); }; }; })""")
    page.goto("/other")
    page.goto("/photo")
    assert _put_back(page) == "95,5"
    page.wait_for_function("() => document.querySelector('#photo').files.length === 1")
    assert page.evaluate("() => document.querySelector('#photo').files[0].size") == 200_000


def test_a_form_on_its_way_is_not_posted_again(page, site):
    site.save_status = 204  # the browser stays on the page, so a second press is possible
    sent = []
    page.on("request", lambda request: sent.append(request.url) if request.method == "POST" else None)
    with page.expect_response(lambda answer: answer.request.method == "POST"):
        page.evaluate("() => document.querySelector('form').requestSubmit()")
    for _ in range(2):
        page.evaluate("() => document.querySelector('form').requestSubmit()")
    # Asked for after those: by its answer they would have been on their way.
    page.evaluate("() => fetch('/new').then(answer => answer.text())")
    assert site.posts == 1 and len(sent) == 1
    assert page.is_disabled("#save")


def test_now_fills_the_local_time(page):
    before = page.evaluate("Date.now()")
    page.click("#now")
    filled = page.evaluate("(text) => new Date(text).getTime()", page.input_value("#at"))
    a_minute = 60_000
    assert before - a_minute < filled <= page.evaluate("Date.now()")


@pytest.mark.parametrize(
    "start,key,expected",
    [("#a1", "Enter", "a2"), ("#b1", "Enter", "b2"), ("#b2", "Shift+Enter", "b1"), ("#b2", "Enter", "save")],
)
def test_enter_moves_along_the_column_and_then_to_the_button(page, site, start, key, expected):
    site.pages["/rows"] = site.form(more=ROWS)
    page.goto("/rows")
    page.press(start, key)
    assert page.evaluate("() => document.activeElement.id") == expected
    assert site.posts == 0


def open_upload(page, site, tmp_path):
    chooser = '<input type="file" name="photo" id="photo">'
    site.pages["/photo"] = site.form(more=chooser, extra='enctype="multipart/form-data"')
    page.goto("/photo")
    (tmp_path / "strut.txt").write_bytes(b"x" * 200_000)
    page.fill("#speed", "95,5")
    page.set_input_files("#photo", tmp_path / "strut.txt")


def test_an_upload_goes_on_to_the_page_it_was_sent_to(page, site, tmp_path):
    open_upload(page, site, tmp_path)
    page.click("#save")
    page.wait_for_selector("h1")
    assert site.posts == 1 and page.text_content("h1") == "Saved"


def test_a_refused_upload_shows_the_errors_in_place(page, site, tmp_path):
    open_upload(page, site, tmp_path)
    site.save_status, site.save_body = 422, site.form(speed="as sent", error=TOO_FAST)
    page.click("#save")
    page.wait_for_selector(".error")
    assert page.input_value("#speed") == "as sent"
    assert page.is_enabled("#save")


def test_a_broken_upload_keeps_the_form_and_says_so(page, site, tmp_path):
    open_upload(page, site, tmp_path)
    site.save_status = 500
    page.click("#save")
    page.wait_for_selector("[role=alert]")
    page.wait_for_selector("#save:enabled")
    assert page.input_value("#speed") == "95,5"
