"""A change tried beside the page: what all pieces come to with one piece's file changed, nothing kept."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime
from pathlib import Path

from rakelight.store.piece_row import PieceRow, hash_of
from rakelight.store.shop_store import Store
from rakelight.web.keeper import ServedShop

Tell = Callable[[object, bool], None]
Say = Callable[[str], None]


class ChangedShop(ServedShop):
    """The shop's file with another text for one piece, not written."""

    def __init__(self, store: Store, clock: Callable[[], datetime], key: str, text: str) -> None:
        super().__init__(store, clock)
        self._key, self._text = key, text

    def _changed(self, row: PieceRow) -> PieceRow:
        return replace(row, text=self._text, text_hash=hash_of(self._text)) if row.key == self._key else row

    def pieces(self) -> list[PieceRow]:
        """All pieces, the changed one with its new text."""
        return [self._changed(row) for row in super().pieces()]

    def piece(self, key: str) -> PieceRow:
        """A piece by its key, with its new text."""
        return self._changed(super().piece(key))


def try_change(path: Path, tell: Tell, say: Say, now: datetime, key: str, text: str) -> None:
    """The answer for a piece with its file changed, planned with all others; or the warnings that forbid it."""
    shop = ChangedShop(Store(path, create=False), lambda: now, key, text)
    try:
        say("Laying out the days with the change")
        plan = shop.plan(odds="")
        if key in plan.refused:
            tell(plan.refused[key], True)
            return
        tell(plan.answers[key], False)
        say("Working out the odds with the change")
        tell(shop.plan(odds="dates").answers[key], True)
    finally:
        shop.close()
