"""What the finish of each part is, in plain words, for the papers that leave with the piece."""

from __future__ import annotations

from dataclasses import dataclass

from rakelight.facts.load import Facts
from rakelight.facts.records import Material
from rakelight.piece.model import part_words
from rakelight.schedule.tasks import Job, Task, Work

_WORK = {
    "level": "levelled with fine paper",
    "rub": "rubbed by hand",
}
#: roles of what is touched and worn; colour, filler and wax do not count
_BEARS = frozenset({"film", "penetrating_oil"})
_NUMBERS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve")


@dataclass(frozen=True)
class Finished:
    """A part with what lies on the faces that show."""

    names: tuple[str, ...]
    woods: tuple[str, ...]
    layers: tuple[Material, ...]  # each once, by where it lies topmost, from the wood up
    body: Material  # that which bears wear: the topmost film or oil, not the wax over it
    says: str  # "Boiled linseed oil, six coats of dewaxed shellac, rubbed by hand, paste wax"

    @property
    def waxed(self) -> bool:
        """Whether wax lies over something else."""
        return self.layers[-1] is not self.body


def finished_parts(work: Work, facts: Facts) -> list[Finished]:
    """Every part with a finish of its own; a joined part with what its members brought to it."""
    found = []
    for name, job in work.jobs.items():
        used = [j for j in work.jobs.values() if name in j.begins_after]
        tasks = _history(work, job)
        if not any(t.lay for t in job.tasks) or any(t.lay for j in used for t in j.tasks):
            continue  # told with the part it is joined into
        laid = [t for t in tasks if t.lay and t.lay.material in facts.materials]
        layers = dict.fromkeys(t.lay.material for t in reversed(laid) if t.lay)
        rows = tuple(facts.materials[m] for m in reversed(layers))
        if rows:
            body = next((r for r in reversed(rows) if _BEARS & r.roles), rows[-1])
            found.append(Finished((part_words(name),), _woods(work, job), rows, body, _says(tasks, facts)))
    return found


def _history(work: Work, job: Job) -> list[Task]:
    """Sessions on a part, after those on the member it was joined from that was coated most."""
    members = [work.jobs[m] for m in job.begins_after if m in work.jobs]
    most = max(members, key=lambda j: sum(1 for t in j.tasks if t.lay), default=None)
    own = [t for t in job.tasks if not t.board]
    before = [t for t in most.tasks if not t.board] if most else []
    return [*before, *own]


def _woods(work: Work, job: Job) -> tuple[str, ...]:
    own = list(job.part.woods)
    for member in job.part.of:
        own += _woods(work, work.jobs[member]) if member in work.jobs else []
    return tuple(dict.fromkeys(own))


def _says(tasks: list[Task], facts: Facts) -> str:
    """The finish from the wood up; coats of one step are counted on its broadest faces."""
    said: list[str] = []
    seen: set[tuple[str, str]] = set()
    for task in tasks:
        lay = task.lay
        if lay and lay.material in facts.materials:
            key = (task.part, f"{task.do} {lay.material}")
            if key in seen:
                continue
            seen.add(key)
            same = [t for t in tasks if (t.part, t.do) == (task.part, task.do)]
            many = max(_per_face([t for t in same if t.lay and t.lay.material == lay.material]).values())
            name = facts.materials[lay.material].name
            words = f"{_count(many)} coats of {name}" if many > 1 else name
            said += [words] * (words not in said)
        elif task.do in _WORK and _WORK[task.do] not in said:
            said.append(_WORK[task.do])
    words = ", ".join(said)
    return words[:1].upper() + words[1:]


def _per_face(tasks: list[Task]) -> dict[tuple[str, int], int]:
    """Coats on each face of the first lot and the others, by face and lot."""
    counts: dict[tuple[str, int], int] = {}
    for task in tasks:
        for face in task.faces:
            counts[face, task.lot[0]] = counts.get((face, task.lot[0]), 0) + 1
    return counts or {("", 1): 1}


def _count(number: int) -> str:
    return _NUMBERS[number] if number < len(_NUMBERS) else str(number)
