"""How answers are shown: text for people, plain data with --json."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterable, Sequence
from pathlib import Path
from time import perf_counter
from typing import Any, TypeVar

from rakelight.as_json import finding_json, findings_json, plan_json
from rakelight.cli.plain import data
from rakelight.desk import Answer, Desk, open_desk
from rakelight.errors import Finding
from rakelight.papers import plan_text
from rakelight.units import read_date

T = TypeVar("T")


def desk(piece: Path, shop: Path, by: str, for_: str, now: str, log: Path | None) -> Desk:
    """The piece and shop named on the command line."""
    return open_desk(
        piece,
        shop,
        by=read_date(by) if by else None,
        for_=for_,
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
    print("\n".join(plan_text.finding_lines(found)) if found else "Nothing is wrong with it.")


def plan(answer: Answer, as_json: bool, moved: Sequence[str] = ()) -> None:
    """A plan: dates first, then warnings, days, and what to buy."""
    if as_json:
        data({**plan_json(answer), "moved": list(moved)})
        return
    print(heading(answer))
    if moved:
        print("What moved\n  " + "\n  ".join(moved) + "\n")
    print("\n".join(plan_lines(answer)))


def heading(answer: Answer) -> str:
    """The piece, the shop and the dates."""
    lines = [f"{answer.piece.name}, in {answer.shop.name}", ""]
    lines += plan_text.due_lines(answer.plan)
    return "\n".join(lines) + "\n"


def plan_lines(answer: Answer) -> list[str]:
    """Everything below the dates."""
    lines = ["Warnings", *("  " + s for s in plan_text.finding_lines(answer.findings)), ""]
    lines += ["Day by day (x done, o counted as done as planned)", ""]
    lines += plan_text.plan_lines(answer.work, answer.plan)
    lines += ["", "To mix, coat by coat", *("  " + s for s in answer.amounts.mix_lines())]
    lines += ["", "To buy", *("  " + line.says for line in answer.amounts.buy)]
    return lines


def today(answer: Answer, desk: Desk, as_json: bool) -> None:
    """The day's work and what is drying."""
    now = desk.now
    rows = {k: p for k, p in answer.plan.placed.items() if any(a.date() == now.date() for a, _ in p.spans)}
    drying = [
        (k, r)
        for k, p in answer.plan.placed.items()
        if p.start < now
        for r in p.ready
        if r.likely and r.likely > now and r.for_ in ("dust-free", "handle", "rub", "pack", "use")
    ]
    hollow = [k for k, p in answer.plan.placed.items() if p.hollow]
    if as_json:
        whole = plan_json(answer)
        data({
            "schema": 1, "now": now.isoformat(timespec="minutes"),
            "today": [s for s in whole["steps"] if s["id"] in rows],
            "drying": [{"id": k, "for": r.for_, "likely": r.likely.isoformat(timespec="minutes")}
                       for k, r in drying if r.likely],
            "as_planned": hollow, "findings": [finding_json(f) for f in answer.findings],
        })  # fmt: skip
        return
    from dataclasses import replace

    print(f"{answer.piece.name}, {plan_text.moment_words(now)}\n")
    lines = plan_text.plan_lines(answer.work, replace(answer.plan, placed=rows))
    print("\n".join(lines) if lines else "Nothing to do today.")
    if drying:
        print("\nDrying")
        for key, ready in _latest_of_part(drying):
            print(f"  {key.split('/')[0].replace('-', ' ').capitalize()}: {ready.for_} {plan_text.range_words(ready)}")
    if hollow:
        print(f"\n{len(hollow)} steps are counted as done as planned; `rakelight catch-up` confirms them.")
    print("\n" + "\n".join(plan_text.due_lines(answer.plan)))


def _latest_of_part(drying: Sequence[tuple[str, Any]]) -> list[tuple[str, Any]]:
    """One row a part and readiness: the last coat's."""
    found: dict[tuple[str, str], tuple[str, Any]] = {}
    for key, ready in drying:
        spot = (key.split("/")[0], ready.for_)
        if spot not in found or found[spot][1].likely < ready.likely:
            found[spot] = (key, ready)
    return list(found.values())
