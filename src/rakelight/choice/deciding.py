"""Which finish, by the date: the whole search, from the makes of each part to options side by side."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from datetime import datetime
from math import ceil, inf, isfinite
from statistics import median

from rakelight.choice.alone import MOST_ASKED, MOST_KEPT, Found, alone, least_failing, wished_make
from rakelight.choice.changes import title, undominated
from rakelight.choice.contradictions import contradiction
from rakelight.choice.costs import Rates
from rakelight.choice.judging import judged
from rakelight.choice.model import Alone, Choice, Dropped, Option, Rescue
from rakelight.choice.rescues import otherwise, rescues
from rakelight.choice.splitting import BATCH, split
from rakelight.choice.starting import latest_start
from rakelight.choice.trying import Trying
from rakelight.choice.wholes import Whole, laid, possible
from rakelight.plan.beside import beside

#: wholes laid on the calendar once
MOST_WHOLES = 200
#: wholes planned in full with rules and odds: so many, and as many again where fewer than three fit
MOST_PLANNED, _ENOUGH = 12, 3
#: wholes planned before the search gives up where none seems to be in time
_TRIED = 6
#: what each warning costs in nearness
_BLAME = 2.0
#: of those that do not fit, how many are told
_NEAREST = 3

Tell = Callable[[str], None]


def choose(
    trying: Trying,
    rates: Rates | None = None,
    most: int = MOST_WHOLES,
    planned: int = MOST_PLANNED,
    tell: Tell | None = None,
    asked: int = MOST_ASKED,
    kept: int = MOST_KEPT,
) -> Choice:
    """The wished finish, what fits instead, what would rescue it, and why the rest is out.

    Parameters: most, wholes laid on the calendar; planned, wholes planned in full (twice as many where few fit);
    asked, makes of each slot asked of rules and calendar; kept, of those, how many go into wholes; tell, is told
    where the search stands.
    """
    say = tell or (lambda _: None)
    rates = rates or Rates()
    say("the finish as wished")
    first = {slot.name: wished_make(trying, slot) for slot in trying.slots}
    wished = judged(trying, first, rates)
    with beside(lambda: _of_the_wished(trying, wished, rates)) as of_the_wished:
        return _chosen(trying, wished, rates, (most, planned, asked, kept), say, of_the_wished)


def _chosen(
    trying: Trying,
    wished: Option,
    rates: Rates,
    limits: tuple[int, int, int, int],
    say: Tell,
    of_the_wished: Callable[[], tuple[tuple[Rescue, ...], datetime | None]],
) -> Choice:
    """What fits beside the wished finish. Parameters: limits, as `choose` has most, planned, asked and kept."""
    most, planned, asked, kept = limits
    offset = _offset(trying, wished)
    found: dict[str, Found] = {}
    for n, slot in enumerate(trying.slots):
        say(f"finishes of {slot.name}, {n + 1} of {len(trying.slots)}")
        found[slot.name] = alone(trying, slot, wished.looks.get(slot.name), offset, asked, kept)
    clash = [c for slot in trying.slots if (c := contradiction(trying, slot, found[slot.name]))]
    by_slot = {name: one.kept for name, one in found.items()}
    count = min(most, possible(by_slot))
    wholes = laid(
        trying,
        by_slot,
        most,
        3 * planned,
        offset,
        lambda n: say(f"laid on the calendar: {n} of at most {count}"),
    )
    options, rest = _planned(trying, wholes, wished, rates, planned, [offset], say)
    if not wished.fits and not any(o.fits for o in options):
        options += _failing(trying, found, options, wished, rates)
    fitting = sorted((o for o in options if o.fits), key=_order)
    chosen, beaten = undominated([wished, *fitting] if wished.fits else fitting)
    dropped = [d for one in found.values() for d in one.dropped]
    dropped += [*beaten, *_not_fitting(options), *_not_planned(rest)]
    say("ways out, and the latest start")
    ways, start = of_the_wished()
    if _late(wished):
        ways = _ways_out(trying, wished, by_slot, options, rates, ways)
    return Choice(
        trying.slots,
        trying.limits,
        wished,
        start,
        tuple(o for o in chosen if o is not wished),
        _nearest(options) if not fitting and not wished.fits else (),
        ways,
        tuple(dropped),
        tuple(clash),
        possible(by_slot),
        len(wholes),
        len(options) + 1,
    )


def _of_the_wished(trying: Trying, wished: Option, rates: Rates) -> tuple[tuple[Rescue, ...], datetime | None]:
    """What would bring the wished finish nearer its date, and its latest start: known without the others."""
    ways: tuple[Rescue, ...] = ()
    if _late(wished):
        batch = split(trying, wished, wished, rates)
        ways = (*rescues(trying, wished, rates), *([batch] if batch else []))
    return ways, latest_start(trying, wished.work, trying.limits.odds, wished.short_days)


def _late(wished: Option) -> bool:
    """Whether there is a date to be rescued."""
    return any(fail.what in ("date", "odds") for fail in wished.fails)


def _ways_out(
    trying: Trying,
    wished: Option,
    by_slot: Mapping[str, Sequence[Alone]],
    options: list[Option],
    rates: Rates,
    known: tuple[Rescue, ...],
) -> tuple[Rescue, ...]:
    """The ways out of the wished finish, and those that only the others show: those that fit first."""
    fitting = [option for option in options if option.fits]
    found: list[Rescue | None] = [*known, *otherwise(trying, wished, by_slot, fitting, rates)]
    if not fitting and not any(rescue.kind == BATCH for rescue in known):
        splits = (split(trying, near, wished, rates) for near in _nearest(options))
        found += [next((one for one in splits if one), None)]
    told = [rescue for rescue in found if rescue]
    return tuple(sorted(told, key=lambda rescue: (not rescue.fits, -rescue.saves_days)))


def _offset(trying: Trying, wished: Option) -> float:
    """Minutes from a late pass to the finish at the wanted odds, as the wished finish has it."""
    problem = trying.asked(wished.work)
    margin = trying.margin(problem, trying.quick(problem, late=True))
    return wished.over_min - margin if isfinite(wished.over_min) and isfinite(margin) else 0.0


def _planned(
    trying: Trying,
    wholes: list[Whole],
    wished: Option,
    rates: Rates,
    most: int,
    offsets: list[float],
    say: Tell,
) -> tuple[list[Option], list[Whole]]:
    """The most hopeful wholes planned in full, and those that were not.

    Next comes the nearest to what is wanted among those that seem to be in time: a late pass with the offset to the
    wanted odds that was found in the wholes planned so far. Where none seems so, the quickest.
    """
    options: list[Option] = []
    blamed: Counter[tuple[str, str]] = Counter()  # warnings that the finish of a slot drew in earlier wholes
    rest = [whole for whole in wholes if not all(make.wished for make in whole.makes.values())]
    while rest:
        offset = median(offsets)
        hopeful = [whole for whole in rest if whole.margin_min + offset <= 0]
        fits = sum(o.fits for o in options)
        enough = len(options) >= most and (fits >= _ENOUGH or len(options) >= 2 * most)
        hopeless = not hopeful and len(options) >= max(_TRIED, most // 2) and len(rest) > 2 * most
        if enough or hopeless:
            break
        whole = min(hopeful or rest, key=lambda w: (w.rank + _blame(w, blamed)) if hopeful else w.margin_min)
        rest.remove(whole)
        if not isfinite(whole.margin_min) and isfinite(wished.over_min):
            continue
        say(f"planned in full: {len(options) + 1}, {fits} fit")
        option = judged(trying, whole.makes, rates, wished)
        options.append(option)
        of_part = {part: slot.name for slot in trying.slots for part in slot.parts}
        blamed.update(
            (of_part[f.slot], option.makes[of_part[f.slot]].name)
            for f in option.fails
            if f.what == "warning" and f.slot in of_part
        )
        if isfinite(option.over_min) and isfinite(whole.margin_min):
            offsets.append(option.over_min - whole.margin_min)
    return options, rest


def _failing(
    trying: Trying, found: Mapping[str, Found], options: list[Option], wished: Option, rates: Rates
) -> list[Option]:
    """Where fewer pass than are told as the nearest: the nearest of all with one part in a finish that fails."""
    best = min(options, key=_failings, default=wished).makes
    rows = []
    for slot in trying.slots:
        known = {option.makes[slot.name].name for option in (wished, *options)}
        near = least_failing(trying, slot, wished.looks.get(slot.name), found[slot.name])
        rows += [(n, slot.name, one.make) for n, one in enumerate(near) if one.make.name not in known]
    rows.sort(key=lambda row: row[0])
    some = rows[: max(0, _NEAREST - len(options))]
    return [judged(trying, {**best, name: make}, rates, wished) for _, name, make in some]


def _blame(whole: Whole, blamed: Counter[tuple[str, str]]) -> float:
    """What a whole loses in nearness for finishes that drew a warning in others."""
    return _BLAME * sum(blamed[name, make.name] for name, make in whole.makes.items())


def _order(option: Option) -> tuple[float, float, float]:
    """Nearest to what is wanted first, then the better odds, then the fewer hours."""
    return (option.apart, -option.odds, option.cost.all_hours.likely)


def _nearest(options: list[Option]) -> tuple[Option, ...]:
    """Those that fail least: on the fewest counts, then by the least time."""

    return tuple(sorted(options, key=_failings)[:_NEAREST])


def _failings(option: Option) -> tuple[int, float, float]:
    late = option.short_days if option.short_days is not None else inf
    return (len({fail.what for fail in option.fails}), late, option.apart)


def _not_fitting(options: list[Option]) -> list[Dropped]:
    return [
        Dropped(title(o), "; ".join(f.says for f in o.fails), o.fails[0].what, key=o.key)
        for o in options
        if not o.fits
    ]  # fmt: skip


def _not_planned(wholes: list[Whole]) -> list[Dropped]:
    """Wholes that were laid on the calendar and not planned in full."""
    found = []
    for whole in wholes:
        other = {n.replace("-", " "): m for n, m in whole.makes.items() if not m.wished}
        name = "; ".join(f"{n}: {m.schedule.title}" for n, m in other.items())
        if whole.margin_min > 0:
            days = ceil(whole.margin_min / 1440) if isfinite(whole.margin_min) else 0
            late = f"{days} day{'s' * (days != 1)} too late" if days else "never dry"
            found.append(Dropped(name, f"where its coats dry late it is {late}", "date", key=whole.key))
        else:
            found.append(Dropped(name, "others are nearer to what is wanted", "farther", key=whole.key))
    return found
