"""The plan written out: a calendar file and the calendar drawn."""

from __future__ import annotations

from pathlib import Path

from rakelight.desk import Answer
from rakelight.errors import Misread


def write(
    answer: Answer, ics: Path | None, svg: Path | None, narrow: bool, odds: Path | None = None
) -> list[str]:
    """Write the files asked for; returns what was written, in words."""
    if narrow and not svg:
        raise Misread("--narrow turns the picture, and none is asked for.", "Say --svg FILE as well.")
    said = []
    if ics:
        ics.write_bytes(_calendar(answer, ics))
        said.append(f"Calendar file: {ics}")
    if svg:
        svg.write_text(_picture(answer, narrow), "utf-8")
        said.append(f"Calendar drawn: {svg}")
    if odds:
        odds.write_text(_odds(answer), "utf-8")
        said.append(f"Odds drawn: {odds}")
    return said


def _odds(answer: Answer) -> str:
    from rakelight.papers.pictures.odds import draw, odds_model

    dues = sorted(answer.plan.due, key=lambda due: due.by)
    model = odds_model(dues[-1], answer.shop, list(answer.work.jobs)[-1]) if dues else None
    if model is None:
        raise Misread("The odds of this date are not known: a step of the plan found no place.", "See what is wrong.")
    return draw(model)


def _calendar(answer: Answer, path: Path) -> bytes:
    from rakelight.facts import load
    from rakelight.papers.calendar_file import CalendarText, NotOurs, calendar_file

    facts = load()
    caution = next((c.text[0] for c in facts.cautions if c.id == "oil-rag"), "")
    rags = {key: caution for key, row in facts.materials.items() if row.self_heating_rags and caution}
    mixes = {key: coat.mix.says for key, coat in answer.amounts.tasks.items() if coat.mix}
    before = path.read_bytes() if path.exists() else b""
    try:
        return calendar_file(answer.work, answer.plan, answer.shop, CalendarText(mixes, rags), before)
    except NotOurs as other:
        mend = "Say another name, or take that file away first."
        raise Misread(f"{path.name} is there already and holds {other}.", mend) from other


def _picture(answer: Answer, narrow: bool) -> str:
    from rakelight.papers.pictures.calendar import draw
    from rakelight.papers.pictures.calendar_rows import NARROW_ROWS, WIDE_ROWS, calendar_model

    rows = NARROW_ROWS if narrow else WIDE_ROWS
    return draw(calendar_model(answer.work, answer.plan, answer.shop, answer.findings, most_rows=rows), narrow)
