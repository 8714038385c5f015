"""Answers as text for people, or as data."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterable, Sequence
from pathlib import Path
from time import perf_counter
from typing import TypeVar

from rakelight.as_json import findings_json, plan_json
from rakelight.cli.files import shop_of, there
from rakelight.cli.plain import data, width
from rakelight.desk import Answer, Desk, open_desk
from rakelight.errors import Finding
from rakelight.facts import load
from rakelight.log.events import Event, as_plain
from rakelight.papers import plan_text
from rakelight.papers.after_text import after_lines
from rakelight.papers.amounts_text import amount_lines
from rakelight.papers.odds_text import driver_lines
from rakelight.papers.soaking import soak_lines
from rakelight.papers.wrapping import wrapped
from rakelight.plan.full_use import full_use
from rakelight.schedule.after_delivery import after_delivery
from rakelight.schedule.buying import BuyLine
from rakelight.units import read_date

T = TypeVar("T")

KEY = "x done, o counted as done as planned"


def desk(
    piece: Path, shop: Path | None, by: str, for_: str, now: str, log: Path | None, telling: bool = False
) -> Desk:
    """The piece and shop named on the command line; `telling`: to write down what happened."""
    there(piece)
    return open_desk(
        piece,
        shop_of(piece, shop),
        by=read_date(by) if by else None,
        for_=for_ or "pack",
        now=read_date(now) if now else None,
        log_path=log,
        telling=telling,
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
            print(f"\r{f'{words}: {perf_counter() - begun:.1f} s':<100}".rstrip(), file=sys.stderr)


def standing(quiet: bool) -> Callable[[str], None] | None:
    """Says on a terminal where a search for a better plan stands; None where nobody watches."""
    if quiet or not sys.stderr.isatty():
        return None
    return lambda says: print(f"\r{says:<100.100}", end="", file=sys.stderr, flush=True)


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
        for fault in desk.log.faults():
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
    lines += ["Day by day" + (f" ({KEY})" if marks else ""), ""]
    lines += plan_text.plan_lines(answer.work, answer.plan, wide)
    for title, rows in (
        ("How much, part by part", amount_lines(answer.amounts, answer.piece.unit)),
        ("To mix, coat by coat", [*answer.amounts.mix_lines(), *soak_lines(answer, load())]),
        ("To buy", [line.says for line in answer.amounts.buy]),
        ("After delivery", after_rows(answer)),
    ):
        if rows:
            lines += ["", title, *(line for row in rows for line in wrapped(row, wide, "  ", "      "))]
    return lines


def buying_together(lines: Sequence[BuyLine]) -> list[str]:
    """What to buy for several pieces at once."""
    if not lines:
        return []
    rows = [row for line in lines for row in wrapped(line.says, width(), "  ", "      ")]
    return ["To buy for all pieces together, in place of the lists above", *rows]


def after_rows(answer: Answer) -> list[str]:
    """What is still to come when the work is done: full use, and how the wood moves where it will live."""
    use = full_use(answer.work.jobs.values(), answer.plan)
    after = after_delivery(answer.work, load())
    said = f"Ready for full use {plan_text.range_words(use)}." if use else "The day of full use is not known."
    return [said, *(after_lines(after, answer.piece.unit) if after else [])]
