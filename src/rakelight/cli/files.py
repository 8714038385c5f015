"""The files named on the command line: where the shop lies when it is not named, and the nearest to a slip."""

from __future__ import annotations

from difflib import get_close_matches
from pathlib import Path

from rakelight.errors import Misread, NotFound

#: the shop's file, where none is named
SHOP_NAME = "shop.toml"


def shop_beside(piece: Path) -> Path | None:
    """The shop.toml beside a piece, else in the working folder; None where there is none."""
    spots = (piece.parent / SHOP_NAME, Path(SHOP_NAME))
    return next((spot for spot in spots if spot.is_file()), None)


def shop_of(piece: Path, said: Path | None) -> Path:
    """The shop's file: the one said, else shop.toml beside the piece or in the working folder.

    Raises Misread where there is none, NotFound where the one said is not there.
    """
    if said is not None:
        there(said)
        return said
    found = shop_beside(piece)
    if found is None:
        raise Misread("No shop is named.", "Say --shop SHOP.toml, or put shop.toml beside the piece.")
    return found


def there(path: Path) -> None:
    """Nothing where a file is there. Raises NotFound, with the nearest .toml of its folder, where it is not."""
    if path.exists():
        return
    try:
        known = sorted(spot.name for spot in path.parent.glob("*.toml") if spot.is_file())
    except OSError:
        known = []
    near = get_close_matches(path.name, known, 1, 0.3)
    tell = f" Did you mean {path.parent / near[0]}?" if near else ""
    if not near and known:
        more = f" and {len(known) - 4} more" if len(known) > 4 else ""
        tell = f" There: {', '.join(known[:4])}{more}."
    raise NotFound(f"{path}: No such file.{tell}")
