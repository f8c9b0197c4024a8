"""The commands serve and demo: a garage in the browser."""

import argparse
import logging
import socket
from functools import partial

import uvicorn

from garage.app import create_app
from garage.arguments import Arguments, port_number
from garage.db.folder_lock import held, made
from garage.db.upkeep import DailyBackup, tidy
from garage.demo.first_start import make_demo_garage
from garage.errors import GarageError
from garage.paths import data_folder
from garage.settings import Settings, local_now

DEFAULT_PORT = 8321


def serve(arguments: list[str]) -> int:
    """Serve the person's own garage."""
    options = _options("serve", "Serve your own garage.", arguments)
    folder = options.data or data_folder("garage")
    if options.read_only:
        return _listen(Settings(folder, read_only=True, **_network(options)), demo=None)
    with held(made(folder)):
        return _listen(Settings(folder, **_network(options)), demo=False)


def demo(arguments: list[str]) -> int:
    """Serve an invented garage, unpacked where there is none yet."""
    options = _options("demo", "Serve an invented garage to look around in.", arguments)
    folder = options.data or data_folder("demo")
    make_demo_garage(folder, local_now(), partial(print, flush=True))
    with held(folder):
        return _listen(Settings(folder, **_network(options)), demo=True)


def _options(command: str, about: str, arguments: list[str]) -> argparse.Namespace:
    parser = Arguments(prog=f"garage {command}", description=about)
    parser.add_data_folder()
    parser.add_argument("--lan", action="store_true", help="also serve phones on the home network, with a pairing code")
    if command == "serve":
        parser.add_argument(
            "--read-only", action="store_true", help="only show the garage, also beside the one that serves it"
        )
    parser.add_argument(
        "--port", type=port_number, default=DEFAULT_PORT, help=f"port to listen on (default {DEFAULT_PORT})"
    )
    return parser.parse_args(arguments)


def _network(options: argparse.Namespace) -> dict:
    hosts = ["127.0.0.1", "localhost", "[::1]"]
    if options.lan:
        hosts += home_addresses()
    return {"lan": options.lan, "port": options.port, "hosts": tuple(hosts)}


def home_addresses() -> list[str]:
    """This machine's names on the home network: its address there, and its host name."""
    addresses = [socket.gethostname().lower(), socket.gethostname().lower() + ".local"]
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            # Nothing is sent: connecting a datagram socket only makes the system choose the address it would use.
            probe.connect(("192.0.2.1", 9))
            addresses.insert(0, probe.getsockname()[0])
        except OSError:
            pass
    return addresses


def _listen(settings: Settings, *, demo: bool | None) -> int:
    logging.basicConfig(level=logging.WARNING, format="%(levelname)s %(message)s")
    app = create_app(settings)
    if demo is not None and app.state.demo is not demo:
        kind = "the demo" if app.state.demo else "a real garage"
        raise GarageError(f"{settings.data_dir} holds {kind}; demo and real data are never mixed.")
    host = "0.0.0.0" if settings.lan else "127.0.0.1"
    print(f"Garage notebook: http://127.0.0.1:{settings.port}/   (data in {settings.data_dir})", flush=True)
    if settings.lan:
        print(f"On the home network: http://{settings.hosts[3]}:{settings.port}/", flush=True)
        print(f"Pairing code for a phone: {app.state.doorkeeper.code()}", flush=True)
    with socket.socket(socket.AF_INET, socket.SOCK_STREAM) as trial:
        trial.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            trial.bind((host, settings.port))
        except OSError as error:
            raise GarageError(f"Port {settings.port} is taken; choose another with --port.") from error
    if not settings.read_only:
        _look_after(settings, is_demo=app.state.demo)
    uvicorn.run(app, host=host, port=settings.port, log_level="warning", server_header=False, proxy_headers=False)
    return 0


def _look_after(settings: Settings, *, is_demo: bool) -> None:
    """Tidy the folder and say what was swept; back a real garage up once a day."""
    for line in tidy(settings.data_dir):
        print(f"Swept: {line}", flush=True)
    if not is_demo:
        DailyBackup(settings.data_dir, settings.clock).start()
