"""Every form of every page filled from plausible and hostile values: never a fault of ours, never half an entry."""

import base64
import io
import json
import random
import re
import shutil
import sqlite3
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from garage.archive.check import check
from garage.paths import DATABASE_NAME
from garage.web.notices import COOKIE
from tests.durability.conftest import picture
from tests.durability.pages import CLOCK, DESK, addresses
from tests.forms import Field, Form, read_page

MARK = "zq9x"
SCRIPTS = (
    f"<script>{MARK}</script>", f'"><img src=x onerror={MARK}>', f"'-{MARK}-'", f"javascript:{MARK}",
    f"{{{{{MARK}}}}}", f"</textarea><script>{MARK}</script>", f"<svg/onload={MARK}>",
)  # fmt: skip
HOSTILE = (
    "", " ", "-5", "0", "99999999999", "1e400", "nan", "-inf", "9**9**9 mm", "45 parsec", "5,000", "22,2 V", "3/16 in",
    "🚤🔥", "x" * 10_000, "2099-01-01T10:00", "0000-00-00", "2026-02-30T25:61", "a\x00b", "a\r\nb", "\u202etrebor",
    "\ud83d".encode("utf-16", "surrogatepass").decode("utf-16", "ignore"), "=1+1", "'; DROP TABLE run; --", "%s%n%x",
    "../../etc/passwd", "null", "None", "undefined", "{}", "[]", "18446744073709551616", "-9223372036854775809",
    "１２", "½", "\t", *SCRIPTS,
)  # fmt: skip
PLAUSIBLE = (
    "1", "2", "3", "7", "12", "40", "3,5", "80 km/h", "50 mph", "742 mm", "3.9 V", "2000 mAh", "2026-05-03",
    "2026-05-03T14:05", "14:05", "A", "J", "P1", "M1", "Heron", "hold the bow down", "4.1 4.1 4.1", "25 °C", "no",
)  # fmt: skip
# Acts that say what they did and offer no button to take it back, each with the reason.
NOT_TAKEN_BACK = {
    "/undo/N": "is the taking back itself",
    "/hulls/N/states/N/back/N": "is the taking back of a visit to the workshop",
    "/hulls/N/states/N/withdraw": "is the taking back of a change put in; it can be put in again",
    "/props/N/editions/N/take-back": "is the taking back of a rework",
    "/hulls/N/states/N/balance/N/set-aside": "is the taking back of a balance sheet",
    "/logs/N/pieces/N/restored/N/strike": "is the taking back of samples brought back",
    "/packs/log/N-N/return": "is the taking back of setting them aside",
    "/logs/N/cut": "says how it was cut before; what a cut of the file gives is measured, not written",
    "/logs/N/columns": "reads the file; the log is set aside as a whole",
    "/import/N": "says that nothing is taken in yet",
    "/access/forget": "phones come in again with a new code",
    "/pair/leave": "is the taking back of a pairing",
}
FILES = {
    "picture.png": picture(7),
    "../../../evil.png": picture(8),
    "half.png": picture(9)[:60],
    "script.svg": b"<svg xmlns='http://www.w3.org/2000/svg'><script>1</script></svg>",
    "page.html": b"<!doctype html><script>1</script>",
    "empty.jpg": b"",
    "zeros.mp4": b"\0" * 4000,
    "bomb.gpx": b'<?xml version="1.0"?><!DOCTYPE gpx [<!ENTITY a "aaaa">]><gpx version="1.1">&a;</gpx>',
    "odd.gpx": b'<gpx version="1.1"><trk><trkseg><trkpt lat="nan" lon="999"/></trkseg></trk></gpx>',
    "table.csv": b"time,speed\n0,10\n1,=1+1\n2,nan\n",
    "line.nmea": b"$GPRMC,,V,,,,,,,,,,N*53\r\n" * 50,
    "x" * 300 + ".png": picture(10),
}


class Fuzzer:
    """Posts forms found on pages; new forms are found on the pages that answer."""

    def __init__(self, client: TestClient, folder: Path, seed: int, *, follows_all: bool = True) -> None:
        """Without `follows_all`, of each kind of page that an act leads to the first two are looked at, then one in
        eight: in the usual set most of the time would go into reading the same pages again."""
        self.follows_all = follows_all
        self.followed: dict[str, int] = {}
        self.client, self.folder, self.random = client, folder, random.Random(seed)
        self.forms: dict[str, tuple[str, Form]] = {}
        self.faults: list[str] = []
        self.statuses: dict[int, int] = {}
        self.watch = sqlite3.connect(folder / DATABASE_NAME)

    def look_at(self, path: str) -> None:
        """Find the forms of a page, and whether markup typed somewhere stands in it as markup."""
        answer = self.client.get(path)
        if answer.status_code >= 500:
            self.faults.append(f"GET {path}: {answer.status_code}")
        elif answer.headers.get("content-type", "").startswith("text/html"):
            self._find(answer.text, path.split("?")[0])

    def _find(self, html: str, path: str) -> None:
        if re.search(rf"<(script|img src=x|svg/onload)[^>]*{MARK}|<script>{MARK}", html):
            self.faults.append(f"{path}: markup that was typed stands in the page as markup")
        for form in read_page(html, path)[0]:
            kind = re.sub(r"\d+", "N", form.action.split("?")[0]) + form.method
            # An earlier form of the kind makes place now and then, so that those of new things are met as well.
            if kind not in self.forms or self.random.random() < 0.3:
                self.forms[kind] = (path, form)

    def act(self) -> None:
        """One post, or the address of a form that asks."""
        kind = self.random.choice(sorted(self.forms))
        _page, form = self.forms[kind]
        data = {part.name: self._value(part) for part in form.fields.values() if part.kind != "file"}
        data = {name: value for name, value in data.items() if value is not None}
        if self.random.random() < 0.05 and data:
            data.pop(self.random.choice(sorted(data)))
        if form.method != "post":
            self._note(self.client.get(form.action, params=data), f"GET {form.action} {data}")
            return
        before = self._version()
        answer = self.client.post(form.action, data=data, files=self._files(form), follow_redirects=False)
        self._note(answer, f"POST {form.action} {str(data)[:300]}")
        if answer.status_code != 303 and self._version() != before:
            self.faults.append(f"POST {form.action}: answered {answer.status_code} and wrote something: {data}")
        elif answer.status_code == 303 and self._version() != before:
            self._look_for_a_way_back(answer, form.action)
        if answer.status_code == 303 and self._follows(answer.headers["location"]):
            self.look_at(answer.headers["location"])

    def _follows(self, address: str) -> bool:
        kind = re.sub(r"\d+", "N", address.split("#")[0])
        self.followed[kind] = self.followed.get(kind, 0) + 1
        return self.follows_all or self.followed[kind] <= 2 or self.followed[kind] % 8 == 0

    def _look_for_a_way_back(self, answer, action: str) -> None:
        """What says that it is done can be taken back, or is known to be none of those."""
        packed = answer.cookies.get(COOKIE)
        said, undo = json.loads(base64.urlsafe_b64decode(packed.strip('"')))[:2] if packed else ("", "")
        kind = re.sub(r"\d+(-\d+)+", "N-N", action.split("?")[0])
        if said and not undo and re.sub(r"\d+", "N", kind) not in NOT_TAKEN_BACK:
            self.faults.append(f"POST {action}: said “{said}” and offered no way back")

    def _note(self, answer, label: str) -> None:
        self.statuses[answer.status_code] = self.statuses.get(answer.status_code, 0) + 1
        if answer.status_code >= 500:
            self.faults.append(f"{label}: {answer.status_code}")
        elif answer.headers.get("content-type", "").startswith("text/html"):
            self._find(answer.text, label.split(" ")[1])

    def _version(self) -> int:
        """Changes whenever another connection has written."""
        return self.watch.execute("PRAGMA data_version").fetchone()[0]

    def _value(self, part: Field) -> str | None:
        chance = self.random.random()
        if part.kind in ("select", "radio", "checkbox") and part.choices:
            if part.kind == "checkbox" and chance < 0.4:
                return None
            return self.random.choice(part.choices) if chance < 0.93 else self.random.choice(HOSTILE)
        if part.kind in ("hidden", "submit"):
            return part.value if chance < 0.9 else self.random.choice(HOSTILE)
        if chance < 0.35:
            return part.value
        return self.random.choice(PLAUSIBLE) if chance < 0.75 else self.random.choice(HOSTILE)

    def _files(self, form: Form) -> list | None:
        names = [part.name for part in form.fields.values() if part.kind == "file"]
        if not names or self.random.random() < 0.2:
            return None
        chosen = self.random.sample(sorted(FILES), self.random.choice((1, 1, 2)))
        return [(names[0], (name, io.BytesIO(FILES[name]), "image/png")) for name in chosen]


# The usual set posts some of each form; the long set 20,000: four garages of 5,000, for several processes to share.
_LONG = [pytest.param(5000, seed, marks=pytest.mark.long) for seed in (1, 2, 3, 4)]


@pytest.mark.parametrize(("posts", "seed"), [(400, 0), *_LONG])
def test_forms_filled_with_anything_never_fail_and_never_write_half(
    demo_folder: Path, tmp_path: Path, make_app, posts: int, seed: int
):
    folder = Path(shutil.copytree(demo_folder, tmp_path / "demo"))
    app = make_app(folder, clock=lambda: CLOCK)
    # Entered, it keeps one thread for all requests.
    with TestClient(app, client=DESK, raise_server_exceptions=False) as client:
        _fuzz(client, app, folder, posts, seed)


def _fuzz(client: TestClient, app, folder: Path, posts: int, seed: int) -> None:
    fuzzer = Fuzzer(client, folder, seed, follows_all=posts > 1000)
    for path in addresses(app, folder, ".json", of_each=2 if posts > 1000 else 1):
        fuzzer.look_at(path.removesuffix(".json").replace("/home", "/"))
    assert len(fuzzer.forms) > 60
    for turn in range(posts):
        fuzzer.act()
        assert len(fuzzer.faults) < 10, fuzzer.faults
        if turn % 500 == 499:
            assert not fuzzer.watch.execute("PRAGMA foreign_key_check").fetchall()
    assert fuzzer.faults == []
    report = check(folder)
    assert report.is_good, report
    assert fuzzer.statuses.get(303, 0) > posts / 10, "hardly anything was accepted: the forms were not filled well"
    print(f"{posts} forms of {len(fuzzer.forms)} kinds; answers by status: {sorted(fuzzer.statuses.items())}")
