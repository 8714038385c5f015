"""The pictures of a piece: calendar, film, wood, air and odds, each drawn by its one function from what is planned."""

from __future__ import annotations

import re
from collections import Counter
from dataclasses import dataclass, replace
from datetime import datetime
from typing import TYPE_CHECKING

from rakelight.desk import Answer
from rakelight.errors import RakelightError, Severity
from rakelight.facts.load import Facts
from rakelight.papers.pictures.canvas import WORDS
from rakelight.piece.model import Part, part_words
from rakelight.plan.model import Due
from rakelight.schedule.film_answers import FaceAnswer, piece_film
from rakelight.schedule.tasks import Job, Lay, Task
from rakelight.units import show_film, show_length

if TYPE_CHECKING:
    from rakelight.schedule.wood_cups import Panel  # heavy: read when one is drawn

_STYLE = re.compile(r"<style>.*?</style>", re.DOTALL)
#: coats whose hours are shown under a week of air
_MOST_COATS = 3
#: faces that show, but are looked at last
_TURNED_AWAY = ("back", "underside", "ends", "edges")
#: a board narrower than this moves too little to draw. Assumption
_LEAST_WIDE_MM = 100.0


@dataclass(frozen=True)
class Film:
    """The film of one part on the face that shows most of it."""

    part: str
    shown: str
    face: FaceAnswer
    says: str


@dataclass(frozen=True)
class Top:
    """A board wide enough that it is worth drawing how it moves."""

    part: str
    shown: str
    wood: str
    wide_mm: float
    thick_mm: float
    cut: str
    coats: dict[str, int]


def calendar_svg(answer: Answer, narrow: bool, inline: str = "") -> str:
    """The calendar; `inline` names it where it stands within a page, which then has its style."""
    from rakelight.papers.pictures.calendar import draw
    from rakelight.papers.pictures.calendar_rows import NARROW_ROWS, WIDE_ROWS, calendar_model

    rows = NARROW_ROWS if narrow else WIDE_ROWS
    svg = draw(
        calendar_model(answer.work, answer.plan, answer.shop, answer.findings, most_rows=rows), narrow, inline
    )
    return _STYLE.sub("", svg) if inline else svg


def calendar_rules() -> str:
    """The style of a calendar that stands within a page, for the one stylesheet, in the page's own tokens."""
    from rakelight.papers.pictures.calendar_shapes import RULES

    lines: list[str] = []
    paper: list[str] = []
    for selector, declarations in (*WORDS, *RULES):
        on_paper = selector.startswith("paper ")
        chosen = ",".join(f".calendar {one}" for one in selector.removeprefix("paper ").split(","))
        said = re.sub(r"@([\w-]+)", r"var(--\1)", declarations)
        (paper if on_paper else lines).append(f"{chosen}{{{said}}}")
    return "\n".join([*lines, f"@media print{{{''.join(paper)}}}"]) + "\n"


def films(answer: Answer, facts: Facts) -> list[Film]:
    """The film of each part, on the show face that has most."""
    found = []
    done = answer.state.done or None
    for name, faces in piece_film(answer.work, facts, done=done).items():
        own = [a for a in faces if a.film.own and a.film.dry_um.likely > 0]
        if not own:
            continue
        face = max(
            own, key=lambda a: (a.film.role == "show", a.film.dry_um.likely, a.film.face not in _TURNED_AWAY)
        )
        unit = answer.piece.unit
        low, likely, high = (show_film(v, unit) for v in face.film.dry_um)
        lies = face.now_um
        here = f"by now {show_film(lies.likely, unit)}" if lies and lies.likely else "none of it yet"
        by_now = "" if lies is None else f"; {here}"
        says = (
            f"Film {likely} ({low} to {high}) when all coats lie, ceiling {show_film(face.ceiling_um, unit)}{by_now}."
        )
        found.append(Film(name, f"{part_words(name)}, {face.film.face}", face, says))
    return found


def film_svg(film: Film, facts: Facts, narrow: bool) -> str:
    """The film of one part."""
    from rakelight.papers.pictures.film import picture_of

    return picture_of(film.face, facts, narrow)


def tops(answer: Answer) -> list[Top]:
    """Boards and tops of solid wood, the widest first."""
    found = []
    for job in answer.work.jobs.values():
        wide = _across(job.part)
        if job.part.solid and wide >= _LEAST_WIDE_MM and job.wood:
            thick = job.part.sizes.thick_mm or 0.0
            top = Top(job.part.name, job.part.shown, job.wood, wide, thick, job.part.cut, _coats(answer, job))
            found.append(top)
    return sorted(found, key=lambda top: -top.wide_mm)


def _across(part: Part) -> float:
    if part.kind == "slab":
        return max(part.sizes.wide_at_mm, default=0.0)
    return (part.sizes.round_mm or part.sizes.wide_mm or 0.0) if part.kind == "panel" else 0.0


def _coats(answer: Answer, job: Job) -> dict[str, int]:
    """Coats on its show faces, by material."""
    laid = {(t.step, t.lay.material) for t in _tasks_on(answer, job) if t.lay}
    return dict(Counter(material for _, material in laid))


def _tasks_on(answer: Answer, job: Job) -> list[Task]:
    return [t for t in job.tasks if t.lay and not t.board and t.lay.dry_um > 0]


def movement_svg(answer: Answer, top: Top, facts: Facts) -> tuple[str, str]:
    """How a top moves through the year where it will live: the picture, and the same as a sentence.

    Raises RakelightError where the town it lives in is not known.
    """
    from rakelight.papers.pictures.movement import movement_svg as drawn
    from rakelight.schedule import wood_known, wood_moves, wood_ready
    from rakelight.schedule.wood_air import outdoor_year, town_year

    unit = answer.piece.unit or "mm"
    wood = wood_known.wood_known(facts, top.wood)
    coated = wood_known.of_coats(facts, top.coats)
    lives = town_year if answer.piece.lives == "heated house" else outdoor_year
    air, made = lives(facts, answer.piece.lives_town), wood_ready.home_pct(facts)
    year = wood_moves.year_moves(facts, wood, top.wide_mm, top.thick_mm, top.cut, air, made, coated)
    fit = wood_moves.fits(facts, year.dampest, year.driest, "middle", unit)
    swing = year.swing_mm
    low, likely, high = (show_length(v, unit, 32) for v in (swing.low, swing.likely, swing.high))
    says = (
        f"{top.shown}, {show_length(top.wide_mm, unit)} wide, moves {likely} ({low} to {high}) between "
        f"{year.air.season(year.driest_day)} and {year.air.season(year.dampest_day)}, in {year.air.says}."
    )
    return drawn(year, fit, top.thick_mm, unit), says


def bends(answer: Answer, top: Top) -> bool:
    """Whether a top is warned of as finished unequally."""
    return any(f.id == "unequal-faces" and f.severity is Severity.WARNING and f.where.part == top.part
               for f in answer.findings)  # fmt: skip


def _panel(answer: Answer, top: Top, facts: Facts) -> Panel:
    """A top with what will lie on its two broad faces. Raises RakelightError where it has no two."""
    from rakelight.schedule.layers import stacks_of_work
    from rakelight.schedule.wood_cups import Panel
    from rakelight.schedule.wood_known import of_coats, wood_known

    stacks = stacks_of_work(answer.work, facts)[top.part]
    broad = [f.name for f in answer.work.jobs[top.part].part.faces if f.broad][:2]
    faces = [of_coats(facts, Counter(x.material for s in stacks.get(name, ())[:1] for x in s.layers)) for name in broad]
    if len(faces) != 2:
        raise RakelightError(f"{top.shown} has no two broad faces.")
    cut = top.cut if top.cut in ("flat", "rift", "quarter") else "flat"
    return Panel(wood_known(facts, top.wood), top.wide_mm, top.thick_mm, cut, *faces)


def cup_year(answer: Answer, top: Top, facts: Facts) -> tuple[str, str]:
    """How a top unequally finished cups through the year where it will live: the picture, and the same in a sentence.

    Raises RakelightError where the town it lives in is not known.
    """
    from rakelight.papers.pictures.cup_year import cup_year_svg, year_words
    from rakelight.schedule import wood_cups
    from rakelight.schedule.wood_air import outdoor_year, town_year

    panel, unit = _panel(answer, top, facts), answer.piece.unit or "mm"
    lives = town_year if answer.piece.lives == "heated house" else outdoor_year
    year = wood_cups.year_cup(facts, panel, lives(facts, answer.piece.lives_town))
    return cup_year_svg(panel, year, unit), f"{top.shown}, in {year.air.says}: {year_words(year, unit)}"


def cup_svg(answer: Answer, top: Top, facts: Facts) -> str:
    """How a top unequally finished cups through two damp months, beside the same coats on both faces."""
    from rakelight.papers.pictures.cup import cup_svg as drawn
    from rakelight.physics.emc import emc_pct
    from rakelight.rules.faces import ROOM_C, SEASON_RH
    from rakelight.schedule.wood_cups import cup

    panel, (dry, damp) = _panel(answer, top, facts), SEASON_RH
    panels = (panel, replace(panel, under=panel.top))
    start = emc_pct(ROOM_C, dry)
    found, level = (cup(facts, panel, start, ROOM_C, damp) for panel in panels)
    return drawn(panels[0], found, level, answer.piece.unit or "mm")


def after_words(answer: Answer, facts: Facts) -> list[str]:
    """How far the widest boards will move where the piece will live; nothing where none is wide and solid."""
    from rakelight.papers.after_text import after_lines
    from rakelight.schedule.after_delivery import after_delivery

    after = after_delivery(answer.work, facts)
    return after_lines(after, answer.piece.unit or "mm") if after else []


def coming_coats(answer: Answer, now: datetime) -> list[tuple[str, Lay, str]]:
    """The next coats to be laid, each material once: label, what is laid, place."""
    placed = answer.plan.placed
    tasks = [
        t for job in answer.work.jobs.values() for t in job.tasks if t.lay and t.id in placed and not t.board
    ]
    found: dict[tuple[str, str], tuple[str, Lay, str]] = {}
    for task in sorted(tasks, key=lambda t: placed[t.id].start):
        if not task.lay or placed[task.id].done or task.do == "wax":
            continue
        name = task.says.split(":")[1].split(",")[0].strip() if ":" in task.says else task.lay.material
        label = f"{name[:1].upper()}{name[1:]}: {task.part.replace('-', ' ')}"
        found.setdefault((task.lay.material, task.lay.by), (label, task.lay, placed[task.id].place))
    return list(found.values())[:_MOST_COATS]


def air_svg(answer: Answer, facts: Facts, now: datetime) -> str:
    """The air of a week in the place of the next coat, with the hours good for it. Raises RakelightError."""
    from rakelight.papers.pictures.air import air_svg as drawn
    from rakelight.plan.air_week import week_of

    coats = coming_coats(answer, now)
    if not coats:
        raise RakelightError("No coat is left to lay.")
    place = coats[0][2]
    week = week_of(answer.shop, facts, place, [(label, lay) for label, lay, _ in coats], now)
    return drawn(week, answer.piece.unit)


def odds_svg(answer: Answer) -> str:
    """The odds of the last date. Raises RakelightError where they are not known."""
    from rakelight.papers.pictures.odds import draw, odds_model

    due = last_due(answer)
    model = odds_model(due, answer.shop, list(answer.work.jobs)[-1]) if due and due.odds else None
    if model is None:
        raise RakelightError("The odds of this date are not known.")
    return draw(model)


def last_due(answer: Answer) -> Due | None:
    """The last date wanted: that of the piece."""
    return max(answer.plan.due, key=lambda due: due.by, default=None)
