"""Who may come in: phones that were paired, sensors with a key of their own, and links that pair once.

Kept in a file beside the shop's file; of a key only its digest is kept.
"""

from __future__ import annotations

import hashlib
import hmac
import json
import os
import secrets
from collections.abc import Callable
from dataclasses import asdict, dataclass, replace
from datetime import datetime, timedelta
from pathlib import Path
from threading import RLock

from rakelight.errors import NotFound, RakelightError

#: a link that pairs is good for this long, and once
LINK_FOR = timedelta(minutes=10)
#: wrong links from one address before it must wait, and for how long
TRIES, TRIES_FOR = 8, timedelta(minutes=10)


@dataclass(frozen=True)
class Device:
    """A phone or a sensor that may come in."""

    id: str
    name: str
    kind: str  # phone, sensor
    digest: str  # SHA-256 of its key
    paired: str  # ISO 8601
    seen: str = ""


class Devices:
    """The devices of one shop's file."""

    def __init__(self, path: Path, clock: Callable[[], datetime]) -> None:
        self.path, self.clock = path, clock
        self._lock = RLock()
        self._links: dict[str, datetime] = {}  # digest -> good until
        self._wrong: dict[str, list[datetime]] = {}  # address -> wrong tries
        self._secret, self._all = self._read()

    def _read(self) -> tuple[bytes, dict[str, Device]]:
        try:
            row = json.loads(self.path.read_text("utf-8"))
            return bytes.fromhex(row["secret"]), {d["id"]: Device(**d) for d in row["devices"]}
        except FileNotFoundError:
            return secrets.token_bytes(32), {}
        except (OSError, ValueError, KeyError, TypeError) as bad:
            raise RakelightError(
                f"{self.path.name}, which holds the paired devices, cannot be read; put it away and pair them again."
            ) from bad

    def _write(self) -> None:
        row = {"secret": self._secret.hex(), "devices": [asdict(d) for d in self._all.values()]}
        self.path.parent.mkdir(parents=True, exist_ok=True)
        new = self.path.with_suffix(".new")
        with os.fdopen(os.open(new, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600), "w", encoding="utf-8") as file:
            json.dump(row, file)
        new.replace(self.path)

    def all(self) -> list[Device]:
        """Every device, the one paired last first."""
        with self._lock:
            return sorted(self._all.values(), key=lambda d: d.paired, reverse=True)

    def known(self, key: str, kind: str) -> Device | None:
        """The device a key belongs to; None where there is none of that kind."""
        digest = _digest(key)
        with self._lock:
            found = next((d for d in self._all.values() if hmac.compare_digest(d.digest, digest)), None)
            if found is None or found.kind != kind:
                return None
            day = self.clock().date().isoformat()
            if found.seen != day:  # once a day is enough to tell which is still in use
                self._all[found.id] = found = replace(found, seen=day)
                self._write()
            return found

    def add(self, name: str, kind: str) -> tuple[Device, str]:
        """A new device and its key, which is told once."""
        key = secrets.token_urlsafe(32)
        moment = self.clock().isoformat(timespec="minutes")
        device = Device(secrets.token_hex(6), name.strip()[:60] or kind, kind, _digest(key), moment)
        with self._lock:
            self._all[device.id] = device
            self._write()
        return device, key

    def remove(self, id: str) -> None:
        """Let a device in no more; raises NotFound."""
        with self._lock:
            if self._all.pop(id, None) is None:
                raise NotFound("There is no such device; it may have been removed already.")
            self._write()

    def link(self) -> str:
        """A word that pairs one device, once, within ten minutes."""
        word, now = secrets.token_urlsafe(18), self.clock()
        with self._lock:
            self._links = {d: until for d, until in self._links.items() if until > now}
            self._links[_digest(word)] = now + LINK_FOR
        return word

    def may_try(self, address: str) -> bool:
        """Whether an address has tries left at pairing."""
        now = self.clock()
        with self._lock:
            late = [t for t in self._wrong.get(address, []) if now - t < TRIES_FOR]
            self._wrong = {a: w for a, w in {**self._wrong, address: late}.items() if w}
            return len(late) < TRIES

    def is_good(self, word: str) -> bool:
        """Whether a word would pair, without using it up."""
        with self._lock:
            until = self._links.get(_digest(word))
            return until is not None and until > self.clock()

    def pair(self, word: str, name: str, address: str) -> tuple[Device, str] | None:
        """Use up a link; None where it is not good, which counts as a wrong try of that address."""
        with self._lock:
            good = self.is_good(word)
            self._links.pop(_digest(word), None)
            if not good:
                self._wrong.setdefault(address, []).append(self.clock())
                return None
            return self.add(name, "phone")

    def form_key(self, session: str) -> str:
        """The word a form must carry back, made from the session it was given to."""
        return hmac.new(self._secret, f"form:{session}".encode(), hashlib.sha256).hexdigest()[:40]


def _digest(key: str) -> str:
    return hashlib.sha256(key.encode("utf-8", "replace")).hexdigest()
