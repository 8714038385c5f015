"""What backup, restore, export and import do and say."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path
from typing import Any

from rakelight.cli import at_hand
from rakelight.cli.at_hand import Meant
from rakelight.cli.plain import data, width
from rakelight.papers.wrapping import wrapped
from rakelight.store.where import shop_file


def backup(meant: Meant, to: Path, as_json: bool) -> int:
    """Write a backup; 1 where a photograph is missing."""
    from rakelight.store.backup import backup as write

    with at_hand.opened(meant) as shop:
        made = write(shop.path, to, shop.now)
    says = f"Written: {made.path}, with {_count(made.photographs, 'photograph')}."
    return _tell(says, made.missing, {"file": str(made.path), "photographs": made.photographs}, as_json)


def restore(meant: Meant, from_: Path, as_json: bool) -> int:
    """Bring a backup back."""
    from rakelight.store.backup import restore as bring_back

    path = shop_file(meant.file)
    aside = bring_back(path, from_, datetime.now().astimezone())
    says = f"Brought back: {path}, as it was in {from_.name}."
    if aside:
        says += f" What was there until now is kept as {aside}."
    return _tell(says, (), {"file": str(path), "kept": str(aside) if aside else None}, as_json)


def export(meant: Meant, folder: Path, as_json: bool) -> int:
    """Write everything as plain files; 1 where a photograph is missing."""
    from rakelight.store.export import export as write

    with at_hand.opened(meant) as shop:
        made = write(shop.store, folder, shop.now)
    counts = {"pieces": made.pieces, "events": made.events, "photographs": made.photographs}
    says = f"Written to {made.folder}: {_counts(made.pieces, made.events, made.photographs)}."
    return _tell(says, made.missing, {"folder": str(made.folder), **counts}, as_json)


def bring_in(meant: Meant, folder: Path, as_json: bool) -> int:
    """Read an export back into a new shop's file."""
    from rakelight.store.bring_in import bring_in as read

    path = shop_file(meant.file)
    found = read(path, folder)
    counts = {"pieces": found.pieces, "events": found.events, "photographs": len(found.rows["photographs.json"])}
    return _tell(f"Read into {path}: {_counts(*counts.values())}.", (), {"file": str(path), **counts}, as_json)


def _counts(pieces: int, events: int, photographs: int) -> str:
    of = [_count(pieces, "piece"), f"{events:,} entr{'y' if events == 1 else 'ies'}", _count(photographs, "photograph")]
    return f"{of[0]}, {of[1]} of what happened, {of[2]}"


def _count(number: int, word: str) -> str:
    return f"{number} {word}{'s' * (number != 1)}"


def _tell(says: str, missing: tuple[str, ...], more: dict[str, Any], as_json: bool) -> int:
    if missing:
        names = ", ".join(hash[:12] for hash in missing[:3])
        are = "is" if len(missing) == 1 else "are"
        says += f" {_count(len(missing), 'photograph')} {are} no longer there ({names}): an earlier backup may have it."
    if as_json:
        data({"schema": 1, "says": says, **more, "missing": list(missing)})
    else:
        print("\n".join(wrapped(says, width(), "", "  ")))
    return int(bool(missing))
