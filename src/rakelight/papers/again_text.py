"""What finished jobs took, as text."""

from __future__ import annotations

from collections.abc import Sequence

from rakelight.log.again import Beside, JobDone, Scaled
from rakelight.papers.recipe_file import said, work_words
from rakelight.papers.sheet_words import mass_words, volume_words
from rakelight.papers.wrapping import WIDTH, upper_first, wrapped
from rakelight.piece.model import part_words
from rakelight.units import ML_PER_TABLESPOON, ML_PER_TEASPOON, show_area, show_span, show_volume

#: below this a volume is told in spoons as well
_SPOONS_BELOW_ML = 4 * ML_PER_TABLESPOON


def job_lines(job: JobDone, unit: str, width: int = WIDTH) -> list[str]:
    """A finished part step by step."""
    lines = [f"{job.piece}, {part_words(job.part)}: {job.schedule}, {show_area(job.area_m2, unit)}", ""]
    for step in job.steps:
        lines += wrapped(f"{upper_first(step.name)}: {said(step, unit)}.", width, "  ", "    ")
    return [*lines, "", *_times(job, width)]


def _times(job: JobDone, width: int) -> list[str]:
    told, of = job.told
    lines = [f"{told} of {of} sessions were told; the rest counts as planned."]
    if job.times_planned:
        lines.append(f"Where the time was told, the work took {job.times_planned:.2g} times what was planned.")
    return [line for words in lines for line in wrapped(words, width)]


def scaled_lines(
    job: JobDone, area_m2: float, rows: Sequence[Scaled], unit: str, width: int = WIDTH
) -> list[str]:
    """The same for another area."""
    head = f"{job.piece}, {part_words(job.part)}: {show_area(job.area_m2, unit)} done, for {show_area(area_m2, unit)}:"
    lines = [*wrapped(head, width), ""]
    for row in rows:
        parts = [f"{work_words(row.minutes)} of work"]
        if row.ml:
            parts.append(f"{volume_words(row.ml, unit)} laid{spoons(row.ml)}")
            parts += mixed_words(row, unit)
        lines += wrapped(f"{upper_first(row.name)}: {'; '.join(parts)}.", width, "  ", "    ")
    return lines


def mixed_words(row: Scaled, unit: str) -> list[str]:
    """What is mixed for it; nothing where it is laid as it comes."""
    named = {"flakes_g": "of flakes", "powder_g": "of powder", "finish_ml": "from the can",
             "thinner_ml": f"of {row.thinner or 'thinner'}"}  # fmt: skip
    if set(row.parts) <= {"finish_ml"}:
        return []
    words = []
    for name, amount in row.parts.items():
        shown = mass_words(amount, unit) if name.endswith("_g") else volume_words(amount, unit) + spoons(amount)
        words.append(f"{shown} {named[name]}")
    return words


def spoons(volume_ml: float) -> str:
    """A small volume in spoons, to the quarter; nothing for a large one.

    >>> spoons(4.73), spoons(30), spoons(500)
    (' = 1 teaspoon', ' = 2 tablespoons', '')
    """
    if volume_ml >= _SPOONS_BELOW_ML or volume_ml < ML_PER_TEASPOON / 8:
        return ""
    size, name = (
        (ML_PER_TABLESPOON, "tablespoon") if volume_ml > 3 * ML_PER_TEASPOON * 0.99 else (ML_PER_TEASPOON, "teaspoon")
    )
    quarters = max(1, round(4 * volume_ml / size))
    whole, rest = divmod(quarters, 4)
    number = " ".join(word for word in (str(whole) if whole else "", ["", "1/4", "1/2", "3/4"][rest]) if word)
    return f" = {number} {name}{'s' * (quarters > 4)}"


def beside_lines(
    one: JobDone, other: JobDone, rows: Sequence[Beside], unit: str, width: int = WIDTH
) -> list[str]:
    """Two jobs step by step, to the square metre or foot."""
    lines = []
    for letter, job in (("A", one), ("B", other)):
        about = f"{job.wood}, {show_area(job.area_m2, unit)}, {job.schedule}"
        lines += wrapped(f"{letter}: {job.piece}, {part_words(job.part)} ({about})", width)
    lines.append("")
    for row in rows:
        parts = []
        if any(row.coats):
            parts.append(f"coats {_pair(row.coats, lambda n: f'{n:g}')}")
        parts.append(f"work {_pair(row.minutes, lambda m: f'{m * _area(unit):.1f} min')}")
        if any(ml is not None for ml in row.ml):
            parts.append(f"laid {_pair(row.ml, lambda ml: show_volume(ml * _area(unit), 'mm'))}")
        if any(h is not None and h >= 1 for h in row.waited_h):
            parts.append(f"waited {_pair(row.waited_h, show_span)}")
        lines += wrapped(f"{upper_first(row.name)}: {'; '.join(parts)}.", width, "  ", "    ")
    per = "square foot" if unit == "in" else "square metre"
    lines += ["", *wrapped(f"A before B; work and what was laid to the {per}; - where it was not told.", width)]
    return lines


def _area(unit: str) -> float:
    from rakelight.units import M2_PER_FT2

    return M2_PER_FT2 if unit == "in" else 1.0


def _pair(values: tuple[float | None, float | None], show: object) -> str:
    assert callable(show)
    return " and ".join(show(v) if v is not None else "-" for v in values)
