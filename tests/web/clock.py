"""From where a request comes, and a clock that a test moves."""

from __future__ import annotations

from datetime import datetime

NOW = datetime.fromisoformat("2027-02-10T09:20-06:00")
HERE, PHONE, OTHER = ("127.0.0.1", 50000), ("192.168.1.50", 50000), ("192.168.1.66", 50000)


class Clock:
    """A clock that a test moves."""

    def __init__(self) -> None:
        self.now = NOW

    def __call__(self) -> datetime:
        return self.now
