"""Waits for one of the maker's own steps, on whatever part it stands; and the names own steps go by."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from rakelight.errors import Finding, Severity, Where
from rakelight.piece.model import Part
from rakelight.schedule.lookup import plain, unknown_fors
from rakelight.schedule.steps import READINESSES, Step
from rakelight.schedule.tasks import Job, Task

#: before the words of an own step among what a task follows, until the step is found
_OWN = "own step: "


@dataclass(frozen=True)
class OwnWait:
    """A `wait` for something that is no readiness, and where it was written."""

    part: str
    step: Step
    where: Where


def waits_for_own(step: Step) -> bool:
    """Whether a step waits for one of the maker's own steps."""
    return step.do == "wait" and bool(step.for_) and step.for_ not in READINESSES


def behind(words: str) -> str:
    """What stands among the steps a task follows until the own step is found."""
    return _OWN + plain(words)


def own_name(tasks: Sequence[Task], words: str) -> str:
    """What an own step is called in the plan, by its name or its own words; the words where none is called so."""
    return next((t.step for t in tasks if _called(t, words)), words)


def tied_to_own(
    jobs: Mapping[str, Job], waits: Sequence[OwnWait], parts: Mapping[str, Part]
) -> tuple[dict[str, Job], list[Finding]]:
    """The work with every wait for an own step tied to the sessions of that step, and waits that cannot be.

    Parameters: jobs, by part, members before what they are joined into; waits, as written; parts, all of the
    piece. A wait that names no own step, or one that itself comes after the wait, is an error and is left out.
    """
    tasks = [t for job in jobs.values() for t in job.tasks if not t.board]
    found = [_unknown(wait) for wait in waits if unknown_fors([wait.step], _own_words(tasks, parts))]
    order = _Order(jobs)
    tied: dict[str, Job] = {}
    for name, job in jobs.items():
        rows = []
        for task in job.tasks:
            wanted = [f for f in task.follows if f.startswith(_OWN)]
            follows = [f for f in task.follows if not f.startswith(_OWN)]
            for words in (w.removeprefix(_OWN) for w in wanted):
                own = [t for t in tasks if _called(t, words)]
                if any(_base(t.id) in order.after(_base(task.id)) for t in own):
                    found += [_loop(w) for w in waits if w.part == name and plain(w.step.for_) == words]
                    continue
                follows += [t.id for t in own]
            rows.append(replace(task, follows=tuple(dict.fromkeys(follows))) if wanted else task)
        tied[name] = replace(job, tasks=tuple(rows))
    return tied, list(dict.fromkeys(found))


def _called(task: Task, words: str) -> bool:
    if task.do != "own" or task.board:
        return False
    return plain(words) in (plain(task.step), plain(task.scheduled.own if task.scheduled else ""))


def _own_words(tasks: Sequence[Task], parts: Mapping[str, Part]) -> list[str]:
    """Names and words of own steps, of those left out too."""
    said = [t.data.get(key) for p in parts.values() for t in p.extra if t.data.get("own") for key in ("own", "name")]
    for task in tasks:
        if task.do == "own":
            said += [task.step, task.scheduled.own if task.scheduled else ""]
    return [words for words in said if isinstance(words, str) and words]


def _base(id: str) -> str:
    return id.split("/lot-")[0]


class _Order:
    """What comes after a session by the order of parts and joinings, and by the waits for own steps so far."""

    def __init__(self, jobs: Mapping[str, Job]) -> None:
        self.next: dict[str, set[str]] = {}
        ends: dict[str, list[str]] = {}
        for name, job in jobs.items():
            line = list(dict.fromkeys(_base(t.id) for t in job.tasks if not t.board))
            first = [e for member in job.begins_after for e in ends.get(member, [])]
            for before, later in [*((e, line[0]) for e in first if line), *pairwise(line)]:
                self.next.setdefault(before, set()).add(later)
            ends[name] = line[-1:] or first
        self._tie(jobs)

    def _tie(self, jobs: Mapping[str, Job]) -> None:
        tasks = [t for job in jobs.values() for t in job.tasks if not t.board]
        for task in tasks:
            for words in (f.removeprefix(_OWN) for f in task.follows if f.startswith(_OWN)):
                for own in (t for t in tasks if _called(t, words)):
                    self.next.setdefault(_base(own.id), set()).add(_base(task.id))

    def after(self, id: str) -> set[str]:
        """Sessions that come after one, itself among them."""
        seen, waiting = {id}, [id]
        while waiting:
            for later in self.next.get(waiting.pop(), ()):
                if later not in seen:
                    seen.add(later)
                    waiting.append(later)
        return seen


def _unknown(wait: OwnWait) -> Finding:
    says = f'for = "{wait.step.for_}" is neither a readiness nor an own step of this piece.'
    mend = 'Write for example for = "rub", or the words of an own step.'
    return Finding("unknown-for", Severity.ERROR, wait.where, says, mend)


def _loop(wait: OwnWait) -> Finding:
    says = f'it waits for "{wait.step.for_}", which itself comes after this wait: neither could ever begin.'
    return Finding("wait-loop", Severity.ERROR, wait.where, says, "Put the own step first, or leave the wait out.")
