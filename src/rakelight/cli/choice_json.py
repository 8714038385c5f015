"""Which finish by the date, as plain data, schema 1: keys are only ever added."""

from __future__ import annotations

from datetime import datetime
from math import isfinite
from typing import Any

from rakelight.as_json import SCHEMA, finding_json
from rakelight.choice.model import Change, Choice, Cost, Dropped, Fail, Look, Option, Rescue
from rakelight.desk import Answer
from rakelight.desk.mind import Mind
from rakelight.papers.choice_text import change_words, contradiction_words
from rakelight.plan.model import Plan
from rakelight.spread import Spread


def choice_json(choice: Choice, piece: str) -> dict[str, Any]:
    """The whole answer."""
    wished = choice.wished
    return {
        "schema": SCHEMA,
        "piece": piece,
        "wanted_odds": choice.limits.odds,
        "slots": [
            {"name": s.name, "parts": list(s.parts), "woods": list(s.woods), "must_stand": list(s.must_stand),
             "wished": s.wished, "begun": s.begun}
            for s in choice.slots
        ],
        "wished": {**option_json(wished, choice), "latest_start": _when(choice.latest_start)},
        "options": [option_json(o, choice) for o in choice.options],
        "nearest": [option_json(o, choice) for o in choice.nearest],
        "rescues": [_rescue_json(r) for r in choice.rescues],
        "contradictions": [
            {"slot": c.slot, "wishes": [{"what": k, "wanted": v} for k, v in c.wishes], "looked_at": c.looked_at,
             "says": contradiction_words(c)}
            for c in choice.contradictions
        ],
        "dropped": [_dropped_json(d) for d in choice.dropped],
        "searched": {"possible": choice.possible, "laid": choice.looked_at, "planned": choice.planned},
    }  # fmt: skip


def option_json(option: Option, choice: Choice) -> dict[str, Any]:
    """One finish for every part."""
    finish = option.plan.finish
    schedule = {p: option.makes[s.name].name for s in choice.slots for p in s.parts}
    return {
        "schedule": schedule,
        "slots": [
            {"name": s.name, "schedule": option.makes[s.name].name, "title": option.makes[s.name].schedule.title,
             "from": option.makes[s.name].base, "changed": list(option.makes[s.name].changed),
             "wished": option.makes[s.name].wished,
             "look": _look_json(look) if (look := option.looks.get(s.name)) else None}
            for s in choice.slots
        ],
        "fits": option.fits,
        "short_by_days": _days(option.short_days),
        "short_likely_days": _days(option.short_likely_days),
        "odds": round(option.odds, 2),
        "finish": {
            "low": _when(finish.low if finish else None),
            "likely": _when(finish.likely if finish else None),
            "high": _when(finish.high if finish else None),
        },
        "due": _due_rows(option.plan),
        "hours": {"all": _spread(option.cost.all_hours), **{k: _spread(h) for k, h in option.cost.hours.items()}},
        "cost": _cost_json(option.cost),
        "solvent_g": round(option.solvent_g),
        "gained": [_change_json(c) for c in option.gained],
        "lost": [_change_json(c) for c in option.lost],
        "hazards": [finding_json(f) for f in option.hazards],
        "fails": [_fail_json(f) for f in option.fails],
    }  # fmt: skip


def _due_rows(plan: Plan) -> list[dict[str, Any]]:
    return [
        {"for": d.for_, "part": d.part, "when": _when(d.by), "low": _when(d.low), "likely": _when(d.likely),
         "high": _when(d.high), "odds": round(d.odds.chance, 2) if d.odds else None}
        for d in plan.due
    ]  # fmt: skip


def _when(moment: datetime | None) -> str | None:
    return moment.isoformat(timespec="minutes") if moment else None


def _days(days: float | None) -> float | None:
    return round(days, 1) if days is not None else None


def _spread(value: Spread | None, digits: int = 1) -> dict[str, float] | None:
    if value is None:
        return None
    return {
        "low": round(value.low, digits),
        "likely": round(value.likely, digits),
        "high": round(value.high, digits),
    }


def _look_json(look: Look) -> dict[str, Any]:
    return {
        "sheen": look.sheen, "grain": look.grain, "warmth": look.warmth, "colour": look.colour, "build": look.build,
        "feel": look.feel, "repair": look.repair, "film_um": round(look.film_um, 1),
        "dip_um": round(look.dip_um, 1) if look.dip_um is not None else None, "stands": look.stands,
    }  # fmt: skip


def _cost_json(cost: Cost) -> dict[str, Any]:
    return {
        "currency": cost.currency,
        "materials": [
            {"name": m.name, "material": m.material, "need": _spread(m.need), "buy": _spread(m.buy), "unit": m.unit,
             "cans": [{"size": size, "count": count} for size, count in m.cans], "money": _spread(m.money, 2),
             "price": m.price}
            for m in cost.materials
        ],
        "material_money": _spread(cost.material_money, 2),
        "work_money": _spread(cost.work_money, 2),
        "overhead_money": _spread(cost.overhead_money, 2),
        "total_money": _spread(cost.total_money, 2),
        "unpriced": list(cost.unpriced),
        "share_of_quote": [round(x, 3) for x in cost.share] if cost.share else None,
        "usual_share_of": [round(x) for x in cost.quote] if cost.quote else None,
        "redo_hours": _spread(cost.redo_hours),
        "redo_money": _spread(cost.redo_money, 2),
        "sums": list(cost.sums),
    }  # fmt: skip


def _change_json(change: Change) -> dict[str, Any]:
    return {
        "what": change.what, "slot": change.slot, "was": change.was, "now": change.now, "by": round(change.by, 2),
        "says": change_words(change),
    }  # fmt: skip


def _fail_json(fail: Fail) -> dict[str, Any]:
    by = round(fail.by, 2) if isfinite(fail.by) else None
    return {"what": fail.what, "slot": fail.slot, "by": by, "says": fail.says}


def _rescue_json(rescue: Rescue) -> dict[str, Any]:
    return {
        "kind": rescue.kind, "warns": list(rescue.warns), "says": rescue.says,
        "saves_days": round(rescue.saves_days, 1), "fits": rescue.fits,
        "odds": round(rescue.odds, 2) if rescue.odds is not None else None,
        "likely": _when(rescue.likely), "short_by_days": _days(rescue.short_days),
    }  # fmt: skip


def _dropped_json(dropped: Dropped) -> dict[str, Any]:
    return {
        "option": dropped.option,
        "why": dropped.why,
        "kind": dropped.kind,
        "slot": dropped.slot,
        "by": dropped.by,
    }


def mind_json(found: Mind) -> dict[str, Any]:
    """What a change of mind does, before it is decided."""
    return {
        "schema": SCHEMA,
        "piece": found.before.piece.name,
        "part": found.part,
        "faces": list(found.faces),
        "back_to": found.back_to,
        "again": [
            {"id": t.id, "name": t.step, "says": t.says, "faces": list(t.faces), "minutes": _spread(t.minutes, 0),
             "start": _when(placed.start) if (placed := found.after.plan.placed.get(t.id)) else None}
            for t in found.again
        ],
        "before": _dates_json(found.before),
        "after": _dates_json(found.after),
        "shifted": [{"id": key, "was": was, "now": now} for key, was, now in found.shifted],
        "moved": list(found.moved),
    }  # fmt: skip


def _dates_json(answer: Answer) -> dict[str, Any]:
    finish = answer.plan.finish
    return {
        "finish": {
            "low": _when(finish.low if finish else None),
            "likely": _when(finish.likely if finish else None),
            "high": _when(finish.high if finish else None),
        },
        "due": _due_rows(answer.plan),
        "findings": [finding_json(f) for f in answer.findings],
    }
