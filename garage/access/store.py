"""Phones let in over the home network: a short code shown on the desk, and a secret the phone keeps."""

import hashlib
import hmac
import secrets
import threading
from collections.abc import Callable
from datetime import datetime, timedelta

from sqlalchemy import Engine
from sqlmodel import Session, select

from garage.db.engine import reading, writing
from garage.errors import Conflict, NotFound
from garage.access.tables import Device
from garage.moments import Moment

CODE_LIVES = timedelta(minutes=10)
MOST_GUESSES = 5


class Doorkeeper:
    """Holds the pairing code of the moment and knows the paired phones. One per app; safe between threads."""

    def __init__(self, engine: Engine, clock: Callable[[], datetime]) -> None:
        self._engine = engine
        self._clock = clock
        self._lock = threading.Lock()
        self._code = ""
        self._made_at = clock()
        self._guesses = 0
        self._known: set[str] = set()

    def code(self) -> str:
        """The code to type on the phone: eight digits, new after ten minutes, five wrong guesses or one use."""
        with self._lock:
            return self._current()

    def _current(self) -> str:
        if not self._code or self._clock() - self._made_at > CODE_LIVES or self._guesses >= MOST_GUESSES:
            self._code = f"{secrets.randbelow(10**8):08d}"
            self._made_at = self._clock()
            self._guesses = 0
        return self._code

    def pair(self, typed: str, name: str) -> str:
        """The secret for a phone that typed the right code. Raises Conflict in words otherwise."""
        digits = "".join(character for character in typed if character.isdigit())
        with self._lock:
            if self._guesses >= MOST_GUESSES:
                raise Conflict("Too many wrong codes. Look at the desk for the new one.")
            if not hmac.compare_digest(digits.encode(), self._current().encode()):
                self._guesses += 1
                raise Conflict("That is not the code shown on the desk.")
            self._code = ""
        secret = secrets.token_urlsafe(32)
        with writing(self._engine) as session:
            session.add(Device(name=name, secret_sha256=_digest(secret), paired_at=Moment.of(self._clock()).utc))
        return secret

    def is_paired(self, secret: str) -> bool:
        """Whether `secret` belongs to a phone that was let in and not sent away since."""
        digest = _digest(secret)
        if digest in self._known:
            return True
        with reading(self._engine) as session:
            found = session.exec(
                select(Device.id).where(Device.secret_sha256 == digest, Device.ended_at == None)  # noqa: E711
            ).first()
        if found is not None:
            self._known.add(digest)
        return found is not None

    def forget(self) -> None:
        """Look every phone up again: one of them was sent away."""
        self._known.clear()


def _digest(secret: str) -> str:
    return hashlib.sha256(secret.encode()).hexdigest()


def devices(session: Session) -> list[Device]:
    """Phones that may come in, the newest first."""
    return list(
        session.exec(select(Device).where(Device.ended_at == None).order_by(Device.id.desc()).limit(50))  # type: ignore[union-attr] # noqa: E711
    )


def send_away(session: Session, device_id: int, at: Moment) -> Device:
    """End a phone's access. Raises NotFound."""
    device = session.get(Device, device_id)
    if device is None:
        raise NotFound("There is no such phone.")
    device.ended_at = at.utc
    session.add(device)
    return device
