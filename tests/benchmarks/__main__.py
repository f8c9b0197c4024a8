"""Prints ratios: readiness against a bare app, page times of the demo against a bare page of 400 linked rows, and of a
hundredfold garage against the demo.

Everything is measured in one run on one machine, so that the ratios travel; the seconds do not.
"""

import shutil
import socket
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import httpx

from garage.demo.first_start import make_demo_garage
from garage.paths import DATABASE_NAME
from garage.settings import local_now
from tests.benchmarks.enlarge import enlarge

TIMES = 100
ROUNDS = 40
PAGES = {"home": "/", "hull": "/hulls/1", "run form": "/runs/new?hull=1", "records": "/records"}
# At most so many times a bare page of 400 linked rows is what each page of the demo may take.
MOST_TIMES_BARE = {
    "/": 6,
    "/runs/227": 6,
    "/runs/new?hull=1": 6,
    "/records": 6,
    "/packs": 6,
    "/hulls/2/states/7": 6,
    "/hulls/1": 12,
}
BARE_APP = """
import sys
import uvicorn
from fastapi import FastAPI
from fastapi.responses import HTMLResponse
from jinja2 import DictLoader, Environment

app = FastAPI()
row = '<li><a href="/rows/{{ one.id }}">{{ one.name }}</a> {{ one.words }}</li>'
templates = {
    "page": "<p>{{ words }}</p>",
    "rows": "<ul>{% for one in rows %}" + row + "{% endfor %}</ul>",
}
environment = Environment(loader=DictLoader(templates), autoescape=True)
page, list_page = environment.get_template("page"), environment.get_template("rows")
rows = [{"id": number, "name": f"Row {number}", "words": "measured, one way"} for number in range(400)]


@app.get("/", response_class=HTMLResponse)
def home():
    return page.render(words="ready")


@app.get("/rows", response_class=HTMLResponse)
def listed():
    return list_page.render(rows=rows)


uvicorn.run(app, host="127.0.0.1", port=int(sys.argv[1]), log_level="warning")
"""


def _free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return probe.getsockname()[1]


class Served:
    """A server in a process of its own, and how long it took until it answered."""

    def __init__(self, command: list, path: str = "/") -> None:
        port = _free_port()
        began = time.perf_counter()
        self._process = subprocess.Popen([sys.executable, *map(str, command), str(port)], stdout=subprocess.DEVNULL)
        self.address = f"http://127.0.0.1:{port}"
        while True:
            try:
                httpx.get(self.address + path)
                break
            except httpx.TransportError:
                if self._process.poll() is not None or time.perf_counter() - began > 60:
                    raise SystemExit(f"the server did not come up: {command}") from None
                time.sleep(0.005)
        self.ready_s = time.perf_counter() - began

    def __enter__(self) -> "Served":
        return self

    def __exit__(self, *_error) -> None:
        self._process.terminate()
        self._process.wait(10)


def _garage(folder: Path) -> list:
    return ["-m", "garage", "demo", "--data", folder, "--port"]


def _page_seconds(one: httpx.Client, other: httpx.Client, path: str, other_path: str = "") -> tuple[float, float]:
    """Median seconds of a page of two servers, taken in turn; of the other its own path, if it has one."""
    seconds: tuple[list[float], list[float]] = ([], [])
    for turn in range(ROUNDS + 3):
        for client, taken in zip((one, other), seconds, strict=True):
            began = time.perf_counter()
            client.get(path if client is one else other_path or path).raise_for_status()
            if turn >= 3:
                taken.append(time.perf_counter() - began)
    return statistics.median(seconds[0]), statistics.median(seconds[1])


def against_bare(demo: Path, bare: Path) -> None:
    """Print how many times a bare page the pages of the demo take, and how many they may."""
    with Served(_garage(demo)) as garage_server, Served([bare]) as bare_server:
        clients = httpx.Client(base_url=garage_server.address), httpx.Client(base_url=bare_server.address)
        for path, most in MOST_TIMES_BARE.items():
            taken_s, bare_s = _page_seconds(*clients, path, "/rows")
            print(
                f"{path}: {taken_s * 1000:.1f} ms, 400 bare rows {bare_s * 1000:.1f} ms, "
                f"{taken_s / bare_s:.1f} times (at most {most})"
            )


def main() -> None:
    """Measure and print."""
    with tempfile.TemporaryDirectory() as folder:
        demo, large, bare = Path(folder) / "demo", Path(folder) / "large", Path(folder) / "bare.py"
        began = time.process_time()
        make_demo_garage(demo, local_now())
        print(f"the demo is made in {time.process_time() - began:.1f} s of processor time (at most 3)")
        shutil.copytree(demo, large)
        enlarge(large / DATABASE_NAME, TIMES)
        bare.write_text(BARE_APP)

        starts: dict[str, list[float]] = {"bare": [], "garage": []}
        for _turn in range(7):
            for name, command in (("bare", [bare]), ("garage", _garage(demo))):
                with Served(command) as served:
                    starts[name].append(served.ready_s)
        ready = {name: statistics.median(taken) for name, taken in starts.items()}
        print(
            f"ready after start: {ready['garage']:.2f} s, bare app {ready['bare']:.2f} s, "
            f"ratio {ready['garage'] / ready['bare']:.2f}"
        )

        against_bare(demo, bare)
        with Served(_garage(demo)) as small_server, Served(_garage(large)) as large_server:
            clients = httpx.Client(base_url=small_server.address), httpx.Client(base_url=large_server.address)
            for name, path in PAGES.items():
                small_s, large_s = _page_seconds(*clients, path)
                print(
                    f"{name}: demo {small_s * 1000:.1f} ms, {TIMES} times the demo {large_s * 1000:.1f} ms, "
                    f"ratio {large_s / small_s:.2f}"
                )


if __name__ == "__main__":
    main()
