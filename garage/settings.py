"""What one running app is told when it is made: where the data lies, who may come in, what time it is."""

from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import UTC, datetime
from pathlib import Path

from garage.paths import DATABASE_NAME, FILES_NAME


def local_now() -> datetime:
    """The time here and now, with this machine's zone."""
    return datetime.now(UTC).astimezone()


@dataclass(frozen=True)
class Settings:
    """Settings of one app. `clock` can be replaced, so that a test or a drill stands at a fixed time."""

    data_dir: Path
    lan: bool = False
    port: int = 8000
    read_only: bool = False
    hosts: tuple[str, ...] = ("127.0.0.1", "localhost", "[::1]")
    clock: Callable[[], datetime] = field(default=local_now)
    max_body_bytes: int = 60_000_000
    max_upload_bytes: int = 400_000_000

    @property
    def database(self) -> Path:
        return self.data_dir / DATABASE_NAME

    @property
    def files_dir(self) -> Path:
        return self.data_dir / FILES_NAME
