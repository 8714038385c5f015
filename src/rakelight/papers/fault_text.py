"""Faults help as text: what to do now, likely causes with what tells for them, by when to decide."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from rakelight.facts.faults import Fault
from rakelight.log.fault_remedy import WAIT, Remedy
from rakelight.log.faults import CoatLaid, Likely
from rakelight.papers.plan_text import moment_words
from rakelight.papers.wrapping import WIDTH, lower_first, upper_first, wrapped
from rakelight.piece.model import part_words

#: a share of the weight from which a cause is called likely, or possible: assumption
_LIKELY, _POSSIBLE = 0.4, 0.1

#: how much of a piece a remedy takes in, in words
REACH = {"spot": "the spot alone", "face": "the whole face", "part": "the whole part"}


def fault_lines(
    fault: Fault, coat: CoatLaid, causes: Sequence[Likely], remedy: Remedy, now: datetime, width: int = WIDTH
) -> list[str]:
    """The whole help."""
    faces = f", {' and '.join(coat.faces)}" if coat.faces and len(coat.faces) <= 2 else ""
    head = f"{upper_first(fault.name)} on {part_words(coat.part)}{faces}: {coat.row.name} of {moment_words(coat.start)}"
    lines = [*wrapped(head, width), "", "Now"]
    lines += wrapped(fault.now, width, "  ", "  ")
    lines += wrapped(remedy_words(remedy), width, "  ", "  ")
    lines += wrapped(f"How much of it: {REACH[remedy.reach]}. {upper_first(remedy.reach_says)}.", width, "  ", "  ")
    lines += wrapped(remedy.clean, width, "  ", "  ") if remedy.clean else []
    lines += ["", "Likely from"]
    for likely in causes:
        lines += wrapped(cause_words(likely), width, "  ", "    ")
    return lines


def remedy_words(remedy: Remedy) -> str:
    """What to do, and by when to leave waiting."""
    said = remedy.says
    if remedy.way == WAIT and remedy.decide_by:
        then = f": if it is not right by then, {remedy.then}." if remedy.then else "."
        said += f" Decide on {moment_words(remedy.decide_by)}{then}"
    elif remedy.decide_by:
        said += f" That is likely from {moment_words(remedy.decide_by)} on."
    return said


def cause_words(likely: Likely) -> str:
    """One cause: how likely, what tells for or against it, what to do next time."""
    word = "Likely" if likely.share >= _LIKELY else "Possible" if likely.share >= _POSSIBLE else "Hardly"
    tells = f": {likely.because}" if likely.because else ""
    how = " (tells against it)" if likely.tells == "against" and tells else ""
    return f"{word}: {likely.cause.cause}{tells}{how}. Next time: {lower_first(likely.cause.next_time)}"
