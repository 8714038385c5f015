"""A schedule on the faces of a part, step by step: coats one by one, scuffs between, from and to chosen."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from rakelight.errors import Finding, Severity, Where
from rakelight.schedule.lookup import find_step, nearest_step
from rakelight.schedule.steps import LAYING, Count, Grit, Step

#: steps that stand for themselves, whatever faces are named
_FACELESS = ("wait", "turn", "points", "move", "own")


@dataclass(frozen=True)
class Share:
    """Faces that get the same step within one session."""

    faces: tuple[str, ...]
    step: Step


@dataclass(frozen=True)
class Op:
    """One coat, one sanding, one wait: a step of a schedule met once, on the faces it is for."""

    do: str
    name: str  # "coat 3", "sand", own words
    shares: tuple[Share, ...]
    coat: int = 1  # number of this coat under its name
    of: int = 1
    index: int = 0  # of its step in the schedule
    group: str = ""  # schedule it comes from; "" a further step of the part
    from_extra: bool = False

    @property
    def step(self) -> Step:
        """The step that names it."""
        return self.shares[0].step

    @property
    def faces(self) -> tuple[str, ...]:
        """All faces it is for, each once."""
        return tuple(dict.fromkeys(name for share in self.shares for name in share.faces))

    def called(self, words: str) -> bool:
        """Whether others may call it so: its name, its verb, its own words, "coat 3"."""
        wanted = " ".join(words.split()).casefold()
        names = [self.name, self.step.name, self.step.own or self.step.do, f"{self.do} {self.coat}"]
        if self.step.do == "scuff" and self.name.startswith("scuff before"):
            names = [self.name, "scuff"]
        return wanted in (name.casefold() for name in names)

    def also(self, other: Op) -> Op:
        """The same session on further faces."""
        return replace(self, shares=(*self.shares, *other.shares))


def expand(
    steps: Sequence[Step],
    faces_for: Mapping[int, tuple[str, ...]],
    coats_taken: Mapping[str, int],
    group: str = "",
    extra: bool = False,
) -> list[Op]:
    """Every step of a schedule, coat by coat.

    Parameters: faces_for, the faces each step is for, by its number; coats_taken, coats a step of a name took
    in fact, in place of the likely number. A step without faces is left out, unless it has none by nature.
    """
    bases = Counter(s.name or s.do for s in steps if s.do in LAYING)
    met: Counter[str] = Counter()
    found: list[Op] = []
    for index, step in enumerate(steps):
        faces = faces_for[index]
        if not faces and step.do not in _FACELESS:
            continue
        name = step.own if step.do == "own" and not step.name else step.name or step.do
        if step.do not in LAYING:
            found.append(Op(step.do, name, (Share(faces, step),), index=index, group=group, from_extra=extra))
            continue
        taken = coats_taken.get(name) if not met[name] else None
        number = taken or step.coats.likely
        numbered = bases[name] > 1 or step.coats.most > 1
        found += _coats(step, name, faces, met[name], number, numbered, index, group, extra)
        met[name] += number
    return [replace(op, of=max(op.of, met[op.step.name or op.do])) if op.do in LAYING else op for op in found]


def _coats(
    step: Step,
    base: str,
    faces: tuple[str, ...],
    before: int,
    number: int,
    numbered: bool,
    index: int,
    group: str,
    extra: bool,
) -> Iterable[Op]:
    for k in range(1, number + 1):
        coat = before + k
        name = f"{base} {coat}" if numbered or coat > 1 else base
        laid = step
        if step.scuff and k > 1 and (step.a_day is None or (k - 1) % step.a_day == 0):
            yield Op(
                "scuff",
                f"scuff before {name}",
                (Share(faces, _scuff_of(step, step.scuff, name)),),
                coat=coat,
                index=index,
                group=group,
                from_extra=extra,
            )
            laid = replace(step, at_least=None, at_most=None)
        yield Op(step.do, name, (Share(faces, laid),), coat, number, index, group, extra)


def _scuff_of(step: Step, grit: Grit, name: str) -> Step:
    return Step(
        "scuff",
        name=f"scuff before {name}",
        grits=(grit,),
        coats=Count(1, 1, 1),
        on=step.on,
        when="sand",
        at_least=step.at_least,
        work="dusty",
        line=step.line,
    )


def cut_to(
    ops: list[Op], steps: Sequence[Step], from_step: str, to_step: str, where: Where, schedule: str
) -> tuple[list[Op], list[Finding]]:
    """The ops from one named step to another, both included; a name that is no step's is a finding."""
    found: list[Finding] = []
    first, last = 0, len(ops)
    if from_step:
        spot = find_step(steps, from_step)
        at = find_op(ops, from_step)
        if spot is None:
            found.append(no_such_step("from", from_step, schedule, steps, where))
        elif at is None:  # that step is not for these faces: from the next that is
            at = next((n for n, op in enumerate(ops) if op.index >= spot.index), len(ops))
        first = at or 0
    if to_step:
        spot = find_step(steps, to_step, last=True)
        at = find_op(ops, to_step, last=True)
        if spot is None:
            found.append(no_such_step("to", to_step, schedule, steps, where))
        elif at is None:
            at = max((n for n, op in enumerate(ops) if op.index <= spot.index), default=-1)
        last = len(ops) if at is None else at + 1
    return ops[first:last], found


def no_such_step(key: str, words: str, schedule: str, steps: Sequence[Step], where: Where) -> Finding:
    """A name in `to`, `from`, `through`, `before` or `after` that is no step's."""
    says = f'{key} = "{words}": the schedule {schedule} has no step called so.'
    return Finding("no-such-step", Severity.ERROR, where, says, nearest_step(steps, words))


def find_op(ops: Sequence[Op], words: str, last: bool = False) -> int | None:
    """Where an op stands by what others call it; an exact name goes before a verb."""
    wanted = " ".join(words.split()).casefold()
    met = [at for at, op in enumerate(ops) if op.name.casefold() == wanted]
    met = met or [at for at, op in enumerate(ops) if op.called(words)]
    return met[-1 if last else 0] if met else None
