"""What the pages share: the shop's file, the plan reckoned last, and the work that runs beside the page."""

from __future__ import annotations

import hashlib
from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from pathlib import Path
from threading import RLock
from zoneinfo import ZoneInfo

from starlette.requests import Request

from rakelight.desk import ShopDesk, ShopPlan
from rakelight.papers.today import Today
from rakelight.store.shop_store import Store
from rakelight.store.where import shop_file
from rakelight.web.beside import Beside, Job
from rakelight.web.since import laid_over

#: a plan older than this is reckoned again when a page is asked for; and no oftener than takes a tenth of the time
STALE = timedelta(minutes=10)
_IDLE = 10


def real_clock() -> datetime:
    """The moment it is."""
    return datetime.now().astimezone()


class ServedShop(ShopDesk):
    """The shop's file as the pages open it: its clock runs on."""

    def __init__(self, store: Store, clock: Callable[[], datetime]) -> None:
        super().__init__(store)
        self.clock = clock

    @property
    def now(self) -> datetime:
        """The moment it is, in the shop's zone where the shop is known."""
        return self.clock().astimezone(self.zone).replace(microsecond=0)

    @property
    def zone(self) -> ZoneInfo | None:
        """The shop's zone; None where its settings are not known yet."""
        return self.shop.zone if self.shop_text else None


@dataclass(frozen=True)
class Stamp:
    """What a plan was reckoned from: another stamp means that something was told or changed since."""

    seq: int
    texts: str

    def __bool__(self) -> bool:
        return bool(self.texts)


class Keeper:
    """One shop's file, and one plan of it."""

    def __init__(self, path: Path | None, clock: Callable[[], datetime] = real_clock) -> None:
        self.path = shop_file(path)
        self.clock = clock
        self.shop = ServedShop(Store(self.path), clock)
        self.beside = Beside(self.path)
        self.trials = Beside(self.path)  # changes tried on a page, which need not wait for the plan of all
        self._lock = RLock()
        self._plan: ShopPlan | None = None
        self._from = Stamp(0, "")
        self._job: Job | None = None
        self._refused = Stamp(0, "")  # what could not be planned at all, or was cancelled: not tried again by itself
        self._said = ""
        self._took = timedelta()
        self._today: tuple[object, Today] | None = None

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

    def again(self) -> Job:
        """Reckon the plan anew, whatever there is."""
        with self._lock:
            if self._job and not self._job.ended:
                return self._job
            self._refresh_shop()
            return self._begin(self.stamp())

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

    def _begin(self, stamp: Stamp) -> Job:
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

        self._job = self.beside.start("rakelight.web.reckoning:plan_stages", (self.shop.now,), stage, failed)
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
        seq = self.shop.store.last_seq()
        key = (id(plan), seq, now.replace(second=0))
        if self._today is None or self._today[0] != key:
            told = self.shop.store.events(after=self._from.seq) if seq != self._from.seq else []
            self._today = (key, self.shop.today(replace(laid_over(plan, told), now=now)))
        return self._today[1]


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
