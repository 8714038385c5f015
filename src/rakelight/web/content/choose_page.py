"""Which finish by the date, side by side: what fits, when, with what odds and work, what is gained and lost."""

from __future__ import annotations

from dataclasses import dataclass

from rakelight.choice.model import Choice, Option
from rakelight.papers.choice_text import (
    changes_words,
    contradiction_words,
    cost_lines,
    days_words,
    dropped_lines,
    wished_lines,
)
from rakelight.papers.odds_text import tenths
from rakelight.papers.wrapping import upper_first
from rakelight.units import show_work

#: text that is not wrapped here: a page does that
_WIDE = 10_000
_HAZARDS = 3


@dataclass(frozen=True)
class OptionRow:
    """One answer: a finish for each part that is decided about."""

    finishes: tuple[tuple[str, str, tuple[str, ...]], ...]  # part, title of the finish, what is changed in it
    ready: str
    span: str
    odds: str
    work: str
    money: str
    gained: tuple[str, ...]
    lost: tuple[str, ...]
    hazards: tuple[str, ...]
    fails: tuple[str, ...]
    take: tuple[tuple[str, str, str], ...] = ()  # part, face or role, schedule: what is written to take it
    wished: bool = False


@dataclass(frozen=True)
class ChoosePage:
    """The whole answer."""

    verdict: tuple[str, ...]
    rows: tuple[OptionRow, ...]
    none_fits: bool
    clashes: tuple[str, ...]
    rescues: tuple[
        tuple[str, str, bool], ...
    ]  # what it brings in besides, what it does, whether it then fits
    cost: tuple[str, ...]
    left_out: tuple[str, ...]


def choose_page(choice: Choice) -> ChoosePage:
    """The answer as it stands on the page; plain words alone, so that it can be sent from process to process."""
    options = choice.options or choice.nearest
    return ChoosePage(
        tuple(line.strip() for line in wished_lines(choice, _WIDE)),
        (_row(choice, choice.wished, True), *(_row(choice, option) for option in options)),
        not choice.options and not choice.wished.fits,
        tuple(contradiction_words(clash) for clash in choice.contradictions),
        tuple(_rescue(choice, n) for n in range(len(choice.rescues))),
        tuple(line.strip() for line in cost_lines(choice.wished.cost, _WIDE)),
        tuple(line.strip() for line in dropped_lines(choice, _WIDE)[2:]),
    )


def _row(choice: Choice, option: Option, wished: bool = False) -> OptionRow:
    shown = {slot.name: slot.shown for slot in choice.slots}
    cost = option.cost
    total = cost.total_money
    money = f"{total.low:.0f} to {total.high:.0f} {cost.currency}".strip() if total else ""
    ready, span = _ready(option)
    return OptionRow(
        tuple(
            (shown[n], m.schedule.title, m.changed) for n, m in option.makes.items() if wished or not m.wished
        ),
        ready,
        span,
        upper_first(tenths(option.odds)),
        show_work(cost.all_hours.likely),
        money,
        changes_words(option.gained),
        changes_words(option.lost),
        tuple(found.says for found in option.hazards[:_HAZARDS]),
        tuple(f"{upper_first(fail.says.rstrip('.'))}." for fail in option.fails),
        () if wished else _take(choice, option),
        wished,
    )


def _ready(option: Option) -> tuple[str, str]:
    finish = option.plan.finish
    if finish is None or finish.likely is None:
        return "no date in this air", ""
    low, high = finish.low or finish.likely, finish.high
    span = f"{low.day} {low:%b} to {high.day} {high:%b}" if high else f"from {low.day} {low:%b}"
    return f"{finish.likely:%a} {finish.likely.day} {finish.likely:%B}", span


def _take(choice: Choice, option: Option) -> tuple[tuple[str, str, str], ...]:
    """What to write so that the piece has these finishes; nothing where one differs from the book."""
    rows = []
    for slot in choice.slots:
        make = option.makes[slot.name]
        if make.wished:
            continue
        if make.changed or any(spot.half for spot in slot.spots):
            return ()
        rows += [(spot.part, spot.key, make.name) for spot in slot.spots]
    return tuple(rows)


def _rescue(choice: Choice, number: int) -> tuple[str, str, bool]:
    rescue = choice.rescues[number]
    odds = f", odds {tenths(rescue.odds)}" if rescue.odds is not None else ""
    gain = f"saves {days_words(rescue.saves_days)}" if rescue.saves_days > 0 else "then it dries"
    says = f"{upper_first(rescue.says)}: {gain}{odds}"
    return " ".join(rescue.warns), f"{says}{', and then it fits' if rescue.fits else ''}.", rescue.fits
