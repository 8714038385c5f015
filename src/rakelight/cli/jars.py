"""Questions that need no piece: mixing, thinning, what may go over what, the tables, the book."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

from rakelight.cli.plain import data, width
from rakelight.errors import Misread, NotFound, Refused, Severity
from rakelight.facts import load
from rakelight.facts.load import Facts
from rakelight.facts.names import find_anything, find_material, find_wood
from rakelight.facts.words import UNKNOWN_WORDS, VERDICT_WORDS
from rakelight.papers.findings_text import finding_lines
from rakelight.papers.wrapping import wrapped
from rakelight.spread import Spread
from rakelight.units import read_cut, show_wait

_OUNCES = re.compile(r"oz|ounce|pint|quart|gallon|cup|spoon|\blbs?\b|\bgal\b")


_TWICE = "Flakes and alcohol together settle the cut, so --cut says the same thing twice."
_CUT = 2.0  # pounds, where no cut is said


def mix(what: str, cut: str, alcohol: str, flakes: str, make: str, as_json: bool) -> None:
    """Flakes and alcohol."""
    from rakelight.schedule.mix_answers import mix_answer

    _shellac(what)
    if not (alcohol or flakes or make):
        raise Misread("Of what amount?", 'Say --alcohol "16 fl oz", --flakes "60 g" or --make "500 ml".')
    if cut and flakes and alcohol:
        raise Misread(_TWICE, "Leave out one of --cut, --flakes and --alcohol.")
    told = None if flakes and alcohol else _cut(cut, "--cut") or _CUT
    unit = _unit(alcohol, make, flakes)
    answer = mix_answer(load(), told, alcohol=alcohol, flakes=flakes, make=make, unit=unit)
    data(answer.as_json()) if as_json else _say(answer.says)


def mix_in(what: str, share: str, batch: str, more: bool, as_json: bool) -> None:
    """Colour, or anything else, added to a batch by a share of it."""
    from rakelight.schedule.mix_answers import share_answer

    if more or not batch:
        raise Misread(f"--share adds {what or 'colour'} to a batch.", 'Say its size, as --make "1 cup", and no cut.')
    answer = share_answer(batch, share, _unit(batch))
    data(answer.as_json()) if as_json else _say(answer.says)


def thin(what: str, from_: str, to: str, of: str, add: str, by: str, as_json: bool) -> None:
    """Thinning, or what a jar has become."""
    from rakelight.schedule.mix_answers import reverse_answer, thin_answer

    if by and (from_ or to):
        raise Misread("--by thins by a share, --from and --to by the cut.", "Say one or the other.")
    if add:
        _shellac(what)
        answer = reverse_answer(load(), cut=_said(from_), of=of, add=add, unit=_unit(of, add))
    elif by:
        answer = thin_answer(load(), what, of=of, by=by, unit=_unit(of))
    else:
        _shellac(what)
        answer = thin_answer(load(), of=of, from_cut=_said(from_), to_cut=_cut(to, "--to"), unit=_unit(of))
    data(answer.as_json()) if as_json else _say(answer.says)


def _say(words: str) -> None:
    print("\n".join(wrapped(words, width())))


def _unit(*said: str) -> str:
    """The unit to answer in: inches, so ounces, where any amount was written so."""
    return "in" if any(_OUNCES.search(words.lower()) for words in said) else ""


def _said(words: str) -> float:
    pounds = _cut(words, "--from")
    if pounds is None:
        raise Misread("Which cut is in the jar?", "Say --from 2, pounds of flake to a US gallon of alcohol.")
    return pounds


def _cut(words: str, option: str) -> float | None:
    """A cut in pounds, as an option says it; None where it is not said."""
    if not words:
        return None
    try:
        return read_cut(words)
    except Misread as bad:
        mend = f'Write {option} 2 or {option} "1 1/2", pounds of flake to a US gallon of alcohol; 1/4 to 10.'
        raise Misread(bad.says, mend) from None


def _shellac(what: str) -> None:
    found = find_material(load(), what)
    if not found.ids:
        raise Misread(found.says, found.ask)
    if not any("shellac" in id for id in found.ids):
        raise Misread(f"{what!r} is not mixed by the pound cut.", 'Write shellac; or thin WHAT --by "25 %".')


def over(upper: str, under: str, by: str, as_json: bool) -> None:
    """May this go over that."""
    from rakelight.schedule.over import may_go_over

    facts = load()
    top, below = _finishes(facts, upper, under)
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
    lines = [f"{names[0].capitalize()} over {names[1]}: {VERDICT_WORDS.get(answer.verdict, UNKNOWN_WORDS)}."]
    if answer.wait_h:
        lines.append(f"Wait {show_wait(*answer.wait_h)} at 70 F, 50 % humidity; longer in the cold.")
    if answer.barrier:
        between = facts.materials[answer.barrier].name
        then = f", then wait {show_wait(*answer.then_h)}" if answer.then_h else ""
        lines.append(f"Between: {between}{then}.")
    lines.append(f"Why: {answer.reason.rstrip('.')}.")
    if answer.disagree:
        lines.append(f"Makers disagree: {answer.disagree}")
    if answer.source:
        lines.append(f"From: {answer.source}" + (f" ({answer.kind.value})" if answer.kind else ""))
    for n, line in enumerate(lines):
        print("\n".join(wrapped(line, width(), "  " if n else "", "    ")))


def _finishes(facts: Facts, *said: str) -> list[str]:
    """The finish each name means. Raises Misread that speaks of every name that means none, or several."""
    unclear = []
    found = [find_material(facts, words) for words in said]
    for words, match in zip(said, found, strict=True):
        if match.one is None and not match.ids and find_wood(facts, words).ids:
            unclear.append(Misread(f"{words} is a wood: over asks for two finishes.", "Write a finish."))
        elif match.one is None:
            unclear.append(Misread(match.says, match.ask))
    if unclear:
        *before, last = unclear
        raise Misread(" ".join([*map(str, before), last.says]), last.mend)
    return [match.ids[0] for match in found]


def _range(spread: Spread | None) -> dict[str, float] | None:
    return {"low": spread.low, "likely": spread.likely, "high": spread.high} if spread else None


def facts(words: str, as_json: bool) -> None:
    """Rows of the tables."""
    from rakelight.facts.look_up import look_up

    rows = look_up(words)
    if not rows:
        near = find_anything(load(), words).near
        ask = "Try a material, a wood, an abrasive or a rule, as P81."
        ask = f"Nearest: {', '.join(near)}." if near else ask
        raise NotFound(f"No table holds {words!r}. {ask}")
    if as_json:
        data({"schema": 1, "rows": [_row(r) for r in rows]})
        return
    print("\n\n".join("\n".join(_row_lines(row)) for row in rows))


def _row_lines(row: Any) -> list[str]:
    """A row with its figures; a source is said once, below all the figures in a line that come from it."""
    wide = max(len(e.what) for e in row.entries)
    narrow = wide > width() // 2 - 4
    blank = " " * (6 if narrow else wide + 4)
    lines = wrapped(f"{row.name}  [{row.table}]", width(), "", "  ")
    for n, e in enumerate(row.entries):
        lines += wrapped(e.what, width(), "  ") if narrow else []
        lines += wrapped(e.value, width(), blank if narrow else f"  {e.what:<{wide}}  ", blank)
        following = row.entries[n + 1] if n + 1 < len(row.entries) else None
        if following is None or (following.source, following.kind) != (e.source, e.kind):
            source = e.source.removeprefix("from ")
            lines += wrapped(f"from: {source} ({e.kind})", width(), blank + "  ", blank + "    ")
    return lines


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
            why = shelf.why(name)
            if any(f.id == "unknown-schedule" for f in why):
                raise NotFound(f"{why[0].says} {why[0].mend}")
            raise Refused(why)
        lines = schedule_lines(found, tables)
        if as_json:
            data({"schema": 1, "name": found.name, "title": found.title, "sheen": found.sheen, "note": found.note,
                  "book": found.book, "steps": lines})  # fmt: skip
            return
        print(f"{found.title} ({found.name})")
        if found.note:
            print("\n".join(wrapped(found.note, width(), "  ")))
        for n, line in enumerate(lines, 1):
            print("\n".join(wrapped(line, width(), f"{n:3}. ", "       ")))
        return
    every = shelf.all()
    if as_json:
        rows = [{"name": s.name, "title": s.title, "sheen": s.sheen, "book": s.book, "note": s.note} for s in every]
        data({"schema": 1, "schedules": rows})
        return
    wide = max((len(s.name) for s in every), default=0)
    for s in every:
        says = f"{s.title}. {s.note}" if s.note else s.title
        print("\n".join(wrapped(says, width(), f"{s.name:<{wide}}  ")))
    faults = [f for f in shelf.findings if f.severity is Severity.ERROR]
    if faults:
        print("\n" + "\n".join(finding_lines(faults, width())))


def _own_folders(shop_path: Path | None) -> list[Path]:
    if shop_path is None:
        return []
    from rakelight.cli.files import there
    from rakelight.shop.file import read_shop

    there(shop_path)
    shop, found = read_shop(shop_path)
    if shop is None:
        raise Refused(found)
    return [shop_path.parent / shop.book] if shop.book else []
