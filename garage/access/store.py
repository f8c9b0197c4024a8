"""Phones let in over the home network: a short code shown on the desk, and a secret the phone keeps."""

import hashlib
import hmac
import secrets
import threading
from collections.abc import Callable
from datetime import datetime, timedelta

from sqlalchemy import Engine
from sqlmodel import Session, col, select

from garage.access.tables import Device
from garage.db.engine import reading
from garage.errors import Conflict, NotFound
from garage.moments import Moment

CODE_LIVES = timedelta(minutes=10)
MOST_GUESSES = 5
PHONE_STAYS = timedelta(days=90)
MOST_PHONES = 50


class Doorkeeper:
    """Holds the pairing code of the moment and knows the phones. One per app; safe between threads."""

    def __init__(self, engine: Engine, clock: Callable[[], datetime], *, keeps_phones: bool = True) -> None:
        """With `keeps_phones` off, phones are known until the app ends, and nothing is written down."""
        self._engine = engine
        self._clock = clock
        self._keeps_phones = keeps_phones
        self._here_only: set[str] = set()
        self._lock = threading.Lock()
        self._code = ""
        self._made_at = clock()
        self._guesses = 0

    def code(self) -> str:
        """The code to type on the phone: eight digits, new after 10 minutes, 5 wrong guesses or one use."""
        with self._lock:
            if not self._code or self._is_old() or self._guesses >= MOST_GUESSES:
                self._code = f"{secrets.randbelow(10**8):08d}"
                self._made_at = self._clock()
                self._guesses = 0
            return self._code

    def pair(self, session: Session, typed: str, name: str) -> str:
        """The secret for a phone that typed the code of the moment. Raises Conflict in words otherwise."""
        digits = "".join(sign for sign in typed if sign.isascii() and sign.isdigit())
        with self._lock:
            if self._guesses >= MOST_GUESSES:
                raise Conflict("Too many wrong codes. Look at the desk for the new one.")
            if not self._code or self._is_old():
                raise Conflict("The code has run out. Look at the desk for the new one.")
            if not hmac.compare_digest(digits.encode(), self._code.encode()):
                self._guesses += 1
                raise Conflict("That is not the code shown on the desk.")
            self._code = ""
        secret = secrets.token_urlsafe(32)
        if not self._keeps_phones:
            self._here_only.add(_digest(secret))
            return secret
        paired = Moment.of(self._clock()).utc
        session.add(Device(name=name, secret_sha256=_digest(secret), paired_at=paired))
        session.flush()
        return secret

    @property
    def here_only(self) -> int:
        """How many phones were let in by a screen that only shows."""
        return len(self._here_only)

    def forget(self) -> int:
        """Send away every phone that a screen that only shows has let in; how many."""
        with self._lock:
            count = len(self._here_only)
            self._here_only.clear()
        return count

    def phone(self, secret: str) -> str | None:
        """The name of the phone with that `secret`, if it was let in, not too long ago, and not sent away since."""
        if _digest(secret) in self._here_only:
            return ""
        since = Moment.of(self._clock() - PHONE_STAYS).utc
        with reading(self._engine) as session:
            return session.exec(
                select(Device.name).where(
                    Device.secret_sha256 == _digest(secret),
                    col(Device.ended_at).is_(None),
                    Device.paired_at >= since,
                )
            ).first()

    def _is_old(self) -> bool:
        return self._clock() - self._made_at > CODE_LIVES


def _digest(secret: str) -> str:
    return hashlib.sha256(secret.encode()).hexdigest()


def devices(session: Session, now: datetime) -> list[Device]:
    """Phones that may come in, the newest first."""
    since = Moment.of(now - PHONE_STAYS).utc
    query = select(Device).where(col(Device.ended_at).is_(None), Device.paired_at >= since)
    return list(session.exec(query.order_by(col(Device.id).desc()).limit(MOST_PHONES)))


def let_back_in(session: Session, device_id: int) -> Device:
    """Take the sending away of a phone back: its secret counts again. Raises NotFound."""
    device = session.get(Device, device_id)
    if device is None:
        raise NotFound("There is no such phone.")
    device.ended_at = None
    session.add(device)
    return device


def leave(session: Session, secret: str, at: Moment) -> None:
    """End the access of the phone that shows its own secret. Raises NotFound if it is none of ours."""
    device = session.exec(select(Device).where(Device.secret_sha256 == _digest(secret))).first()
    if device is None or device.id is None:
        raise NotFound("This phone was not let in.")
    send_away(session, device.id, at)


def send_away(session: Session, device_id: int, at: Moment) -> Device:
    """End a phone's access; it has to be paired anew. Raises NotFound."""
    device = session.get(Device, device_id)
    if device is None:
        raise NotFound("There is no such phone.")
    if device.ended_at is None:
        device.ended_at = at.utc
        session.add(device)
    return device
