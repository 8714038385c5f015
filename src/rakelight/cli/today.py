"""What `today` shows: of one piece, or of all pieces at hand in the shop's file."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from rakelight.as_json import due_json, finding_json, plan_json
from rakelight.cli.plain import data, width
from rakelight.cli.show import KEY
from rakelight.desk import Answer, Desk, ShopDesk, ShopPlan
from rakelight.errors import Finding, Severity
from rakelight.papers import plan_text
from rakelight.papers.today import Today, today_of
from rakelight.papers.today_text import today_lines, unconfirmed_words
from rakelight.papers.wrapping import wrapped
from rakelight.today_json import piece_today_json, today_json

_NOT_KEPT = "No plan is kept yet, so nothing counts as done: `rakelight plan PIECE --keep` keeps one."
_NONE_KEPT = "No plan is kept yet, so nothing counts as done: `rakelight plan --keep` keeps one."
_NO_PIECE = "No piece is at hand. `rakelight add PIECE.toml` puts one in."


def of_piece(answer: Answer, desk: Desk, as_json: bool) -> None:
    """One piece: what to do now and next, what dries, tests, buying, rags."""
    key = answer.piece.file.removesuffix(".toml")
    told = today_of({key: answer}, desk.now, desk.facts)
    if as_json:
        data({"schema": 1, "piece": answer.piece.name, **_day_json(answer, desk), **piece_today_json(told)})
        return
    print("\n".join(_piece_lines(answer, desk, told)))


def of_shop(shop: ShopDesk, plan: ShopPlan, as_json: bool) -> None:
    """All pieces at hand."""
    told = shop.today(plan)
    if as_json:
        data(_shop_json(shop, plan, told))
        return
    print("\n".join(_shop_lines(shop, plan, told)))


def _day_json(answer: Answer, desk: Desk) -> dict[str, Any]:
    whole, day = plan_json(answer), desk.now.date()
    rows = {k for k, p in answer.plan.placed.items() if any(a.date() == day for a, _ in p.spans)}
    return {
        "today": [s for s in whole["steps"] if s["id"] in rows],
        "as_planned": [k for k, p in answer.plan.placed.items() if p.hollow],
        "due": whole["due"],
        "plan_kept": desk.log.began,
        "findings": [finding_json(f) for f in answer.findings],
    }


def _piece_lines(answer: Answer, desk: Desk, told: Today) -> list[str]:
    wide, now = width(), desk.now
    lines = [f"{answer.piece.name}, {plan_text.day_words(now)} {now.year} {plan_text.clock_words(now)}", ""]
    if not desk.log.began:
        lines += [*wrapped(_NOT_KEPT, wide), ""]
    stops = [f for f in answer.findings if _stops(f)]
    lines += [*plan_text.finding_lines(stops, wide), ""] if stops else []
    past = {k: p for k, p in answer.plan.placed.items() if p.done and p.end <= now}
    done = replace(answer.plan, placed=past)
    if shown := plan_text.plan_lines(answer.work, done, wide, lambda d: d == now.date(), ids=True):
        lines += [f"Behind you today ({KEY})", *shown, ""]
    lines += today_lines(told, wide)
    if said := unconfirmed_words(told):
        lines += ["", *wrapped(said, wide)]
    return [*lines, "", "Wanted", *plan_text.due_lines(answer.plan, wide)]


def _stops(found: Finding) -> bool:
    return found.severity is Severity.ERROR or found.id.startswith("log-")


def _kept(answer: Answer) -> bool:
    return bool(answer.state.kept)


def _shop_json(shop: ShopDesk, plan: ShopPlan, told: Today) -> dict[str, Any]:
    answers = plan.answers.items()
    return {
        "schema": 1,
        "shop": shop.shop.name,
        **today_json(told),
        "pieces": [{"piece": key, "name": a.piece.name, "plan_kept": _kept(a), "due": [due_json(d) for d in a.plan.due],
                    "findings": [finding_json(f) for f in a.findings]} for key, a in answers],
        "refused": {key: [finding_json(f) for f in found] for key, found in plan.refused.items()},
    }  # fmt: skip


def _shop_lines(shop: ShopDesk, plan: ShopPlan, told: Today) -> list[str]:
    wide, now = width(), plan.now
    names = {row.key: row.name for row in shop.pieces()}
    lines = [f"{shop.shop.name}, {plan_text.day_words(now)} {now.year} {plan_text.clock_words(now)}", ""]
    if not plan.answers and not plan.refused:
        return [*lines, _NO_PIECE]
    if plan.answers and not any(_kept(a) for a in plan.answers.values()):
        lines += [*wrapped(_NONE_KEPT, wide), ""]
    wrong = {key: [f for f in a.findings if _stops(f)] for key, a in plan.answers.items()}
    for key, found in (plan.refused | {k: f for k, f in wrong.items() if f}).items():
        cannot = " cannot be planned as it is" if key in plan.refused else ""
        lines += [f"{names[key]}{cannot}", *plan_text.finding_lines(found, wide), ""]
    if plan.answers:
        lines += today_lines(told, wide)
    if said := unconfirmed_words(told):
        lines += ["", *wrapped(said, wide)]
    for key, answer in plan.answers.items():
        lines += ["", f"{names[key]}, wanted", *plan_text.due_lines(answer.plan, wide)]
    return lines
