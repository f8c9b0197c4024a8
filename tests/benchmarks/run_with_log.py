"""How much longer a run's page takes when a log of 90,000 points belongs to the run, in one process.

python -m tests.benchmarks.run_with_log
"""

import statistics
import tempfile
import time
from pathlib import Path

from starlette.testclient import TestClient

from garage.app import create_app
from garage.db.engine import writing
from garage.settings import Settings
from tests.logs.made import gpx, there_and_back
from tests.seeded import at, inventory

POINTS = 90_000
ROUNDS = 60


def _seconds(client: TestClient, address: str) -> float:
    began = time.perf_counter()
    client.get(address).raise_for_status()
    return time.perf_counter() - began


def main() -> None:
    """Print the ratios: of the page itself, and of the page with the piece it fetches for its logs."""
    track = (
        there_and_back(25, 25, rounds=POINTS / 534 + 1).track(place_sd=0.02, speed_sd=0.1).part(0, (POINTS - 1) / 25)
    )
    with tempfile.TemporaryDirectory() as folder:
        app = create_app(Settings(Path(folder), hosts=("testserver",)))
        with TestClient(app) as client:
            with writing(app.state.engine) as session:
                made = inventory(session)
                outing = made.outing("05-03")
                bare, logged = (made.run(outing, at("05-03", clock)).id for clock in ("09:20", "11:20"))
            client.post(f"/runs/{logged}/logs", files=[("log_files", ("hour.gpx", gpx(track)))]).raise_for_status()
            print(f"{client.get('/logs/1.json').json()['line']['samples']} points belong to the second run")
            for words, ends in (("page", ("",)), ("page and the piece it fetches", ("", "/logs/short"))):
                took: dict[int, list[float]] = {bare: [], logged: []}
                for turn in range(ROUNDS + 5):
                    for run, times in took.items():
                        seconds = sum(_seconds(client, f"/runs/{run}{end}") for end in ends)
                        if turn >= 5:
                            times.append(seconds)
                without, with_log = (statistics.median(times) for times in took.values())
                print(
                    f"{words}: {without * 1000:.1f} ms without the log, {with_log * 1000:.1f} ms with it, "
                    f"ratio {with_log / without:.2f} (at most 1.5)"
                )


if __name__ == "__main__":
    main()
