"""Answers as text for people, or as data."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterable, Sequence
from datetime import date, datetime
from pathlib import Path
from time import perf_counter
from typing import TypeVar

from rakelight.as_json import finding_json, findings_json, plan_json
from rakelight.cli.files import shop_of, there
from rakelight.cli.plain import data, width
from rakelight.desk import Answer, Desk, open_desk
from rakelight.errors import Finding
from rakelight.log.events import Event, as_plain
from rakelight.papers import plan_text
from rakelight.papers.odds_text import driver_lines
from rakelight.papers.wrapping import lower_first, wrapped
from rakelight.plan.model import Ready
from rakelight.units import read_date

T = TypeVar("T")

_KEY = "x done, o counted as done as planned"
_NOT_KEPT = "No plan is kept yet, so nothing counts as done: `rakelight plan PIECE --keep` keeps one."


def desk(piece: Path, shop: Path | None, by: str, for_: str, now: str, log: Path | None) -> Desk:
    """The piece and shop named on the command line."""
    there(piece)
    return open_desk(
        piece,
        shop_of(piece, shop),
        by=read_date(by) if by else None,
        for_=for_ or "pack",
        now=read_date(now) if now else None,
        log_path=log,
    )


def working(words: str, do: Callable[[], T], quiet: bool) -> T:
    """Do something that may take a second, and say so on a terminal."""
    tell = sys.stderr.isatty() and not quiet
    if tell:
        print(f"{words} ...", end="", file=sys.stderr, flush=True)
    begun = perf_counter()
    try:
        return do()
    finally:
        if tell:
            print(f"\r{words}: {perf_counter() - begun:.1f} s", file=sys.stderr)


def findings(found: Iterable[Finding], as_json: bool) -> None:
    """Warnings by themselves."""
    found = list(found)
    if as_json:
        data(findings_json(found))
        return
    lines = plan_text.finding_lines(found, width())
    print("\n".join(lines) if lines else "Nothing is wrong with it.")


def told(desk: Desk, says: str, event: Event | None, as_json: bool) -> None:
    """What was written into the log, and what in the log could not be read."""
    if as_json:
        data({"schema": 1, "says": says, "event": as_plain(event) if event else None})
    else:
        print("\n".join(wrapped(says, width(), "", "  ")))
        for fault in desk.log.read()[1]:
            print(f"{fault.where}: {fault.says} {fault.mend}", file=sys.stderr)


def plan(
    answer: Answer, as_json: bool, moved: Sequence[str] = (), kept: str = "", written: Sequence[str] = ()
) -> None:
    """A plan: dates first, then warnings, days, and what to mix and buy."""
    if as_json:
        data({**plan_json(answer), "moved": list(moved)})
        return
    said = [*([f"Kept in {kept}."] if kept else []), *written]
    end = ["", *said] if said else []
    print("\n".join([*heading(answer), *moved_part(moved), *plan_lines(answer), *end]))


def moved_part(moved: Sequence[str]) -> list[str]:
    """What moved, with its heading."""
    if not moved:
        return []
    return ["What moved", *(line for s in moved for line in wrapped(s, width(), "  ", "    ")), ""]


def heading(answer: Answer) -> list[str]:
    """The piece, the shop and the dates."""
    now = answer.plan.now
    as_of = f", as of {plan_text.day_words(now)} {now.year} {plan_text.clock_words(now)}" if now else ""
    title = wrapped(f"{answer.piece.name}, in {answer.shop.name}{as_of}", width())
    return [*title, "", "Wanted", *plan_text.due_lines(answer.plan, width()), "", *driver_lines(answer.plan, width())]


def plan_lines(answer: Answer) -> list[str]:
    """Everything below the dates."""
    wide = width()
    lines = []
    if answer.findings:
        lines += ["What is wrong with it, and what to know", ""]
        lines += [*plan_text.finding_lines(answer.findings, wide), ""]
    marks = any(p.done for p in answer.plan.placed.values())
    lines += ["Day by day" + (f" ({_KEY})" if marks else ""), ""]
    lines += plan_text.plan_lines(answer.work, answer.plan, wide)
    for title, rows in (
        ("To mix, coat by coat", answer.amounts.mix_lines()),
        ("To buy", [line.says for line in answer.amounts.buy]),
    ):
        if rows:
            lines += ["", title, *(line for row in rows for line in wrapped(row, wide, "  ", "      "))]
    return lines


def today(answer: Answer, desk: Desk, as_json: bool) -> None:
    """The day's work and what is drying."""
    now = desk.now
    day = now.date()
    rows = {k for k, p in answer.plan.placed.items() if any(a.date() == day for a, _ in p.spans)}
    hollow = [k for k, p in answer.plan.placed.items() if p.hollow]
    drying = _drying(answer, now)
    if as_json:
        whole = plan_json(answer)
        data({
            "schema": 1, "piece": answer.piece.name, "now": now.isoformat(timespec="minutes"),
            "today": [s for s in whole["steps"] if s["id"] in rows],
            "drying": [_drying_json(key, ready) for key, ready, _ in drying],
            "as_planned": hollow, "due": whole["due"], "plan_kept": desk.log.began,
            "findings": [finding_json(f) for f in answer.findings],
        })  # fmt: skip
        return
    print("\n".join(_today_lines(answer, desk, day, drying, len(hollow))))


def _drying_json(key: str, ready: Ready) -> dict[str, str | None]:
    low, likely, high = (m.isoformat(timespec="minutes") if m else None for m in (ready.low, ready.likely, ready.high))
    return {"id": key, "for": ready.for_, "low": low, "likely": likely, "high": high}


def _today_lines(
    answer: Answer, desk: Desk, day: date, drying: list[tuple[str, Ready, str]], hollow: int
) -> list[str]:
    wide, now = width(), desk.now
    lines = [f"{answer.piece.name}, {plan_text.day_words(now)} {now.year} {plan_text.clock_words(now)}", ""]
    if not desk.log.began:
        lines += [*wrapped(_NOT_KEPT, wide), ""]
    stops = [f for f in answer.findings if f.severity == "error" or f.id.startswith("log-")]
    lines += [*plan_text.finding_lines(stops, wide), ""] if stops else []
    shown = plan_text.plan_lines(answer.work, answer.plan, wide, lambda d: d == day, ids=True)
    if any(p.done and any(a.date() == day for a, _ in p.spans) for p in answer.plan.placed.values()):
        lines += [f"Today ({_KEY})", ""]
    lines += shown or ["Nothing to do today."]
    days = {a.date() for p in answer.plan.placed.values() for a, _ in p.spans if a.date() > day}
    if days and not shown:
        following = min(days)
        lines += ["", "Next", *plan_text.plan_lines(answer.work, answer.plan, wide, lambda d: d == following)]
    if drying:
        lines += ["", "Drying"]
        for _, _, words in drying:
            lines += wrapped(words, wide, "  ", "    ")
    if hollow:
        said = f"{hollow} step{'s' * (hollow != 1)} behind {'are' if hollow > 1 else 'is'} counted as done as planned; "
        lines += ["", *wrapped(f"{said}`rakelight catch-up PIECE` writes that down.", wide)]
    return [*lines, "", "Wanted", *plan_text.due_lines(answer.plan, wide)]


def _drying(answer: Answer, now: datetime) -> list[tuple[str, Ready, str]]:
    """For each part, how long dust must be kept off it, and what its next step waits for."""
    found = []
    placed = answer.plan.placed
    for name, job in answer.work.jobs.items():
        part = plan_text.part_words(name)
        steps = [(t, placed[t.id]) for t in job.tasks if t.id in placed and not t.board and t.do != "judge"]
        laid = [p for t, p in steps if t.lay and p.end <= now]
        wet = [(p.task, r) for p in laid for r in p.ready if r.for_ == "dust-free" and r.likely and r.likely > now]
        task, spot = next(((t, p) for t, p in steps if not p.done and p.end > now), (None, None))
        if wet and (task is None or task.asks.readiness != "dust-free"):
            key, last = wet[-1]
            found.append((key, last, f"{part}: keep dust off it until dust-free, {plan_text.range_words(last)}"))
        wait = spot.waited_for if spot else None
        if task and spot and laid and wait and wait.likely and wait.likely > now:
            says = f"{part}: {plan_text.ready_words(wait.for_)} {plan_text.range_words(wait)}"
            says += f"; then {lower_first(task.says.split(': ')[0])}, {plan_text.day_words(spot.start)}"
            found.append((task.id, wait, says + (f"; test: {task.test}" if task.test else "")))
    return found
