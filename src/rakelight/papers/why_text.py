"""Why a step, or the date itself, is where it is: what it waits for, what would free it, and by which figure."""

from __future__ import annotations

from collections.abc import Iterator

from rakelight.papers.plan_text import moment_words
from rakelight.papers.wrapping import WIDTH, wrapped
from rakelight.plan.model import Because, Due, Plan, Ready
from rakelight.schedule.words import ready_words

#: steps told on the way back to the start
_MOST = 40


def step_words(key: str) -> str:
    """A step as it is called.

    >>> step_words("drawer-side/coat-3/lot-2")
    'Drawer side, coat 3, lot 2'
    """
    part, _, step = key.partition("/")
    return ", ".join(x.replace("-", " ") for x in [part.capitalize(), *step.split("/")] if x)


def why_step(plan: Plan, key: str, width: int = WIDTH) -> list[str]:
    """One step: what it waits for, what would let it begin earlier, the figure, and what stands before that.

    Parameters: key, of a step of the plan.
    """
    placed = plan.placed[key]
    lines = wrapped(f"{step_words(key)}: {moment_words(placed.start)}", width, "", "  ")
    if placed.why is None:
        return [*lines, "  It is done."]
    lines += wrapped(placed.why.says, width, "  ", "    ")
    if placed.why.frees:
        lines += wrapped(f"> {placed.why.frees}", width, "  ", "    ")
    if placed.waited_for and placed.why.kind == "drying":
        lines += _figure(placed.waited_for.because, width)
    return [*lines, *_back(plan, placed.why.after, width)]


def why_date(plan: Plan, width: int = WIDTH) -> list[str]:
    """The last of the dates wanted: the coat it hangs on, the figure, and the way back to the start."""
    known = [due for due in plan.due if due.likely]
    if not known:
        return ["No date can be told."]
    due = max(known, key=lambda d: d.likely or d.by)
    assert due.likely
    lines = wrapped(f"{_wanted(due)}: likely {moment_words(due.likely)}", width, "", "  ")
    key, ready = _last_coat(plan, due)
    if ready and ready.because:
        lines += wrapped(f"It waits for {step_words(key)}: {ready.because.says}.", width, "  ", "    ")
        lines += _figure(ready.because, width)
    else:
        lines += _longest(plan, key, width)
    return [*lines, *_back(plan, key, width)]


def _longest(plan: Plan, key: str, width: int) -> list[str]:
    """The longest wait on the way back, with its figure."""
    waits = [w for one in _way(plan, key) if (w := plan.placed[one].waited_for) and w.because]
    longest = max(waits, key=lambda w: w.because.dose_h[1] if w.because else 0.0, default=None)
    if longest is None or longest.because is None:
        return []
    says = f"The longest wait on the way: {longest.because.says}."
    return [*wrapped(says, width, "  ", "    "), *_figure(longest.because, width)]


def _wanted(due: Due) -> str:
    words = ready_words(due.for_)
    return f"{due.part.replace('-', ' ').capitalize()} {words}" if due.part else f"{words[:1].upper()}{words[1:]}"


def _last_coat(plan: Plan, due: Due) -> tuple[str, Ready | None]:
    """The coat that is ready last for what is wanted; without one, the last step."""
    rows = [
        (ready.likely, key, ready)
        for key, placed in plan.placed.items()
        for ready in placed.ready
        if ready.for_ == due.for_ and ready.likely and key.startswith(due.part)
    ]
    last = max(plan.placed, key=lambda k: plan.placed[k].end, default="")
    if not rows:
        return last, None
    likely, key, ready = max(rows, key=lambda row: row[0])
    return (key, ready) if last and likely >= plan.placed[last].end else (last, None)


def _figure(because: Because | None, width: int) -> list[str]:
    """The figure and where it comes from."""
    if because is None or not because.figure:
        return []
    kind = because.kind.value if because.kind else "kind of source not said"
    source = f"; {because.source}" if because.source and because.source != kind else ""
    return wrapped(f"The figure: {because.figure}, {kind}{source}.", width, "  ", "    ")


def _back(plan: Plan, key: str, width: int) -> list[str]:
    rows = list(_way(plan, key))
    if not rows:
        return []
    lines = ["", "And that hangs on, back to the start"]
    for one in rows:
        placed = plan.placed[one]
        says = placed.why.says if placed.why else "It is done."
        lines += wrapped(f"{step_words(one)}: {says}", width, f"  {moment_words(placed.start):<17} ", " " * 20)
    return lines


def _way(plan: Plan, key: str) -> Iterator[str]:
    seen: set[str] = set()
    while key in plan.placed and key not in seen and len(seen) < _MOST:
        seen.add(key)
        yield key
        why = plan.placed[key].why
        key = why.after if why else ""
