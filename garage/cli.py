"""The commands: serve the garage, or serve its demo."""

import argparse
import logging
import socket
import sys
from pathlib import Path

import uvicorn
from platformdirs import user_data_path

from garage.app import create_app
from garage.demo.build import make_demo_garage
from garage.errors import GarageError
from garage.settings import Settings

DEFAULT_PORT = 8321


def main(arguments: list[str] | None = None) -> int:
    """Run one command; the exit code is 2 for anything a person can put right."""
    logging.basicConfig(level=logging.WARNING, format="%(levelname)s %(message)s")
    parser = _parser()
    options = parser.parse_args(arguments)
    if not hasattr(options, "run"):
        parser.print_help()
        return 2
    try:
        return options.run(options)
    except GarageError as error:
        print(error, file=sys.stderr)
        return 2


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(prog="garage", description="Build notebook and garage inventory for fast electric RC boats.")
    commands = parser.add_subparsers(title="commands")
    serve = commands.add_parser("serve", help="serve your own garage")
    serve.add_argument("--data", type=Path, metavar="DIR", help="the data folder (default: this system's usual place)")
    serve.add_argument("--lan", action="store_true", help="also serve phones on the home network, with a pairing code")
    serve.set_defaults(run=_serve)
    demo = commands.add_parser("demo", help="serve an invented garage to look around in")
    demo.add_argument("--data", type=Path, metavar="DIR", help="where the demo's folder is made")
    demo.add_argument("--lan", action="store_true", help="also serve phones on the home network, with a pairing code")
    demo.set_defaults(run=_demo)
    for command in (serve, demo):
        command.add_argument("--port", type=int, default=DEFAULT_PORT, help=f"port to listen on (default {DEFAULT_PORT})")
    return parser


def data_folder(name: str) -> Path:
    """This system's usual place for our data."""
    return user_data_path("garage-notebook", appauthor=False) / name


def _serve(options: argparse.Namespace) -> int:
    return _listen(Settings(_made(options.data or data_folder("garage")), **_network(options)), demo=False)


def _demo(options: argparse.Namespace) -> int:
    folder = options.data or data_folder("demo")
    make_demo_garage(folder)
    return _listen(Settings(folder, **_network(options)), demo=True)


def _made(folder: Path) -> Path:
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise GarageError(f"The data folder {folder} cannot be made: {error.strerror}.") from error
    return folder


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


def _listen(settings: Settings, *, demo: bool) -> int:
    app = create_app(settings)
    if app.state.demo is not demo:
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
    uvicorn.run(app, host=host, port=settings.port, log_level="warning", server_header=False)
    return 0
