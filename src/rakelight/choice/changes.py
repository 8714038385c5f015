"""What a finish gains and loses against the wished one, and which finishes another one beats on every count."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from rakelight.choice.model import Change, Dropped, Look, Option, Slot, Want
from rakelight.choice.near import SCALES
from rakelight.facts.looks import REPAIRS
from rakelight.shop.hours import hours_between

#: differences smaller than these are none: nobody chooses a finish by them
_DAYS, _HOURS, SHARE, _TENTHS, SOLVENT_G = 1.0, 1.0, 0.1, 1, 25.0
#: how finely two finishes are told apart when one is said to beat the other
_DAY_STEP, _HOUR_STEP, _SOLVENT_STEP_G, _MONEY_STEP = 0.5, 0.5, 25.0, 5.0


def changes(
    option: Option, wished: Option, slots: Sequence[Slot], wants: Mapping[str, Want]
) -> tuple[Change, ...]:
    """Every difference a maker would choose by, of each slot and of the whole."""
    found: list[Change] = []
    for slot in slots:
        was, now = wished.looks.get(slot.name), option.looks.get(slot.name)
        if was and now and option.makes[slot.name].name != wished.makes[slot.name].name:
            found += _of_look(slot.name, was, now, wants.get(slot.name, Want()))
    return (*_of_whole(option, wished), *found)


def _of_look(slot: str, was: Look, now: Look, want: Want) -> Iterator[Change]:
    for key, scale in SCALES.items():
        a, b = was.get(key), now.get(key)
        if a == b or not b:
            continue
        aim = want.said.get(key)
        better = bool(aim) and aim in scale and _off(b, aim or "", scale) < _off(a, aim or "", scale)
        yield Change(key, better, a, b, slot=slot)
    if was.repair in REPAIRS and now.repair in REPAIRS and was.repair != now.repair:
        yield Change(
            "repair", REPAIRS.index(now.repair) < REPAIRS.index(was.repair), was.repair, now.repair, slot=slot
        )
    for use, grade in now.stands.items():
        before = was.stands.get(use, grade)
        if grade != before:
            yield Change(use, grade > before, str(before), str(grade), float(grade - before), slot)


def _off(word: str, aim: str, scale: Sequence[str]) -> int:
    return abs(scale.index(word) - scale.index(aim)) if word in scale else len(scale)


def _of_whole(option: Option, wished: Option) -> Iterator[Change]:
    if option.likely and wished.likely:
        days = hours_between(option.likely, wished.likely) / 24
        if abs(days) >= _DAYS:
            yield Change("days", days > 0, wished.likely.isoformat(), option.likely.isoformat(), days)
    tenths = round(option.odds * 10) - round(wished.odds * 10)
    if abs(tenths) >= _TENTHS:
        yield Change("odds", tenths > 0, f"{wished.odds:.4g}", f"{option.odds:.4g}", tenths / 10)
    hours, before = option.cost.all_hours.likely, wished.cost.all_hours.likely
    if abs(hours - before) >= max(_HOURS, SHARE * before):
        yield Change("hours", hours < before, f"{before:.1f}", f"{hours:.1f}", before - hours)
    money, paid = option.cost.total_money, wished.cost.total_money
    if money and paid and abs(money.likely - paid.likely) >= SHARE * paid.likely:
        yield Change(
            "money",
            money.likely < paid.likely,
            f"{paid.likely:.0f}",
            f"{money.likely:.0f}",
            paid.likely - money.likely,
        )
    solvent, gave = option.solvent_g, wished.solvent_g
    if abs(solvent - gave) >= max(SOLVENT_G, SHARE * gave):
        yield Change("solvent", solvent < gave, f"{gave:.0f}", f"{solvent:.0f}", gave - solvent)


def counts(option: Option) -> tuple[float, ...]:
    """What two finishes are compared by; less is better on every count."""
    start = option.plan.now
    days = hours_between(start, option.likely) / 24 if option.likely and start else float("inf")
    money = option.cost.total_money
    row = [
        option.apart,
        -round(option.odds, 1),
        round(days / _DAY_STEP),
        round(option.cost.all_hours.likely / _HOUR_STEP),
        round(money.likely / _MONEY_STEP) if money else 0.0,
        round(option.solvent_g / _SOLVENT_STEP_G),
        float(len({f.id for f in option.hazards})),
    ]
    for name in sorted(option.looks):
        look = option.looks[name]
        row.append(float(REPAIRS.index(look.repair)) if look.repair in REPAIRS else float(len(REPAIRS)))
        row += [-float(look.stands.get(use, 0)) for use in ("water", "alcohol", "heat", "wear")]
    return tuple(row)


def beats(one: tuple[float, ...], other: tuple[float, ...]) -> bool:
    """Whether one is as good on every count and better on at least one."""
    return all(a <= b for a, b in zip(one, other, strict=True)) and one != other


def undominated(options: Sequence[Option]) -> tuple[list[Option], list[Dropped]]:
    """Those that no other beats on every count, and the others with what beats them.

    Of several that are alike on every count the first stays.
    """
    rows = [(option, counts(option)) for option in options]
    kept: list[tuple[Option, tuple[float, ...]]] = []
    dropped = []
    for n, (option, row) in enumerate(rows):
        by = next((o for o, r in rows if beats(r, row)), None)
        same = next((o for o, r in rows[:n] if r == row), None) if by is None else None
        if by is None and same is None:
            kept.append((option, row))
            continue
        other = by or same
        assert other is not None
        why = "is as good on every count and better on at least one" if by else "is alike on every count"
        dropped.append(
            Dropped(title(option), f"{title(other)} {why}", "dominated", by=title(other), key=option.key)
        )
    return [option for option, _ in kept], dropped


def title(option: Option) -> str:
    """Its finishes in one line: only those that are not as wished, where some are."""
    other = {name: make for name, make in option.makes.items() if not make.wished}
    if not other:
        return "as wished"
    return "; ".join(f"{name.replace('-', ' ')}: {make.schedule.title}" for name, make in other.items())
