"""What the pages of a piece ask the keeper: the plan kept in sight, the work beside it, changes being tried."""

from __future__ import annotations

import secrets
from collections import OrderedDict
from collections.abc import Callable
from dataclasses import dataclass, field
from threading import RLock
from typing import Any, TypeVar

from starlette.requests import Request

from rakelight.desk import Answer
from rakelight.errors import Finding, NotFound
from rakelight.store.piece_row import PieceRow
from rakelight.web.beside import Job
from rakelight.web.content.choose_page import ChoosePage
from rakelight.web.content.finishes import Look, looks_of
from rakelight.web.content.piece_page import Mark, marks_of
from rakelight.web.content.trial import Beside, Told, told
from rakelight.web.forms.steps import ScheduleFields
from rakelight.web.keeper import Keeper, keeper_of, shop_of

#: pictures, papers and changes kept in mind at once
_MOST_MADE, _MOST_TRIALS = 200, 30
T = TypeVar("T")


@dataclass(frozen=True)
class Shown:
    """What is known of a piece now: its plan, or why there is none."""

    answer: Answer | None = None
    working: str = ""  # what runs beside the page
    findings: tuple[Finding, ...] = ()
    ask_date: bool = False
    instead: str = ""
    link: tuple[str, str] | None = None  # where to go: address, words


@dataclass
class Trial:
    """A change to a schedule being tried."""

    id: str
    key: str  # of the piece
    form: ScheduleFields
    before: Answer | None
    job: Job
    part: Answer | None = None  # as far as it is worked out
    refused: tuple[Finding, ...] = ()
    _told: tuple[Answer, Told] | None = None

    @property
    def working(self) -> str:
        """What runs beside the page; "" where nothing does."""
        return "" if self.job.ended else f"{self.job.said or 'Begun'} ..."

    @property
    def broken(self) -> str:
        """Why there is no answer."""
        return self.job.fault or ("It was stopped." if self.job.cancelled else "")

    @property
    def faults(self) -> tuple[Mark, ...]:
        """What forbids the change."""
        return marks_of(self.refused)

    @property
    def told(self) -> Told | None:
        """What the change does, as far as it is worked out."""
        if self.part is None:
            return None
        if self._told is None or self._told[0] is not self.part:
            self._told = (self.part, told(self.before, self.part))
        return self._told[1]

    @property
    def rows(self) -> tuple[Beside, ...]:
        """Figures as they are and with the change."""
        return self.told.rows if self.told else ()


@dataclass
class _Mind:
    """Pictures and trials of one keeper."""

    lock: RLock = field(default_factory=RLock)
    made: OrderedDict[tuple[int, str], tuple[Answer, Any]] = field(default_factory=OrderedDict)
    trials: OrderedDict[str, Trial] = field(default_factory=OrderedDict)
    choices: OrderedDict[str, Asked] = field(default_factory=OrderedDict)
    looks: tuple[tuple[tuple[str, str], ...], tuple[Look, ...]] | None = None


def _mind(request: Request) -> _Mind:
    state = request.app.state
    if not hasattr(state, "mind"):
        state.mind = _Mind()
    found: _Mind = state.mind
    return found


def shown(request: Request, row: PieceRow) -> Shown:
    """What is known of a piece; never waits."""
    keeper = keeper_of(request)
    shop = keeper.shop
    if not row.at_hand:
        return Shown(instead="It is finished." if row.finished else "It is put away, and not planned.")
    if not shop.shop_text:
        return Shown(
            instead="The shop's hours and air are not known yet, so no day can be told.",
            link=("/shop", "Say them once"),
        )
    plan, job = keeper.plan, keeper.working
    working = f"{job.said or 'Counting the days'} ..." if job else ""
    if plan and row.key in plan.answers:
        return Shown(plan.answers[row.key], working)
    if plan and row.key in plan.refused and not job:
        found = tuple(plan.refused[row.key])
        ask = [f.id for f in found] == ["no-date-wanted"]
        return Shown(
            None,
            "",
            () if ask else found,
            ask,
            "It cannot be planned as it is.",
            (f"/pieces/{row.key}/text", "Mend its file"),
        )
    return Shown(None, working, instead=keeper.said or "Its days are being counted.")


def plan_again(request: Request) -> None:
    """Plan again beside the pages."""
    keeper_of(request).again()


def stop(request: Request) -> None:
    """Leave off what runs beside the pages."""
    keeper_of(request).cancel()


def kept(request: Request, answer: Answer, name: str, make: Callable[[], T]) -> T:
    """Something made of a plan (a picture, a paper), made once for as long as that plan is shown."""
    mind, key = _mind(request), (id(answer), name)
    with mind.lock:
        if key in mind.made:
            mind.made.move_to_end(key)
            found: T = mind.made[key][1]
            return found
    made = make()
    with mind.lock:
        mind.made[key] = (answer, made)
        while len(mind.made) > _MOST_MADE:
            mind.made.popitem(last=False)
    return made


def looks(request: Request) -> tuple[Look, ...]:
    """The finishes of the shop's book by their look, read once for as long as the shop's own schedules stay."""
    mind, shop = _mind(request), shop_of(request)
    own = tuple(sorted(shop.schedules().items()))
    if mind.looks is None or mind.looks[0] != own:
        mind.looks = (own, looks_of(shop.book(), shop.facts))
    return mind.looks[1]


def begin_trial(request: Request, key: str, form: ScheduleFields, text: str) -> Trial:
    """Try a change beside the pages."""
    keeper, mind = keeper_of(request), _mind(request)
    plan = keeper.plan
    before = plan.answers.get(key) if plan else None
    id = secrets.token_urlsafe(9)

    def on_part(told: object, is_last: bool) -> None:
        with mind.lock:
            trial = mind.trials.get(id)
        if trial and isinstance(told, Answer):
            trial.part = told
        elif trial and isinstance(told, list):
            trial.refused = tuple(told)

    with mind.lock:
        job = _start(keeper, key, text, on_part)
        trial = mind.trials[id] = Trial(id, key, form, before, job)
        while len(mind.trials) > _MOST_TRIALS:
            mind.trials.popitem(last=False)[1].job.cancel()
    return trial


@dataclass
class Asked:
    """Which finish by the date, being worked out or known."""

    text_hash: str
    job: Job
    page: ChoosePage | None = None

    @property
    def working(self) -> str:
        """What runs beside the page; "" where nothing does."""
        return "" if self.job.ended else f"{self.job.said or 'Begun'} ..."

    @property
    def broken(self) -> str:
        """Why there is no answer."""
        return self.job.fault or "It was stopped."


def begin_choice(request: Request, row: PieceRow) -> Asked:
    """Try the finishes of the book beside the pages."""
    keeper, mind = keeper_of(request), _mind(request)

    def on_part(told: object, is_last: bool) -> None:
        with mind.lock:
            asked = mind.choices.get(row.key)
        if asked and isinstance(told, ChoosePage):
            asked.page = told

    with mind.lock:
        old = mind.choices.get(row.key)
        if old and not old.job.ended and old.text_hash == row.text_hash:
            return old
        args = (keeper.shop.now, row.key)
        job = keeper.trials.start("rakelight.web.choosing:choose_beside", args, on_part)
        mind.choices[row.key] = Asked(row.text_hash, job)
        while len(mind.choices) > _MOST_TRIALS:
            mind.choices.popitem(last=False)[1].job.cancel()
    return mind.choices[row.key]


def choice_of(request: Request, row: PieceRow) -> Asked | None:
    """What is known of which finish; None where it was not asked of the piece as it is."""
    asked = _mind(request).choices.get(row.key)
    return asked if asked and asked.text_hash == row.text_hash else None


def _start(keeper: Keeper, key: str, text: str, on_part: Callable[[object, bool], None]) -> Job:
    return keeper.trials.start("rakelight.web.trying:try_change", (keeper.shop.now, key, text), on_part)


def trial_of(request: Request, id: str) -> Trial:
    """A change being tried, by its id. Raises NotFound where it is long past."""
    trial = _mind(request).trials.get(id)
    if trial is None:
        raise NotFound("That trial is past; press See what it does again.")
    plan = keeper_of(request).plan
    now = plan.answers.get(trial.key) if plan else None
    if now and now is not trial.before:  # the plan as it is may have been worked out further meanwhile
        trial.before, trial._told = now, None
    return trial


__all__ = [
    "Asked",
    "Shown",
    "Trial",
    "begin_choice",
    "begin_trial",
    "choice_of",
    "kept",
    "looks",
    "plan_again",
    "shop_of",
    "shown",
    "stop",
    "trial_of",
]
