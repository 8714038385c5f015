"""A schedule in words of the trade: each step as one line a maker reads."""

from __future__ import annotations

from rakelight.facts.load import Facts
from rakelight.facts.names import say_abrasive
from rakelight.schedule.steps import READINESSES, Count, Duration, Grit, Schedule, Step
from rakelight.schedule.verbs import OWN, RULES
from rakelight.units import show_hours

_LAID = {"brush": "brushed", "wipe": "wiped on", "pad": "padded", "spray": "sprayed", "trowel": "trowelled"}
_READY = {
    "dust-free": "dust-free",
    "next coat": "ready for the next coat",
    "use": "ready for full use",
}


def ready_words(readiness: str) -> str:
    """A readiness in words: "ready to rub"; a step of the maker's own as it stands."""
    if readiness not in READINESSES:
        return readiness
    return _READY.get(readiness, f"ready to {readiness}")


def schedule_lines(schedule: Schedule, facts: Facts) -> list[str]:
    """Each step of a schedule as one readable line, in order."""
    return [step_line(step, facts) for step in schedule.steps]


def step_line(step: Step, facts: Facts, coats: bool = True) -> str:
    """One step as a line a maker reads: "Coat: dewaxed shellac, 2 lb cut, brushed, 6 coats".

    Parameters: coats, whether to say how many coats and how they follow one another (not, where the line is
    of one coat of several).
    """
    said = [*_what(step, facts), *_how(step)]
    if coats:
        said += _coats(step)
    said += _limits(step)
    head = (step.own or step.do).strip()
    head = head[:1].upper() + head[1:]
    return f"{head}: {', '.join(said)}" if said else head


def material_words(step: Step, facts: Facts) -> str:
    """What a step lays, with cut and thinning: "dewaxed shellac, 2 lb cut"."""
    if not step.material:
        return ""
    said = [facts.materials[step.material].name]
    if step.cut_lb is not None:
        said.append(f"{step.cut_lb:g} lb cut")
    if step.thin:
        said.append(f"thinned {step.thin:.0%}")
    if step.strength_g_per_l:
        said.append(f"{step.strength_g_per_l:g} g/l")
    return ", ".join(said)


def count_words(count: Count, one: str = "coat") -> str:
    """A number of coats as a maker says it: "6 coats", "1 to 3 coats, likely 2".

    >>> count_words(Count(1, 2, 3)), count_words(Count(1, 1, 1))
    ('1 to 3 coats, likely 2', '1 coat')
    """
    many = one if count.most == 1 else f"{one}s"
    if count.least == count.most:
        return f"{count.likely} {many}"
    return f"{count.least} to {count.most} {many}, likely {count.likely}"


def duration_words(duration: Duration) -> str:
    """A clock time as it would be said: "overnight", "2 h"."""
    return "overnight" if duration.overnight else show_hours(duration.hours)


def grits_words(grits: tuple[Grit, ...]) -> str:
    """Papers in order: "P120, P150, P180"."""
    return ", ".join(str(grit) for grit in grits)


def abrasive_words(step: Step) -> str:
    """What is rubbed with, as a maker calls it: "0000 wool", "pumice FFF"."""
    return say_abrasive(step.abrasive) if step.abrasive else ""


def _what(step: Step, facts: Facts) -> list[str]:
    said = [material_words(step, facts)] if step.material else []
    if step.abrasive and step.do == "rub":
        said.append(abrasive_words(step))
    if step.grits:
        said.append(grits_words(step.grits))
    if step.wet:
        said.append(f"wet with {step.wet}")
    if step.do == "move":
        said.append(f"to the {step.to}" if step.to else "")
    if step.do == "wait" and step.for_:
        said.append(f"until {ready_words(step.for_)}")
    return [words for words in said if words]


def _how(step: Step) -> list[str]:
    said = []
    if step.warm:
        said.append("warm")
    if step.by:
        said.append(_LAID.get(step.by, f"with a {step.by}"))
    if step.flood:
        said.append("flooded")
    return said


def _coats(step: Step) -> list[str]:
    said = []
    if step.coats.most > 1:
        said.append(count_words(step.coats))
    if step.a_day:
        said.append(f"{step.a_day} a day")
    if step.scuff:
        said.append(f"scuffed {step.scuff} between {'days' if step.a_day else 'coats'}")
    return said


def _limits(step: Step) -> list[str]:
    said = []
    usual = RULES.get(step.do, OWN).on
    if step.on != usual:
        faces = {"all": "on every face", "show": "on the faces that show", "hidden": "on hidden faces"}
        said.append(faces.get(step.on, f"on the {step.on}"))
    if step.at_least:
        clock = f"at least {duration_words(step.at_least)} later"
        said.append("the next day or later" if step.at_least.overnight else clock)
    if step.at_most:
        said.append(f"within {duration_words(step.at_most)}")
    if step.wait:
        said.append("left overnight" if step.wait.overnight else f"left {duration_words(step.wait)}")
    if step.test:
        said.append(f"test: {step.test}")
    if step.tools:
        said.append(f"with {', '.join(step.tools)}")
    return said
