"""Whether a finish puts a worse solvent in the air than another: easier lit, stricter to breathe, or more of it."""

from __future__ import annotations

from rakelight.choice.changes import SHARE, SOLVENT_G
from rakelight.choice.model import Option
from rakelight.facts.load import Facts
from rakelight.plan.room_air import limits_of
from rakelight.plan.vapour_answers import solvents_of_coat
from rakelight.schedule.amounts import amounts
from rakelight.schedule.tasks import Work
from rakelight.shop.model import Shop

#: grams: less of a solvent than this is a trace
_TRACE_G = 5.0
#: degrees by which one must light more easily than another to be told apart
_FLASH_K = 5.0


def worse_solvent(option: Option, wished: Option, shop: Shop, facts: Facts) -> tuple[str, ...]:
    """What a finish brings of worse solvents than the wished one, a sentence each; none where it brings none."""
    now, was = (in_the_air(one.work, shop, facts) for one in (option, wished))
    new = [name for name, grams in now.items() if grams >= _TRACE_G and was.get(name, 0.0) < _TRACE_G]
    flashes = [f for name in was if (f := facts.solvents[name].figures.get("flash_cc_c")) is not None]
    days = [d for name in was if (d := limits_of(facts, name).day) is not None]
    found = []
    for name in sorted(new, key=lambda n: -now[n]):
        flash, day = facts.solvents[name].figures.get("flash_cc_c"), limits_of(facts, name).day
        ways = []
        if flash is not None and (not flashes or flash < min(flashes) - _FLASH_K):
            ways.append("whose vapour lights more easily")
        if day is not None and (not days or day < min(days)):
            ways.append("of which less may be breathed")
        if ways:
            found.append(f"It brings a worse solvent: {name}, {' and '.join(ways)} than of any in the wished finish.")
    more = option.solvent_g - wished.solvent_g
    if more >= max(SOLVENT_G, SHARE * wished.solvent_g):
        found.append(f"It puts {more:.0f} g more solvent in the air.")
    return tuple(found)


def in_the_air(work: Work, shop: Shop, facts: Facts) -> dict[str, float]:
    """Grams of each solvent that its coats set free in all, thinner included, by the likely amounts."""
    total: dict[str, float] = {}
    for coat in amounts(work, shop, facts).tasks.values():
        for name, grams in solvents_of_coat(facts, coat).items():
            total[name] = total.get(name, 0.0) + grams
    return total
