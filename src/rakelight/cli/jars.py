"""Questions that need no piece: mixing, thinning, what may go over what, the tables, the book."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from rakelight.cli.plain import data
from rakelight.errors import Misread, NotFound, Refused, Severity
from rakelight.facts import load
from rakelight.facts.names import Match, find_material
from rakelight.papers.plan_text import finding_lines
from rakelight.spread import Spread
from rakelight.units import show_wait

_VERDICTS = {
    "ok": "Yes, once it is dry enough.",
    "ok-after-cure": "Yes, once it has cured.",
    "needs-abrading": "Yes, if it is scuffed first.",
    "needs-barrier": "Not directly: only over a barrier coat.",
    "never": "No: neither directly nor over a barrier.",
    "unknown": "Not known: try it on an offcut.",
}


def _one(match: Match) -> str:
    if match.one is None:
        raise Misread(match.says, match.ask)
    return match.one


def mix(what: str, cut: float, alcohol: str, flakes: str, make: str, as_json: bool) -> None:
    """Flakes and alcohol."""
    from rakelight.schedule.mix_answers import mix_answer

    _shellac(what)
    told = cut if not (flakes and alcohol) else None
    answer = mix_answer(load(), told, alcohol=alcohol, flakes=flakes, make=make)
    data(answer.as_json()) if as_json else print(answer.says)


def thin(what: str, from_: float, to: float, of: str, add: str, by: str, as_json: bool) -> None:
    """Thinning, or what a jar has become."""
    from rakelight.schedule.mix_answers import reverse_answer, thin_answer

    if add:
        _shellac(what)
        answer = reverse_answer(load(), cut=from_, of=of, add=add)
    elif by:
        answer = thin_answer(load(), what, of=of, by=by)
    else:
        _shellac(what)
        answer = thin_answer(load(), of=of, from_cut=from_, to_cut=to)
    data(answer.as_json()) if as_json else print(answer.says)


def _shellac(what: str) -> None:
    found = find_material(load(), what)
    if not any("shellac" in id for id in found.ids):
        raise Misread(f"{what!r} is not mixed by the pound cut.", 'Write shellac; or thin WHAT --by "25 %".')


def over(upper: str, under: str, by: str, as_json: bool) -> None:
    """May this go over that."""
    from rakelight.schedule.over import may_go_over

    facts = load()
    top, below = _one(find_material(facts, upper)), _one(find_material(facts, under))
    if by and by not in facts.materials[top].methods:
        ways = ", ".join(facts.materials[top].methods)
        raise Misread(f"{facts.materials[top].name} is not laid by {by}.", f"Write one of: {ways}.")
    answer = may_go_over(facts, below, top, by or "any")
    if as_json:
        data(
            {
                "schema": 1,
                "verdict": answer.verdict,
                "wait_h": _range(answer.wait_h),
                "barrier": answer.barrier or "",
                "then_h": _range(answer.then_h),
                "reason": answer.reason,
                "source": answer.source,
                "kind": answer.kind.value if answer.kind else "",
                "disagree": answer.disagree or "",
            }
        )
        return
    names = (facts.materials[top].name, facts.materials[below].name)
    print(f"{names[0].capitalize()} over {names[1]}: {_VERDICTS[answer.verdict]}")
    if answer.wait_h:
        print(f"  Wait {show_wait(*answer.wait_h)} at 70 F, 50 % humidity; longer in the cold.")
    if answer.barrier:
        between = facts.materials[answer.barrier].name
        then = f", then wait {show_wait(*answer.then_h)}" if answer.then_h else ""
        print(f"  Between: {between}{then}.")
    print(f"  Why: {answer.reason}.")
    if answer.disagree:
        print(f"  Makers disagree: {answer.disagree}")
    if answer.source:
        print(f"  From: {answer.source}" + (f" ({answer.kind.value})" if answer.kind else ""))


def _range(spread: Spread | None) -> dict[str, float] | None:
    return {"low": spread.low, "likely": spread.likely, "high": spread.high} if spread else None


def facts(words: str, as_json: bool) -> None:
    """Rows of the tables."""
    from rakelight.facts.look_up import look_up

    rows = look_up(words)
    if not rows:
        raise NotFound(f"No table holds {words!r}. Try a material, a wood, an abrasive or a rule, as P81.")
    if as_json:
        data({"schema": 1, "rows": [_row(r) for r in rows]})
        return
    for row in rows:
        print(f"{row.name}  [{row.table}]")
        width = max(len(e.what) for e in row.entries)
        for e in row.entries:
            print(f"  {e.what:<{width}}  {e.value}")
            print(f"  {'':<{width}}    from: {e.source} ({e.kind})")
        print()


def _row(row: Any) -> dict[str, Any]:
    entries = [{"what": e.what, "value": e.value, "source": e.source, "kind": e.kind} for e in row.entries]
    return {"table": row.table, "name": row.name, "entries": entries}


def book(name: str, shop: Path | None, as_json: bool) -> None:
    """The book, or one schedule of it."""
    from rakelight.schedule.book import Book
    from rakelight.schedule.words import schedule_lines

    tables = load()
    shelf = Book(*_own_folders(shop), facts=tables, beside=Path.cwd())
    if name:
        found = shelf.find(name)
        if found is None:
            raise Refused(shelf.why(name))
        lines = schedule_lines(found, tables)
        if as_json:
            data({"schema": 1, "name": found.name, "title": found.title, "sheen": found.sheen, "note": found.note,
                  "book": found.book, "steps": lines})  # fmt: skip
            return
        print(f"{found.title} ({found.name})" + (f"\n{found.note}" if found.note else ""))
        print("\n".join(f"{n:3}. {line}" for n, line in enumerate(lines, 1)))
        return
    every = shelf.all()
    if as_json:
        rows = [{"name": s.name, "title": s.title, "sheen": s.sheen, "book": s.book, "note": s.note} for s in every]
        data({"schema": 1, "schedules": rows})
        return
    width = max((len(s.name) for s in every), default=0)
    for s in every:
        print(f"{s.name:<{width}}  {s.title}" + (f" - {s.note}" if s.note else ""))
    faults = [f for f in shelf.findings if f.severity is Severity.ERROR]
    if faults:
        print("\n" + "\n".join(finding_lines(faults)))


def _own_folders(shop_path: Path | None) -> list[Path]:
    if shop_path is None:
        return []
    from rakelight.shop.file import read_shop

    shop, found = read_shop(shop_path)
    if shop is None:
        raise Refused(found)
    return [shop_path.parent / shop.book] if shop.book else []
