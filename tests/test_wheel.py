"""A wheel built from the checkout runs from any folder.

It brings its own templates, styles, migrations and reference data.
"""

import os
import socket
import subprocess
import sys
import sysconfig
import time
from pathlib import Path

import httpx
import pytest

ROOT = Path(__file__).parent.parent


@pytest.fixture(scope="module")
def installed(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The `garage` command of a fresh environment that holds the wheel; its dependencies are lent from this one."""
    folder = tmp_path_factory.mktemp("wheel")
    pip = [sys.executable, "-m", "pip", "--quiet", "--disable-pip-version-check"]
    subprocess.run(
        [*pip, "wheel", "--no-deps", "--no-build-isolation", "--wheel-dir", folder, ROOT], check=True, cwd=folder
    )
    (wheel,) = folder.glob("*.whl")
    environment = folder / "env"
    subprocess.run([sys.executable, "-m", "venv", "--without-pip", environment], check=True)
    site = next((environment / "lib").glob("python*/site-packages"))
    subprocess.run([*pip, "install", "--no-deps", "--target", site, wheel], check=True, cwd=folder)
    # Behind the wheel's own folder in the search order: whatever of ours is installed there is not seen.
    (site / "lent.pth").write_text(sysconfig.get_path("purelib") + "\n")
    return environment / "bin" / "python"


def _free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return probe.getsockname()[1]


def test_wheel_serves_pages_from_another_folder(installed: Path, tmp_path: Path):
    port = _free_port()
    server = subprocess.Popen(
        [installed, "-m", "garage", "serve", "--data", tmp_path / "data", "--port", str(port)],
        cwd=tmp_path,
        env={name: value for name, value in os.environ.items() if name != "PYTHONPATH"},
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
    )
    try:
        page = _fetch(f"http://127.0.0.1:{port}/hulls", server)
        style = httpx.get(f"http://127.0.0.1:{port}/static/garage.css")
    finally:
        server.terminate()
        server.wait(10)
    assert page.status_code == 200 and "Garage notebook" in page.text
    assert style.status_code == 200 and style.headers["content-type"].startswith("text/css")


def test_wheel_carries_its_own_files_and_a_small_demo(installed: Path, tmp_path: Path):
    root, there, bytes_ = _said(
        installed,
        tmp_path,
        "import garage.paths as p; print(p.ROOT); print(p.SHARED_DIR.is_dir(), p.MIGRATIONS_DIR.is_dir()); "
        "print((p.SHARED_DIR / 'demo_garage' / 'garage.zip').stat().st_size)",
    )
    assert root.endswith("_bundled") and there == "True True" and int(bytes_) <= 3_000_000


def test_wheel_makes_its_demo(installed: Path, tmp_path: Path):
    program = (
        "from pathlib import Path; from garage.demo.first_start import make_demo_garage; "
        "from garage.settings import local_now; print(make_demo_garage(Path('demo'), local_now()))"
    )
    assert _said(installed, tmp_path, program) == ["True"]
    assert (tmp_path / "demo" / "garage.sqlite").is_file()


def _said(python: Path, folder: Path, program: str) -> list[str]:
    """What a program says that runs in a folder, without help from this checkout."""
    env = {name: value for name, value in os.environ.items() if name != "PYTHONPATH"}
    run = subprocess.run([python, "-c", program], cwd=folder, env=env, capture_output=True, text=True, check=True)
    return run.stdout.splitlines()


def _fetch(address: str, server: subprocess.Popen) -> httpx.Response:
    for _attempt in range(200):
        if server.poll() is not None:
            pytest.fail(f"the server stopped: {server.stdout.read() if server.stdout else ''}")
        try:
            return httpx.get(address)
        except httpx.ConnectError:
            time.sleep(0.1)
    pytest.fail("the server did not answer within 20 s")
