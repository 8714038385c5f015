"""Why each step is where it is in the plan: what it waits for, until when, and what would let it begin earlier."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace
from datetime import datetime

from rakelight.plan.asking import deviates
from rakelight.plan.draft import Draft, Laid
from rakelight.plan.model import Placed, Why
from rakelight.plan.problem import Node, Problem, nodes_of
from rakelight.plan.together import own_name, piece_of
from rakelight.schedule.tasks import Task

#: minutes: a step that begins this soon after it is ready does not wait for anything else
_AT_ONCE = 15
#: share of the open minutes in between that another step must take to be the reason
_MOST = 0.5


def whys(problem: Problem, draft: Draft, placed: Mapping[str, Placed]) -> dict[str, Why]:
    """The reason of each step that is still to be done."""
    nodes = nodes_of(problem.work)
    reader = _Reader(problem, draft, nodes, placed)
    return {key: reader.why(key, laid) for key, laid in draft.laid.items() if not laid.done and laid.task}


class _Reader:
    def __init__(
        self, problem: Problem, draft: Draft, nodes: Mapping[str, Node], placed: Mapping[str, Placed]
    ) -> None:
        self.problem, self.draft, self.nodes, self.placed = problem, draft, nodes, placed
        self.hours = problem.hours
        laid = draft.laid.items()
        self.worked = sorted((a, b, k) for k, x in laid if not x.who for a, b in x.spans if b > a)
        self.wet = [(x.start, x.place, k) for k, x in laid if x.task and x.task.lay]
        self.dust = [(b, x.place, k) for k, x in laid if x.task and x.task.work == "dusty" for _, b in x.spans]
        self.laid_at = {
            x.laid_end if x.task.lay else x.end: k for k, x in laid if x.task and (x.task.lay or x.task.removes_um)
        }
        self._dry: dict[str, float] = {}
        self.whose = ""

    def why(self, key: str, laid: Laid) -> Why:
        """The last thing that held a step back."""
        task = laid.task
        assert task is not None
        self.whose = piece_of(key)
        if laid.start - laid.ready <= _AT_ONCE:
            return self._waited(key, laid, task)
        found = self._room(laid, task) or self._settling(laid, task) or self._cold(laid, task)
        found = found or self._shut(laid) or self._maker(key, laid) or self._put_off(laid, task)
        return found if found.after else replace(found, after=self._dries(key) or self._last(key))

    # -- it began as soon as it was ready -------------------------------------------------------

    def _waited(self, key: str, laid: Laid, task: Task) -> Why:
        trial = self.problem.trials.get(key)
        if trial and abs(trial.minute - laid.start) <= _AT_ONCE and trial.passed:
            return Why("test", "It begins when the hand test passed.", after=self._dries(key))
        wait = self.placed[key].waited_for if key in self.placed else None
        if wait and wait.likely and wait.because:
            says = f"It waits until {_moment(wait.likely)}: {wait.because.says}."
            early = f" It may be so from {_day(wait.low)}: test." if wait.low and wait.low < wait.likely else ""
            return Why("drying", says, f"Dry it warmer, or lay it earlier.{early}", self._dries(key))
        if laid.asked == "the time written":
            says = "It waits for the time the schedule writes."
            return Why("written", says, "Write a shorter time.", self._last(key))
        return self._order(key, laid)

    def _order(self, key: str, laid: Laid) -> Why:
        last = self._last(key)
        if not last:
            return Why("start", "Nothing holds it: it begins with the work.")
        end = self.draft.laid[last].end
        wait = self._task(last).wait_after
        if wait is not None:
            says = f"It waits for the time written after {self._name(last)}."
            return Why("written", says, "Write a shorter time.", last)
        if laid.start - end <= _AT_ONCE:
            return Why("order", f"It follows {self._name(last)}.", f"Bring {self._name(last)} forward.", last)
        return Why("maker", "It is next when the maker is free.", self._hands(laid), last)

    def _hands(self, laid: Laid) -> str:
        """What more hands would help: a helper where there is none, or where he may not do it."""
        helper = self.problem.helper
        if helper is None:
            return "A helper, or another order of work."
        if laid.task and helper.may(laid.task):
            return "More hours of the helper, or another order of work."
        return "Another order of work, or more that the helper may do."

    def _last(self, key: str) -> str:
        """The step before it that ends last."""
        return max(self._before(key), key=lambda k: self.draft.laid[k].end, default="")

    def _dries(self, key: str) -> str:
        """The step whose coat it waits for; the one before it where no coat rules."""
        laid = self.draft.laid[key]
        best, owner = -math.inf, ""
        for asks in (laid.task.asks, *laid.task.also) if laid.task else ():
            for hist in self.draft.waited.get(key, ()) if asks.readiness else ():
                over = asks.over or (laid.task.lay if laid.task else None)
                for need, hour in self.problem.waits.parts(
                    hist.events, hist.stays, asks.readiness, over, hist.closed, deviates({}, self.draft.floors)
                ):
                    minute = round(hist.events[need.at].hour * 60)
                    if best < hour < math.inf and minute in self.laid_at:
                        best, owner = hour, self.laid_at[minute]
        return owner or self._last(key)

    def _name(self, key: str) -> str:
        """A step as it is called; of another piece, with the name of that piece."""
        part, _, step = own_name(key).partition("/")
        whose = piece_of(key)
        of = f"{self.problem.work.pieces[whose].name}, " if whose != self.whose else ""
        return f"{of}{part.replace('-', ' ')}, {step.replace('-', ' ').replace('/', ', ')}"

    def _before(self, key: str) -> list[str]:
        base = key.removesuffix("/scuff-late")
        node = self.nodes.get(base)
        return [b for b in node.before if b in self.draft.laid] if node else []

    def _task(self, key: str) -> Task:
        task = self.draft.laid[key].task
        assert task is not None
        return task

    # -- it was ready, and waited for something else --------------------------------------------

    def _room(self, laid: Laid, task: Task) -> Why | None:
        """A coat in the same place was wet for most of the time."""
        if task.work != "dusty":
            return None
        for start, place, key in sorted(self.wet, reverse=True):
            dry = self._dry_of(key)
            if place == laid.place and start < laid.start and laid.ready < dry and laid.start - dry < 24 * 60:
                if self.hours.open_minutes(dry, laid.start) > _AT_ONCE:
                    continue
                until = _moment(self.hours.moment(dry))
                says = f"It makes dust, and {self._name(key)} in the {place} is wet until {until}."
                return Why("dust", says, f"Sand it before {self._name(key)}, or lay that in another place.", key)
        return None

    def _dry_of(self, key: str) -> float:
        if key not in self._dry:
            ready = self.placed[key].ready if key in self.placed else ()
            dry = next((r.likely for r in ready if r.for_ == "dust-free" and r.likely), None)
            self._dry[key] = float(self.hours.minute(dry)) if dry else float(self.draft.laid[key].end)
        return self._dry[key]

    def _settling(self, laid: Laid, task: Task) -> Why | None:
        if not task.lay:
            return None
        settle = self.problem.settle
        for end, place, key in sorted(self.dust, reverse=True):
            if place == laid.place and end <= laid.start <= end + settle + _AT_ONCE and laid.ready < end + settle:
                says = f"Dust of {self._name(key)} settles for {settle} minutes first."
                own = key.split("/")[0] == task.part
                mend = "" if own else f"Lay it before {self._name(key)}, or in a place where no dust is made."
                return Why("settling", says, mend, key)
        return None

    def _cold(self, laid: Laid, task: Task) -> Why | None:
        if not task.lay:
            return None
        long_h = (laid.laid_end - laid.start - laid.before_min) / 60
        may = self.problem.waits.next_hour_to_lay(task.lay, laid.place, laid.ready / 60, long_h) * 60
        if may > laid.ready + _AT_ONCE and laid.start - may <= 24 * 60:
            until = _moment(self.hours.moment(may))
            says = f"The air of the {laid.place} does not allow laying it before {until}."
            return Why("cold", says, "Warm the place.")
        return None

    def _shut(self, laid: Laid) -> Why | None:
        if self.hours.open_minutes(laid.ready, laid.start) > _AT_ONCE:
            return None
        ready = _moment(self.hours.moment(laid.ready))
        if laid.who:
            mend = "More hours of the helper, or open hours at that time."
            return Why("hours", f"It is ready {ready}, and the helper comes after that.", mend)
        return Why("hours", f"It is ready {ready}, and the shop opens after that.", "Open hours at that time.")

    def _maker(self, key: str, laid: Laid) -> Why | None:
        """The maker was at other work for most of the open time in between."""
        open_min = self.hours.open_minutes(laid.ready, laid.start)
        others: dict[str, float] = {}
        for a, b, other in self.worked:
            if a < laid.start and b > laid.ready and other != key:
                others[other] = others.get(other, 0.0) + min(b, laid.start) - max(a, laid.ready)
        if sum(others.values()) < _MOST * open_min:
            return None
        longest = sorted(others, key=lambda k: -others[k])[:2]
        says = f"The maker is at {' and '.join(self._name(k) for k in longest)} first."
        last = max(longest, key=lambda k: self.draft.laid[k].end)
        return Why("maker", says, self._hands(laid), last)

    def _put_off(self, laid: Laid, task: Task) -> Why:
        ready = _moment(self.hours.moment(laid.ready))
        if task.lay:
            says = f"It could be laid from {ready}; it is put off so that it dries while no dust is to be made."
            return Why("put off", says, "Lay it at once where no dusty work waits.")
        return Why("order", f"It could be done from {ready}; other work and wet coats come first.")


def _day(moment: datetime | None) -> str:
    return f"{moment:%a} {moment.day} {moment:%b}" if moment else ""


def _moment(moment: datetime) -> str:
    return f"{_day(moment)} {moment.hour}:{moment:%M}"
