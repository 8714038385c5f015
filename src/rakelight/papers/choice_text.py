"""Which finish by the date, as text: the wished one first, what fits instead, what would rescue it, what is out."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from math import ceil

from rakelight.choice.changes import title
from rakelight.choice.model import Change, Choice, Contradiction, Cost, Option, Rescue
from rakelight.papers.findings_text import place_words
from rakelight.papers.odds_text import tenths
from rakelight.papers.wrapping import WIDTH, and_words, upper_first, wrapped
from rakelight.spread import Spread
from rakelight.units import show_work

_KEYS = {
    "sheen": "sheen",
    "grain": "pores",
    "build": "build",
    "warmth": "warmth",
    "colour": "colour",
    "feel": "feel",
}
_WISHES = {**_KEYS, "repair": "repair", "stand": "to stand"}
_GRAIN = {"open": "open", "half": "half filled", "full": "full"}
_REPAIR = {
    "easy": "a spot can be mended by itself",
    "whole": "mended a face at a time",
    "hard": "it must come off to mend",
}
#: why finishes are out: of one, and of several
_KINDS = {
    "gear": ("wants other gear", "want other gear"),
    "limits": ("is against what the shop takes", "are against what the shop takes"),
    "use": ("does not stand the use", "do not stand the use"),
    "look": ("looks otherwise than wanted", "look otherwise than wanted"),
    "date": ("is too late", "are too late"),
    "odds": ("is too unsure", "are too unsure"),
    "rules": ("draws a warning", "draw a warning"),
    "warning": ("draws a warning", "draw a warning"),
    "dominated": ("is beaten on every count", "are beaten on every count"),
    "farther": ("is farther from what is wanted", "are farther from what is wanted"),
}
_STEPS = {
    "fill": "filling",
    "coat": "coats",
    "seal": "seal coats",
    "move": "carrying",
    "judge": "looking at the board",
}


def days_words(days: float) -> str:
    """3 days; less than one is hours."""
    if days < 1:
        hours = max(1, round(days * 24))
        return f"{hours} hour{'s' * (hours != 1)}"
    count = ceil(days - 0.25)
    return f"{count} day{'s' * (count != 1)}"


def choice_lines(choice: Choice, width: int = WIDTH) -> list[str]:
    """The whole answer."""
    lines = wished_lines(choice, width)
    for clash in choice.contradictions:
        lines += wrapped(contradiction_words(clash), width)
    if choice.options:
        many = len(choice.options)
        says = "This one fits" if many == 1 else f"These {many} fit"
        instead = " instead" if not choice.wished.fits else " as well"
        lines += ["", f"{says}{instead}, the nearest to what is wanted first"]
    elif choice.nearest:
        lines += ["", "None of the finishes looked at fits. The nearest, and on what they fail"]
    for n, option in enumerate(choice.options or choice.nearest, 1):
        lines += option_lines(option, n, width)
    lines += rescue_lines(choice.rescues, width)
    lines += ["", "What the wished finish costs", *cost_lines(choice.wished.cost, width)]
    return [*lines, *dropped_lines(choice, width)]


def wished_lines(choice: Choice, width: int = WIDTH) -> list[str]:
    """The wished finish: whether it fits, by how much it does not, and its latest start."""
    wished, odds = choice.wished, choice.limits.odds
    named = ", ".join(f"{slot.shown}: {wished.makes[slot.name].schedule.title}" for slot in choice.slots)
    lines = wrapped(f"As wished ({named})", width)
    lines += wrapped(_verdict(wished, odds), width, "  ", "    ")
    for fail in wished.fails:
        if fail.what not in ("date", "odds"):
            spot = f"{upper_first(fail.slot.replace('-', ' '))}: " if fail.slot else ""
            lines += wrapped(f"{spot}{fail.says.rstrip('.')}.", width, "  ", "    ")
    if choice.latest_start:
        day = choice.latest_start
        past = wished.plan.now is not None and day < wished.plan.now
        verb = "To keep the date it had to be begun" if past else "It keeps the date if it is begun"
        says = f"{verb} by {day:%a} {day.day} {day:%B} at the latest, at odds of {tenths(odds)}."
        lines += wrapped(says, width, "  ", "    ")
    return lines


def _verdict(option: Option, odds: float) -> str:
    ready = _ready_words(option)
    if option.fits:
        return f"Yes: {ready}; the odds of the date are {tenths(option.odds)}."
    if option.short_likely_days is None:
        return "No: in this air it never dries in the days looked at."
    if option.short_likely_days > 0:
        return f"No: short by {days_words(option.short_likely_days)}. {upper_first(ready)}."
    if option.odds < odds:
        more = (
            f", and at {tenths(odds)} it is short by {days_words(option.short_days)}"
            if option.short_days
            else ""
        )
        return f"No: {ready}, yet the odds of the date are only {tenths(option.odds)}{more}."
    return f"No, though the date is kept: {ready}."


def _ready_words(option: Option) -> str:
    finish = option.plan.finish
    if finish is None or finish.likely is None:
        return "no date in this air"
    day = finish.likely
    words = f"likely ready {day:%a} {day.day} {day:%b}"
    if finish.low and finish.high and finish.low.date() != finish.high.date():
        low, high = finish.low, finish.high
        words += f" ({low.day} {low:%b} to {high.day} {high:%b})"
    return words


def option_lines(option: Option, number: int, width: int = WIDTH) -> list[str]:
    """One finish: what is laid, when it is ready, its odds, hours, cost, and what is lost and gained."""
    lines = [""]
    other = {n: m for n, m in option.makes.items() if not m.wished}
    head = "; ".join(f"{upper_first(n.replace('-', ' '))}: {m.schedule.title}" for n, m in other.items())
    lines += wrapped(f"{number}. {head}", width, "", "   ")
    hours = option.cost.all_hours
    says = (
        f"{upper_first(_ready_words(option))}; odds {tenths(option.odds)}; {show_work(hours.likely)} of work"
    )
    total = option.cost.total_money
    says += f"; {_money(total, option.cost.currency)}" if total else ""
    lines += wrapped(f"{says}.", width, "   ")
    if option.fails:
        lines += wrapped(f"Fails: {'; '.join(f.says.rstrip('.') for f in option.fails)}.", width, "   ", "     ")
    for words, rows in (("Gained", option.gained), ("Lost", option.lost)):
        if rows:
            lines += wrapped(f"{words}: {'; '.join(changes_words(rows))}.", width, "   ", "     ")
    for found in option.hazards[:_HAZARDS]:
        where = place_words(found)
        lines += wrapped(f"{where}: {found.says}" if where else found.says, width, "   ! ")
    return lines


#: cautions shown beside one option; the plan itself has them all
_HAZARDS = 2


def changes_words(changes: Iterable[Change]) -> tuple[str, ...]:
    """All that is gained or lost: of the whole one by one, then what parts have alike in one breath."""
    whole: list[str] = []
    of_slot: dict[str, list[str]] = {}
    for change in changes:
        words = of_slot.setdefault(change.slot.replace("-", " "), []) if change.slot else whole
        words.append(_change(change))
    alike: dict[tuple[str, ...], list[str]] = {}
    for slot, words in of_slot.items():
        alike.setdefault(tuple(words), []).append(slot)
    parts = (f"{and_words(slots)}: {', '.join(words)}" for words, slots in alike.items())
    return (*dict.fromkeys(whole), *parts)


def change_words(change: Change) -> str:
    """What is gained or lost: "case: pores open instead of full", "6 days sooner"."""
    spot = f"{change.slot.replace('-', ' ')}: " if change.slot else ""
    return f"{spot}{_change(change)}"


def _change(change: Change) -> str:
    by = abs(change.by)
    if change.what == "days":
        return f"ready {days_words(by)} {'sooner' if change.better else 'later'}"
    if change.what == "odds":
        return f"odds {tenths(float(change.now))} instead of {tenths(float(change.was))}"
    if change.what == "hours":
        return f"{show_work(by)} {'less' if change.better else 'more'} work"
    if change.what == "money":
        return f"{by:.0f} {'less' if change.better else 'more'} to pay"
    if change.what == "solvent":
        return f"{by:.0f} g {'less' if change.better else 'more'} solvent in the air"
    if change.what == "grain":
        return f"pores {_GRAIN[change.now]} instead of {_GRAIN[change.was]}"
    if change.what == "repair":
        return _REPAIR[change.now]
    if change.what in ("water", "alcohol", "heat", "wear"):
        return f"stands {change.what} {change.now} of 5 instead of {change.was}"
    return f"{_KEYS[change.what]} {change.now} instead of {change.was or 'none'}"


def contradiction_words(clash: Contradiction) -> str:
    """Which wishes no finish meets together, and what stands in the way."""
    part = upper_first(clash.slot.replace("-", " "))
    wishes = [f"{_WISHES[key]} {value}".strip() for key, value in clash.wishes if key not in ("date", "rules")]
    keys = dict(clash.wishes)
    ends = [
        *(["by the date"] if "date" in keys else []),
        *([f"without a warning ({keys['rules'].rstrip('.')})"] if "rules" in keys else []),
    ]
    if ends and not wishes:
        return f"{part}: none of {clash.looked_at} finishes can be had {' and '.join(ends)}."
    if ends:
        last = " and ".join(ends)
        return f"{part}: {and_words(wishes)} cannot be had {last}: none of {clash.looked_at} finishes does it."
    if len(wishes) == 1:
        return f"{part}: none of {clash.looked_at} finishes meets {and_words(wishes)}."
    return f"{part}: {and_words(wishes)} contradict each other: none of {clash.looked_at} finishes meets them together."


def rescue_lines(rescues: tuple[Rescue, ...], width: int = WIDTH) -> list[str]:
    """What would bring the wished finish nearer its date; what it adds of heat, mist or solvent is said first."""
    if not rescues:
        return []
    lines = ["", "What would bring the wished finish nearer"]
    for rescue in rescues:
        warns = " ".join(rescue.warns)
        gain = f"saves {days_words(rescue.saves_days)}" if rescue.saves_days > 0 else "then it dries"
        says = f"{upper_first(rescue.says)}: {gain}"
        odds = f"; odds {tenths(rescue.odds)}" if rescue.odds is not None else ""
        end = "; then it fits" if rescue.fits else ""
        lines += wrapped(f"{f'{warns} ' if warns else ''}{says}{odds}{end}.", width, "  ", "    ")
    return lines


def cost_lines(cost: Cost, width: int = WIDTH) -> list[str]:
    """Hours by step, materials, money where prices are known, and what a redo would cost."""
    whole = cost.all_hours
    steps = ", ".join(f"{_STEPS.get(k, k)} {show_work(h.likely)}" for k, h in cost.hours.items())
    lines = wrapped(
        f"{show_work(whole.likely)} of work ({show_work(whole.low)} to {show_work(whole.high)}): {steps}.",
        width,
        "  ",
        "    ",
    )
    sanding = sum(h.likely for k, h in cost.hours.items() if k in ("sand", "scuff", "level"))
    if whole.likely:
        lines += wrapped(f"Sanding of every kind is {sanding / whole.likely:.0%} of it.", width, "  ")
    for sum_ in cost.sums[1:-1]:
        lines += wrapped(f"{upper_first(sum_)}.", width, "  ", "    ")
    if cost.material_money:
        left = f" ({', '.join(cost.unpriced)} without a price)" if cost.unpriced else ""
        lines += wrapped(
            f"Materials: {_money(cost.material_money, cost.currency)}{left}.", width, "  ", "    "
        )
    if cost.total_money:
        without = "" if cost.material_money else ", materials left out: no price of them is known"
        lines += wrapped(f"In all {_money(cost.total_money, cost.currency)}{without}.", width, "  ", "    ")
    if cost.share:
        low, high = cost.share
        lines += wrapped(f"That is {low:.0%} to {high:.0%} of the quote.", width, "  ")
    elif cost.quote:
        low, high = cost.quote
        job = f"{_two_digits(low)} to {_two_digits(high)} {cost.currency}".strip()
        lines += wrapped(f"Where finishing is the usual share, it goes with a job of {job}.", width, "  ", "    ")
    if cost.redo_hours:
        money = f", {_money(cost.redo_money, cost.currency)}" if cost.redo_money else ""
        says = f"{upper_first(cost.sums[-1])}: {show_work(cost.redo_hours.likely)}{money}."
        lines += wrapped(says, width, "  ", "    ")
    return lines


def _money(money: Spread, currency: str) -> str:
    low, high = _two_digits(money.low), _two_digits(money.high)
    return f"{low} to {high} {currency}".strip() if low != high else f"{low} {currency}".strip()


def _two_digits(value: float) -> str:
    """Money no finer than it is known."""
    step = 10 ** max(0, len(f"{value:.0f}") - 2)
    return f"{round(value / step) * step:.0f}"


def dropped_lines(choice: Choice, width: int = WIDTH) -> list[str]:
    """How many are out and why, with what beats those that are beaten."""
    counts = Counter("warning" if d.kind == "rules" else d.kind for d in choice.dropped)
    if not counts:
        return []
    lines = ["", "Not offered"]
    said = "; ".join(f"{number} {_KINDS[kind][number > 1]}" for kind, number in counts.most_common())
    lines += wrapped(f"{said}.", width, "  ", "    ")
    numbers = {title(option): n for n, option in enumerate(choice.options, 1)}
    for one in [d for d in choice.dropped if d.kind == "dominated"][:_BEATEN]:
        n = numbers.get(one.by)
        why = one.why.replace(one.by, f"number {n}", 1) if n else one.why
        lines += wrapped(f"{upper_first(one.option)}: {why}.", width, "  ", "    ")
    says = f"Of {choice.possible} ways to finish it {choice.looked_at} were laid on the calendar"
    says += f", {choice.planned} in full."
    return [*lines, *wrapped(says, width, "  ", "    ")]


#: beaten finishes named one by one
_BEATEN = 3
