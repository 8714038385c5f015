"""The book of schedules as it is picked from: by look, with what each stands, what lays it, and its steps in words."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from rakelight.errors import Finding
from rakelight.facts.load import Facts
from rakelight.schedule.book import Book
from rakelight.schedule.steps import LAYING, Schedule, Step
from rakelight.schedule.words import step_line

#: sheens by how they look, the dullest first
LOOKS = (
    ("Matt to eggshell: close to the wood", ("flat", "eggshell")),
    ("Satin: a soft sheen", ("satin", "semi-gloss")),
    ("Gloss: a mirror", ("gloss", "high gloss")),
    ("For what is not seen", ("",)),
)
_USES = (("water", "water"), ("alcohol", "spirits"), ("heat", "a hot cup"), ("abrasion", "wear"))
#: what a piece must stand, as the language calls it, and the column of the table of materials
_STRAINS = {"water": "water", "alcohol": "alcohol", "heat": "heat", "abrasion": "wear"}
_WEAK = 2
#: grade of five, as the table of materials has it
_GRADES = {5: "very well", 4: "well", 3: "fairly", 2: "little", 1: "hardly"}
_BY = {"brush": "brushed", "wipe": "wiped on", "pad": "padded", "spray": "sprayed", "trowel": "trowelled"}


@dataclass(frozen=True)
class Finish:
    """One schedule of the book as a maker chooses it."""

    name: str
    title: str
    says: str  # what it is for
    sheen: str
    laid: str  # "brushed and wiped on, 8 coats"
    stands: tuple[tuple[str, str], ...]  # ("water", "well")
    weak: tuple[tuple[str, str], ...]  # what it stands little of: as the language calls it, and in words
    source: str  # where the grades come from
    gun: bool
    steps: tuple[str, ...]
    book: str  # piece, own, shipped


@dataclass(frozen=True)
class Look:
    """Finishes of one look."""

    says: str
    finishes: tuple[Finish, ...]


def finish_of(schedule: Schedule, facts: Facts) -> Finish:
    """One schedule as it is chosen."""
    grades, source = _grades(schedule, facts)
    stands = tuple((says, _GRADES[grades[use]]) for use, says in _USES if use in grades)
    weak = tuple(
        (_STRAINS[use], f"{says} {_GRADES[grades[use]]}")
        for use, says in _USES
        if grades.get(use, 5) <= _WEAK
    )
    return Finish(
        schedule.name, schedule.title, schedule.note, schedule.sheen, _laid(schedule), stands, weak, source,
        any(step.by == "spray" for step in schedule.steps),
        tuple(step_line(step, facts) for step in schedule.steps), schedule.book,
    )  # fmt: skip


def looks_of(book: Book, facts: Facts) -> tuple[Look, ...]:
    """The finishes of a book by their look; those of no known look stand last."""
    every = [finish_of(schedule, facts) for schedule in book.all()]
    rows = [Look(says, tuple(f for f in every if f.sheen in sheens)) for says, sheens in LOOKS]
    return tuple(row for row in rows if row.finishes)


def faults_of(book: Book) -> list[Finding]:
    """What is wrong in schedules that cannot be used."""
    book.all()
    return [f for f in book.findings if f.severity == "error"]


def worn_step(steps: Iterable[Step]) -> Step | None:
    """The step whose layer takes the wear: the last film, else the last oil, else the last seal; wax does not count."""
    laid = [step for step in steps if step.do in LAYING]
    for verbs in (("coat",), ("oil",), ("seal", "size")):
        found = [step for step in laid if step.do in verbs]
        if found:
            return found[-1]
    return None


def _grades(schedule: Schedule, facts: Facts) -> tuple[dict[str, int], str]:
    """Grade of five for each use, of the layer that takes the wear, and where the grades come from."""
    worn = worn_step(schedule.steps)
    row = facts.materials.get(worn.material) if worn else None
    if row is None:
        return {}, ""
    source = row.sources.get("resistance") or row.sources["default"]
    return row.resistance, f"{row.name}: {source.text} ({source.kind.value})"


def _laid(schedule: Schedule) -> str:
    steps = [step for step in schedule.steps if step.do in LAYING and step.do != "wax"]
    ways = list(dict.fromkeys(_BY[step.by] for step in steps if step.by in _BY))
    least, most = sum(s.coats.least for s in steps), sum(s.coats.most for s in steps)
    count = f"{least}" if least == most else f"{least} to {most}"
    coats = f"{count} coat{'' if most == 1 else 's'} in all" if most else ""
    return ", ".join(words for words in (" and ".join(ways), coats) if words)
