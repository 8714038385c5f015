"""What the shop's file has taught: gathered piece by piece, kept beside the events, weighed when asked for."""

from __future__ import annotations

import json
from contextlib import suppress
from functools import lru_cache
from hashlib import sha256
from typing import TYPE_CHECKING, Any

from rakelight.errors import RakelightError
from rakelight.facts.read_tables import TABLES
from rakelight.log.events import Event
from rakelight.log.learning import Learned, Past, Taught, learn, taught_by
from rakelight.log.learning.learned import PINNED
from rakelight.log.learning.named import named, times_of
from rakelight.piece.file import read_piece

if TYPE_CHECKING:
    from rakelight.desk.shop_file import ShopDesk

#: name of the setting it is kept in, and the form it is kept in: another form is gathered anew
_KEPT, _FORM = "taught", 1
#: kinds of events that teach, or say what others mean
_TEACHING = (
    "done", "started", "skipped", "tested", "coats", "confirmed", "reading", "fault", "rework", "corrected",
    "taken back",
)  # fmt: skip


def learned_in(shop: ShopDesk, anew: bool = True) -> Learned:
    """What all pieces of a shop's file have taught; with `anew` false what was gathered before may do."""
    if not shop.shop_text:
        return Learned()
    if not anew and shop.weighed:
        return shop.weighed[1]
    finished = {row.key for row in shop.pieces() if row.finished}
    of = (shop.store.last_seq(), about(shop, _FORM), frozenset(finished), anew)
    if shop.weighed is None or shop.weighed[0] != of:
        taught = _taught(shop, anew)
        told = shop.store.events(None, ("learned", "taken back", "corrected"))
        shop.weighed = (of, learn(list(taught.values()), shop.facts, told, finished))
    return shop.weighed[1]


def pin(shop: ShopDesk, what: str, value: str) -> Event:
    """Hold a figure at a value, whatever the jobs say; what is kept. Raises RakelightError, one sentence."""
    key = named(what, shop.facts, learned_in(shop))
    times = times_of(value, key, shop.facts, learned_in(shop))
    return shop.tell(Event("learned", shop.now, shop.now, what=key, values={PINNED: times}))


def reset(shop: ShopDesk, what: str) -> Event:
    """Begin a figure anew, or all of them ("all"): pins go, and what was told before is no longer counted."""
    key = "" if what.strip().lower() == "all" else named(what, shop.facts, learned_in(shop))
    return shop.tell(Event("learned", shop.now, shop.now, what=key))


def _taught(shop: ShopDesk, anew: bool) -> dict[str, Taught]:
    """What each piece has taught; only pieces of which something was told since are looked at again."""
    store = shop.store
    kept = _read(store.setting(_KEPT))
    of, seq = about(shop, _FORM), store.last_seq()
    if kept.get("of") != of:
        kept = {"of": of, "seq": 0, "pieces": {}}
    found = {key: Taught.from_plain(row) for key, row in kept["pieces"].items()}
    if seq == kept["seq"] or not anew:
        return found
    for key in store.told_since(kept["seq"]):
        found[key] = _of_piece(shop, key)
    plain = {"of": of, "seq": seq, "pieces": {k: t.as_plain() for k, t in found.items() if t.seen or t.odd}}
    with suppress(RakelightError):  # a file that may only be read is gathered each time
        store.put_setting(_KEPT, json.dumps(plain))
    return found


def _of_piece(shop: ShopDesk, key: str) -> Taught:
    """One piece gathered; a piece that cannot be laid out as it is teaches nothing."""
    row = shop.store.piece(key)
    piece = read_piece(row.text, row.file, shop.facts)[0] if row else None
    if row is None or piece is None:
        return Taught(key)
    book = shop.book(key)
    book.inline = dict(piece.schedules)
    try:
        past = Past.of(key, piece, book, shop.shop, shop.facts, shop.store.events(key, _TEACHING))
        return taught_by(past) if past else Taught(key)
    except RakelightError:
        return Taught(key)


def _read(text: str) -> dict[str, Any]:
    try:
        found = json.loads(text) if text else {}
        [Taught.from_plain(row) for row in found.get("pieces", {}).values()]
    except (ValueError, KeyError, TypeError, AttributeError):
        return {}
    return found if isinstance(found, dict) and isinstance(found.get("seq"), int) else {}


def about(shop: ShopDesk, form: int) -> str:
    """What is gathered hangs on besides the events: its form, the tables, the shop and its schedules."""
    said = [str(form), _of_tables(), shop.shop_text, json.dumps(shop.schedules(), sort_keys=True)]
    return sha256("\0".join(said).encode()).hexdigest()


@lru_cache(maxsize=1)
def _of_tables() -> str:
    hashed = sha256()
    for path in sorted(TABLES.iterdir()):
        if path.suffix in (".csv", ".toml"):
            hashed.update(path.read_bytes())
    return hashed.hexdigest()
