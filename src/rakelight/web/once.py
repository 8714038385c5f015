"""What was read of the shop's file, kept for as long as nothing is written to it, and never longer than a second."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from time import monotonic
from typing import Any, TypeVar

import sqlalchemy as sa

from rakelight.store.shop_store import Store

#: another program's write within one tick of the clock of the file's own time may go unseen for this long
_KEPT_S = 1.0
T = TypeVar("T")
Mark = tuple[int, tuple[int, int], tuple[int, int]]


class OnceStore(Store):
    """A shop's file of which a page may ask the same again and again."""

    def __init__(self, path: Path) -> None:
        super().__init__(path)
        self._writes = 0
        self._wal = path.with_name(f"{path.name}-wal")
        self._kept: tuple[Mark, float, dict[str, Any]] = ((-1, (0, 0), (0, 0)), 0.0, {})

    @contextmanager
    def writing(self) -> Iterator[sa.Connection]:
        """One change; what was kept is read anew after it."""
        try:
            with super().writing() as conn:
                yield conn
        finally:
            self._writes += 1

    def mark(self) -> Mark:
        """Another mark means that something was written, here or by another program."""
        return self._writes, _seen(self.path), _seen(self._wal)

    def once(self, name: str, make: Callable[[], T]) -> T:
        """What `make` reads, read anew only where something was written since; not to be changed by who asks."""
        mark, now = self.mark(), monotonic()
        was, read_at, kept = self._kept
        if was != mark or now - read_at > _KEPT_S:
            kept = {}
            self._kept = (mark, now, kept)
        if name not in kept:
            kept[name] = make()
        found: T = kept[name]
        return found


def _seen(path: Path) -> tuple[int, int]:
    """When a file was written last, and its size; nothing where there is none."""
    try:
        told = os.stat(path)
    except OSError:
        return 0, 0
    return told.st_mtime_ns, told.st_size
