"""The shop's file on the desk: all pieces at hand, what happened to them, and one plan for them together."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING

from rakelight.desk.adding import Brought, brought_by, key_of, renamed
from rakelight.desk.air_heard import Month, heard_findings, in_heard_air, months_heard
from rakelight.desk.all_pieces import Asked, ShopPlan, plan_all
from rakelight.desk.one_piece import Desk, lay_out, moment_of
from rakelight.errors import Finding, Misread, NotFound, RakelightError, Refused, Severity
from rakelight.facts import load
from rakelight.facts.load import Facts
from rakelight.log.events import TOLD, Event, in_force
from rakelight.piece.file import read_piece
from rakelight.piece.model import DateWords, Piece
from rakelight.plan.solving import Ask
from rakelight.schedule.book import Book
from rakelight.schedule.file import read_schedule
from rakelight.shop.file import read_shop
from rakelight.shop.model import Shop
from rakelight.store.piece_row import PieceRow as PieceRow
from rakelight.store.piece_row import hash_of

if TYPE_CHECKING:
    from rakelight.log.learning import Learned
    from rakelight.log.stock import Stock
    from rakelight.papers.today import Today
    from rakelight.store.shop_store import Store


class ShopDesk:
    """The shop's file, one verb a method."""

    def __init__(self, store: Store, now: DateWords | None = None, maker: str = "", device: str = "") -> None:
        self.store = store
        self.path = store.path
        self.maker = maker
        self.device = device
        self._now = now
        self._stock: tuple[tuple[int, datetime], Stock] | None = None
        self.facts: Facts = load()
        self.weighed: tuple[object, Learned] | None = None  # what was learned, with what it was made of

    def close(self) -> None:
        """Let go of the file."""
        self.store.close()

    # -- the shop -----------------------------------------------------------------------------------

    @property
    def now(self) -> datetime:
        """The moment asked about, in the shop's zone."""
        if self._shop_said is None and self._now is None:
            return datetime.now().astimezone().replace(second=0, microsecond=0)
        return moment_of(self.shop, self._now)

    @cached_property
    def _shop_said(self) -> str | None:
        return self.store.setting("shop") or None

    @property
    def shop_text(self) -> str:
        """The shop's settings as TOML; "" where there are none yet."""
        return self._shop_said or ""

    @cached_property
    def shop(self) -> Shop:
        """The shop. Raises RakelightError where none is in the file yet."""
        if not self.shop_text:
            mend = "`rakelight add PIECE.toml --shop SHOP.toml` puts one in."
            raise RakelightError(f"{self.path.name} does not know the shop's hours and air yet: {mend}")
        shop, found = read_shop(self.shop_text, "shop.toml")
        if shop is None:
            raise Refused(found)
        return in_heard_air(shop, self.air_heard(shop))

    def air_heard(self, said: Shop | None = None) -> dict[str, tuple[Month, ...]]:
        """The air of its places as it was read there, month by month; none where too little was told."""
        if said is None:
            said = self.shop
        return months_heard(self, said)

    def set_shop(self, text: str) -> list[Finding]:
        """Put other settings of the shop in; what is wrong with them. Nothing is written where they cannot be used."""
        shop, found = read_shop(text, "shop.toml")
        if shop is None or _stopped(found):
            return found
        self.store.put_setting("shop", text)
        self.forget()
        return found

    def forget(self) -> None:
        """Read the shop again after it was changed."""
        for name in ("_shop_said", "shop"):
            self.__dict__.pop(name, None)

    # -- pieces and schedules -----------------------------------------------------------------------

    def pieces(self) -> list[PieceRow]:
        """All pieces, in the order they were added."""
        return self.store.pieces()

    def piece(self, key: str) -> PieceRow:
        """A piece by its key. Raises NotFound, with the nearest there is."""
        row = self.store.piece(key)
        if row is None:
            raise NotFound(_no_piece(key, [r.key for r in self.pieces()]))
        return row

    def add_piece(
        self, text: str, file_name: str = "", brought: Brought | None = None
    ) -> tuple[str | None, list[Finding]]:
        """Put a piece in; its key (None: it cannot be read, and nothing is written) and what is wrong with it.

        Parameters: file_name, which gives it its key; brought, schedules it brings with it.
        """
        piece, found = read_piece(text, file_name or "piece.toml", self.facts)
        if piece is None or _stopped(found):
            return None, found
        key = key_of(Path(file_name).stem if file_name else piece.name, [r.key for r in self.pieces()])
        now = self.now
        row = PieceRow(key, piece.name, text, Path(file_name).name or f"{key}.toml", hash_of(text), now)
        self._put(row, "added", brought or Brought(), now)
        return key, [*found, *self._wrong_with(key)]

    def change_piece(self, key: str, text: str, brought: Brought | None = None) -> list[Finding]:
        """Put another text in for a piece; what is wrong with it. Nothing is written where it cannot be read."""
        old = self.piece(key)
        piece, found = read_piece(text, old.file, self.facts)
        if piece is None or _stopped(found):
            return found
        bring = brought or Brought(own=self.store.schedules(key))
        if text != old.text or brought is not None:
            self._put(replace(old, name=piece.name, text=text, text_hash=hash_of(text)), "changed", bring, self.now)
        return [*found, *self._wrong_with(key)]

    def copy_piece(self, key: str, name: str) -> str:
        """Put a piece in again under another name; its key. What happened to the first is not taken along."""
        old, now = self.piece(key), self.now
        new = key_of(name, [r.key for r in self.pieces()])
        text = renamed(old.text, name)
        row = PieceRow(new, name, text, f"{new}.toml", hash_of(text), now)
        self._put(row, "added", Brought(own=self.store.schedules(key)), now)
        return new

    def put_away(self, key: str) -> None:
        """A piece is not to be planned for now; all that was told of it stays."""
        self._set(key, "put away", put_away=True)

    def take_out(self, key: str) -> None:
        """A piece put away or finished is at hand again."""
        self._set(key, "taken out", put_away=False, finished=None)

    def finish(self, key: str, at: datetime | None = None) -> None:
        """A piece is finished: it is no longer planned, and counts among the jobs of this shop."""
        self._set(key, "finished", finished=at or self.now)

    def schedules(self) -> dict[str, str]:
        """The shop's own schedules, by name."""
        return self.store.schedules()

    def set_schedule(self, name: str, text: str) -> list[Finding]:
        """Put a schedule of the shop in; what is wrong with it. Nothing is written where it cannot be used."""
        if key_of(name) != name:
            raise Misread(f"{name!r} is no name of a schedule.", f"Write {key_of(name)}.")
        schedule, found = read_schedule(text, f"{name}.toml", self.facts)
        if schedule is None or _stopped(found):
            return found
        self.store.put_schedule(name, text)
        return found

    def book(self, key: str = "") -> Book:
        """The book of schedules: the piece's own, the shop's, and those that come with it."""
        written = {"piece": self.store.schedules(key) if key else {}, "own": self.store.schedules()}
        return Book(written=written, facts=self.facts)

    def _put(self, row: PieceRow, what: str, brought: Brought, now: datetime) -> None:
        shops = self.store.schedules()
        more = {name: text for name, text in brought.book.items() if name not in shops}
        own = brought.own | {n: t for n, t in brought.book.items() if n in shops and shops[n] != t}
        self.store.put_piece(row, own, [self._about(row, what, now)], more)

    def _set(self, key: str, what: str, **values: object) -> None:
        row = replace(self.piece(key), **values)  # type: ignore[arg-type]
        self.store.put_piece(row, self.store.schedules(key), [self._about(row, what, self.now)], {})

    def _about(self, row: PieceRow, what: str, now: datetime) -> Event:
        return Event(
            "piece", now, now, piece=row.key, what=what, text_hash=row.text_hash,
            maker=self.maker, device=self.device,
        )  # fmt: skip

    def _wrong_with(self, key: str) -> list[Finding]:
        """What a check finds, where the shop is known and the piece can be laid out."""
        if not self.shop_text:
            return []
        try:
            return self.desk(key).check()
        except Refused as bad:
            return bad.findings

    # -- planning -----------------------------------------------------------------------------------

    def desk(
        self, key: str, by: DateWords | None = None, for_: str = "pack", telling: bool = False, stocked: bool = True
    ) -> Desk:
        """One piece on the desk, its log in the shop's file; `telling`: to write down what happened, late or not.

        Parameters: stocked, whether it draws on what is in stock.
        Raises Refused where it cannot be laid out.
        """
        row = self.piece(key)
        piece, found = read_piece(row.text, row.file, self.facts)
        if piece is None or _stopped(found):
            raise Refused(found)
        book = self.book(key)
        book.inline = dict(piece.schedules)
        found = [*found, *heard_findings(self.air_heard())]
        from rakelight.store.event_log import StoreLog

        desk: Desk
        log, own = StoreLog(self.store, key, lambda event: self.tell(event, desk)), self.learned(not telling)
        desk = lay_out(
            piece, self.shop, self.facts, book, log, self.now, by=by, for_=for_, read=found, telling=telling,
            factors=own.factors(), finished_jobs=own.finished_jobs, read_to=self.store.last_seq(),
        )  # fmt: skip
        desk.shelf = self.stock().shelf() if stocked and self.stock().cans else None
        return desk

    def plan(
        self,
        odds: str = "dates",
        tell: Callable[[str], None] | None = None,
        ask: Ask | None = None,
        asked: Asked | None = None,
    ) -> ShopPlan:
        """One plan for all pieces at hand; those that cannot be planned as they are stand in `refused`."""
        return plan_all(self, odds, tell, ask, asked)

    def today(self, plan: ShopPlan | None = None) -> Today:
        """What to do now and next over all pieces at hand, what dries, tests, buying, rags."""
        plan = plan or self.plan()
        from rakelight.papers.today import today_of

        return today_of(plan.answers, plan.now, self.facts)

    def keep(self, plan: ShopPlan) -> None:
        """Keep what is new of a plan: from now on, what is not said otherwise counts as done as planned."""
        new = {key: Event.planned(answer.plan, self.now, answer.work) for key, answer in plan.answers.items()}
        self.store.add(
            *(replace(event, piece=key, maker=self.maker, device=self.device)
              for key, event in new.items() if not event.is_plan_of(self.store.last_plan(key)))
        )  # fmt: skip

    # -- what happened ------------------------------------------------------------------------------

    def tell(self, event: Event, desk: Desk | None = None) -> Event:
        """Write what happened, once by its id; what is kept. `desk`: the piece, where it is laid out already.

        Raises RakelightError, one sentence, where it cannot have been so; nothing is written then.
        """
        event = replace(event, maker=event.maker or self.maker, device=event.device or self.device)
        if event.kind == "fault" and event.what:
            from rakelight.facts.faults import find_fault

            event = replace(event, what=find_fault(event.what).name)
        from rakelight.desk.telling import may_be_told

        since = desk.read_to if desk else self.store.last_seq()
        while True:
            kept = self.store.find(event.id)
            if kept:
                return kept
            if event.piece:
                self.piece(event.piece)
            may_be_told(self, event, desk)
            written = self.store.add_unless_told(event, since)
            if written:
                return written
            since = self.store.last_seq()  # another device told of the piece in between: look again
            if desk:
                desk.forget()

    def undo(self, id: str = "", piece: str = "") -> Event:
        """Take back what was told last (of one piece, where it is named), or what has this id; that is returned."""
        last = self.store.find(id) if id else self.store.last_told(piece)
        back = self.store.events(None, ("taken back",)) if id else []
        if last is None or last.kind not in TOLD or any(e.takes_back == id for e in back):
            raise RakelightError("Nothing that was told is left to take back.")
        now = self.now
        self.store.add(
            Event("taken back", now, now, takes_back=last.id, piece=last.piece, maker=self.maker, device=self.device)
        )
        return last

    def correct(self, id: str, event: Event) -> Event:
        """Tell something in the place of an earlier entry; what is kept. Raises NotFound where there is none."""
        earlier = self.store.event(id)
        return self.tell(replace(event, corrects=id, piece=event.piece or earlier.piece))

    def events(self, piece: str = "") -> list[Event]:
        """All that was told, of one piece or of all, in the order it was written."""
        return self.store.events(piece or None)

    def last_told(self, last: int, piece: str = "") -> tuple[set[str] | None, list[Event]]:
        """The last entries among all that bear on whether they count, and their keys; None: all there are.

        Parameters: last, how many; 0: all.
        """
        from rakelight.store.from_the_end import MOST

        if not 0 < last <= MOST:
            return None, self.events(piece)
        keys, found = self.store.last_entries(last, piece or None)
        return set(keys), found

    def counting(self, piece: str = "") -> list[Event]:
        """The same without what was taken back, and with corrections in their place."""
        return in_force(self.events(piece))

    def learned(self, anew: bool = True) -> Learned:
        """This shop's own figures, with all it has told so far; not `anew`: what was gathered before may do."""
        from rakelight.desk import learning
        return learning.learned_in(self, anew)

    def pin(self, what: str, value: str) -> Event:
        """Hold one of them at a value. Raises RakelightError, one sentence, where it cannot be."""
        from rakelight.desk import learning
        return learning.pin(self, what, value)

    def reset(self, what: str) -> Event:
        """Begin one of them, or "all", anew from the book."""
        from rakelight.desk import learning
        return learning.reset(self, what)

    def stock(self) -> Stock:
        """What is in stock now, by what was told of cans and what the pieces took."""
        from rakelight.desk.stock_of_shop import stock_of_shop

        at = (self.store.last_seq(), self.now)
        if self._stock is None or self._stock[0] != at:
            self._stock = (at, stock_of_shop(self))
        return self._stock[1]

    # -- photographs --------------------------------------------------------------------------------

    def add_photo(self, content: bytes) -> str:
        """Keep a photograph; its hash."""
        from rakelight.store import photos

        return photos.add_photo(self.store, content, self.now)

    def photo(self, hash: str) -> bytes:
        """A photograph by its hash. Raises NotFound."""
        from rakelight.store import photos

        return photos.photo(self.store, hash)


def open_shop(
    path: Path | None = None, now: DateWords | None = None, create: bool = True, maker: str = "", device: str = ""
) -> ShopDesk:
    """The shop's file: the one named, else RAKELIGHT_SHOP, else in the user's data folder.

    Raises NotFound where there is none and none is to be begun, RakelightError where it cannot be used.
    """
    from rakelight.store.shop_store import Store
    from rakelight.store.where import shop_file

    return ShopDesk(Store(shop_file(path), create), now, maker, device)


def brought_from(path: Path, piece: Piece, shop: Shop | None, shop_path: Path | None, facts: Facts) -> Brought:
    """The schedules a piece's file brings with it from the folders about it."""
    if shop is None:
        return brought_by(piece, Book(inline=piece.schedules, facts=facts, beside=path.parent))
    return brought_by(piece, Book.beside(piece, path, shop, facts, shop_path))


def _no_piece(key: str, known: list[str]) -> str:
    from difflib import get_close_matches

    near = get_close_matches(key, known, 1, 0.4)
    if near:
        return f"No piece is called {key!r}. Did you mean {near[0]}?"
    return f"No piece is called {key!r}. " + (f"There: {', '.join(known[:6])}." if known else "None is added yet.")


def _stopped(found: list[Finding]) -> bool:
    return any(f.severity is Severity.ERROR for f in found)
