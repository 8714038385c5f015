"""What the pages share: the shop's file, the plan reckoned last, and the work that runs beside the page."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from pathlib import Path
from threading import RLock
from typing import Any
from zoneinfo import ZoneInfo

from starlette.requests import Request

from rakelight.desk import Desk, ShopDesk, ShopPlan
from rakelight.log.events import Event, in_force
from rakelight.papers.today import Today, today_of
from rakelight.store.piece_row import PieceRow
from rakelight.store.shop_store import Store
from rakelight.store.where import shop_file
from rakelight.web.beside import Beside, Job
from rakelight.web.once import OnceStore, T
from rakelight.web.since import laid_over

#: a plan older than this is reckoned again when a page is asked for; and no oftener than takes a tenth of the time
STALE = timedelta(minutes=10)
_IDLE = 10
#: what a note is about that tells that the rags are out
RAGS_OUT = "rags out"
#: rags told out longer ago than this no longer matter: those of today are others
_RAGS_TOLD = timedelta(days=3)
#: entries at the end of the log that are looked at first
_LATELY = 200


def real_clock() -> datetime:
    """The moment it is."""
    return datetime.now().astimezone()


class ServedShop(ShopDesk):
    """The shop's file as the pages open it: its clock runs on."""

    def __init__(
        self, store: Store, clock: Callable[[], datetime], not_done: Mapping[str, list[str]] | None = None
    ) -> None:
        super().__init__(store)
        self.clock = clock
        self.not_done = not_done or {}  # by piece: steps counted as done as planned that were not

    @property
    def now(self) -> datetime:
        """The moment it is, in the shop's zone where the shop is known."""
        return self.clock().astimezone(self.zone).replace(microsecond=0)

    @property
    def zone(self) -> ZoneInfo | None:
        """The shop's zone; None where its settings are not known yet."""
        return self.shop.zone if self.shop_text else None

    def once(self, name: str, make: Callable[[], T]) -> T:
        """What is read of the file, read again only where something was written since; not to be changed."""
        return self.store.once(name, make) if isinstance(self.store, OnceStore) else make()

    def pieces(self) -> list[PieceRow]:
        """All pieces, in the order they were added."""
        return list(self.once("pieces", super().pieces))

    def last_seq(self) -> int:
        """Number of the row written last."""
        return self.once("last seq", self.store.last_seq)

    def lately(self, since: datetime, kinds: Sequence[str]) -> list[Event]:
        """What counts of what was written since a moment: only the end of the log is read, however long it is."""
        last, many = self.last_seq(), _LATELY
        while True:
            found = self.store.events(None, (*kinds, "taken back", "corrected"), max(0, last - many))
            if many >= last or any(e.written < since for e in found):
                return [e for e in in_force(found) if e.written >= since]
            many *= 4

    def desk(self, key: str, *more: Any, **said: Any) -> Desk:
        """One piece on the desk, without what is told here to be not done after all."""
        desk = super().desk(key, *more, **said)
        if key in self.not_done:
            done = {k: f for k, f in desk.state.done.items() if f.logged or k not in self.not_done[key]}
            desk.__dict__["state"] = replace(desk.state, done=done)
        return desk


@dataclass(frozen=True)
class Stamp:
    """What a plan was reckoned from: another stamp means that something was told or changed since."""

    seq: int
    texts: str

    def __bool__(self) -> bool:
        return bool(self.texts)


@dataclass(frozen=True, eq=False)
class Sight:
    """All that a page is drawn from at a moment, so that one drawn before can be told to be the same still."""

    minute: datetime
    mark: object  # of the file
    stamp: Stamp
    said: str
    working: str
    plan: ShopPlan | None
    job: Job | None

    def is_as(self, other: Sight) -> bool:
        """Whether a page would be drawn the same from either."""
        if self.plan is not other.plan or self.job is not other.job:
            return False
        mine = (self.minute, self.mark, self.stamp, self.said, self.working)
        return mine == (other.minute, other.mark, other.stamp, other.said, other.working)


class Keeper:
    """One shop's file, and one plan of it."""

    def __init__(self, path: Path | None, clock: Callable[[], datetime] = real_clock) -> None:
        self.path = shop_file(path)
        self.clock = clock
        self.store = OnceStore(self.path)
        self.shop = ServedShop(self.store, clock)
        self.beside = Beside(self.path)
        self.trials = Beside(self.path)  # changes tried on a page, which need not wait for the plan of all
        self._lock = RLock()
        self._plan: ShopPlan | None = None
        self._from = Stamp(0, "")
        self._job: Job | None = None
        self._refused = Stamp(0, "")  # what could not be planned at all, or was cancelled: not tried again by itself
        self._said = ""
        self._took = timedelta()
        self._today: tuple[object, Today, ShopPlan] | None = None

    def close(self) -> None:
        """End the work beside the pages and let go of the file."""
        self.beside.close()
        self.trials.close()
        self.shop.close()

    def file_beside(self, ending: str) -> Path:
        """A file that belongs to the shop's file: shop.rakelight gives shop-devices.json."""
        return self.path.with_name(f"{self.path.stem}-{ending}")

    # -- the plan -----------------------------------------------------------------------------------

    def stamp(self) -> Stamp:
        """What a plan would be reckoned from now."""
        return self.shop.once("stamp", self._stamp)

    def _stamp(self) -> Stamp:
        store = self.shop.store
        texts = [store.setting("shop"), *store.schedules().values(), *(p.text_hash for p in self.shop.pieces())]
        return Stamp(store.last_seq(), hashlib.sha256("\0".join(texts).encode()).hexdigest())

    @property
    def plan(self) -> ShopPlan | None:
        """The plan reckoned last; None until there is one. Asking for it never waits."""
        self.look()
        return self._plan

    @property
    def working(self) -> Job | None:
        """What runs beside the page now; None where nothing does."""
        self.look()
        job = self._job
        return job if job and not job.ended else None

    @property
    def said(self) -> str:
        """Why there is no new plan, in a sentence; "" where there is one or one is being reckoned."""
        return self._said

    def sight(self) -> Sight:
        """What pages are drawn from now. Asking for it never waits."""
        if self._lock.acquire(blocking=False):
            try:
                self.look()
            finally:
                self._lock.release()
        job = self._job if self._job and not self._job.ended else None
        minute = self.shop.now.replace(second=0)
        return Sight(
            minute, self.store.mark(), self.stamp(), self._said, job.said if job else "", self._plan, job
        )

    def look(self) -> None:
        """Begin to reckon a plan where what is told or written is newer than the one there is."""
        with self._lock:
            if self._job and not self._job.ended:
                return
            if not self.shop.shop_text:
                self._refresh_shop()
            if not self.shop.shop_text:
                self._plan, self._said = None, ""
                return
            stamp = self.stamp()
            if stamp == self._refused or (self._plan and stamp == self._from and not self._is_stale()):
                return
            self._begin(stamp)

    def again(self, not_done: dict[str, list[str]] | None = None) -> Job:
        """Reckon the plan anew, whatever there is.

        Parameters: not_done, steps by piece that count as done as planned and were not: they are planned again.
        """
        with self._lock:
            if self._job and not self._job.ended:
                if not not_done:
                    return self._job
                self._job.cancel()
            self._refresh_shop()
            return self._begin(self.stamp(), not_done)

    def cancel(self) -> None:
        """Stop what runs beside the page; the last plan stays, until something more is told."""
        with self._lock:
            if self._job and not self._job.ended:
                self._refused = self.stamp()
                self._said = "Planning was stopped. The last plan stands."
                self._job.cancel()

    def _refresh_shop(self) -> None:
        self.shop.forget()

    def _is_stale(self) -> bool:
        age = self.shop.now - self._plan.now if self._plan else timedelta.max
        return age > max(STALE, self._took * _IDLE)

    def _begin(self, stamp: Stamp, not_done: dict[str, list[str]] | None = None) -> Job:
        began = datetime.now()

        def stage(plan: ShopPlan, is_last: bool) -> None:
            with self._lock:
                self._refresh_shop()
                if is_last or self._plan is None or self._from != stamp:
                    self._plan, self._from, self._said, self._today = plan, stamp, "", None
                if is_last:
                    self._took = datetime.now() - began
                    self._keep(plan, stamp)

        def failed(says: str) -> None:
            with self._lock:
                self._refused, self._said = stamp, says

        asked = (self.shop.now, not_done or {})
        self._job = self.beside.start("rakelight.web.reckoning:plan_stages", asked, stage, failed)
        return self._job

    def _keep(self, plan: ShopPlan, stamp: Stamp) -> None:
        """What is shown is kept, so that what is not told counts as done as it was shown."""
        if self.stamp() != stamp:
            return  # something was told meanwhile; the next plan is kept
        moved = {key: answer for key, answer in plan.answers.items() if _has_moved(answer.plan, answer.state.kept)}
        if moved:
            self.shop.keep(replace(plan, answers=moved))
            self._from = Stamp(stamp.seq + len(moved), stamp.texts)

    # -- today --------------------------------------------------------------------------------------

    def today(self) -> Today | None:
        """Today by the plan reckoned last, with what was told since laid over it; None where there is no plan."""
        plan = self.plan
        if plan is None:
            return None
        now = self.shop.now
        seq = self.shop.last_seq()
        key = (id(plan), seq, now.replace(second=0))
        if self._today is None or self._today[0] != key:
            told = self.shop.store.events(after=self._from.seq) if seq != self._from.seq else []
            laid = replace(laid_over(plan, told), now=now)
            out = rags_out(self.shop.lately(now - _RAGS_TOLD, ("note",)))
            self._today = (key, today_of(laid.answers, now, self.shop.facts, out), laid)
        return self._today[1]

    @property
    def laid(self) -> ShopPlan | None:
        """The plan that today was read from, with what was told since laid over it."""
        return self._today[2] if self._today else self._plan


def rags_out(notes: Sequence[Event]) -> datetime | None:
    """When it was last told that the rags are out, of notes that count."""
    return max((e.happened for e in notes if e.what == RAGS_OUT), default=None)


def _has_moved(plan: object, kept: dict[str, datetime]) -> bool:
    placed = getattr(plan, "placed", {})
    return any(key not in kept or kept[key] != p.start for key, p in placed.items() if not p.done)


def keeper_of(request: Request) -> Keeper:
    """The keeper of the application a request came to."""
    found: Keeper = request.app.state.keeper
    return found


def shop_of(request: Request) -> ServedShop:
    """The shop's file of the application a request came to."""
    return keeper_of(request).shop
