"""Faults help: likely causes of what was seen, ranked by what was really done.

Every cause of the table has a weight by how usual it is. What was done tells for a cause, against it, or nothing;
telling for it multiplies the weight, telling against it divides. Source of the factors: assumption, to be replaced by
this shop's own record.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from datetime import datetime, timedelta

from rakelight.facts.faults import Fault, FaultCause
from rakelight.facts.load import Facts
from rakelight.facts.records import Material, Wood
from rakelight.units import show_delta_temp, show_span, show_temp

#: told for plainly, told for, told against: assumption
_PLAINLY, _FOR, _AGAINST = 8.0, 3.0, 0.2
#: coats from one can within so long speak for each other
_SAME_TIME = timedelta(days=2)
#: used to planned from which a coat counts as thick; up to which as thin enough: assumption
_THICK, _FINE = 1.3, 1.1
#: nearer than this to a limit of temperature, K, nothing is told: a thermometer of the shop reads no better
_A_DEGREE = 1.0


@dataclass(frozen=True)
class CoatLaid:
    """One coat as it was laid, with what is known of the hours about it; None where it is not known."""

    piece: str
    task: str
    part: str
    faces: tuple[str, ...]
    row: Material
    wood: Wood | None
    by: str
    start: datetime
    end: datetime
    can: str = ""
    can_age: tuple[float, float, float] | None = None  # months since it was opened, and those it keeps, low and likely
    margin_k: float | None = None  # least, film over dew point until it was dust-free
    temp_c: float | None = None  # as it was laid
    mended_from: str = ""  # "air read" where a reading was told, "air of the place" where not
    waited_h: float | None = None  # since the coat beneath
    asked_h: tuple[float, float] | None = None  # what the coat beneath asked, likely and nine in ten
    scuffed: bool | None = None  # between the coat beneath and this one; None: nothing beneath
    beneath: Material | None = None
    verdict: str = ""  # may it go over what is beneath
    used: float | None = None  # told to planned
    dust_h: float | None = None  # since dusty work in that place; 0 where it went on while it was wet
    waxed: str = ""  # what was rubbed or laid on the face before it: paste wax, mineral oil
    sealed: bool = False  # a sealer or size beneath
    film_um: float | None = None  # likely, on the flat
    took_um: float | None = None  # where something was taken from it: how much, and from what
    last_um: float | None = None
    first: bool = False  # the first coat of film on the part
    faults: tuple[str, ...] = ()  # told of it


@dataclass(frozen=True)
class Likely:
    """One cause with its share of the weight, and what tells for or against it."""

    cause: FaultCause
    share: float
    tells: str  # "for", "against", "" nothing known
    because: str


@dataclass
class _Looking:
    """What the checks look at."""

    fault: Fault
    coat: CoatLaid
    others: Sequence[CoatLaid]
    facts: Facts
    unit: str
    same: list[CoatLaid] = field(default_factory=list)  # from the same can, or of the same material, that day


_Found = tuple[float, str]
_UNKNOWN: _Found = (1.0, "")


def likely_causes(
    fault: Fault, coat: CoatLaid, others: Sequence[CoatLaid], facts: Facts, unit: str = "in"
) -> tuple[Likely, ...]:
    """The causes of a fault on a coat, the likeliest first.

    Parameters: others, coats laid elsewhere, of whatever piece; unit, in or mm, of the sentences.
    """
    look = _Looking(fault, coat, others, facts, unit)
    look.same = [o for o in others if o.row.id == coat.row.id and abs(o.start - coat.start) <= _SAME_TIME
                 and (o.can == coat.can or not o.can or not coat.can) and o.task != coat.task]  # fmt: skip
    weighed = []
    for cause in fault.causes:
        check = _CHECKS.get(cause.check)
        factor, because = check(look) if check else _UNKNOWN
        tells = "" if factor == 1.0 else ("for" if factor > 1 else "against")
        weighed.append((cause.usual * factor, cause, tells, because))
    whole = sum(weight for weight, *_ in weighed) or 1.0
    weighed.sort(key=lambda row: -row[0])
    return tuple(Likely(cause, weight / whole, tells, because) for weight, cause, tells, because in weighed)


# -- the checks --------------------------------------------------------------------------------------


def _damp_air(look: _Looking) -> _Found:
    coat, clear = look.coat, look.facts.likely("blush_go_k")
    if coat.margin_k is None:
        return _UNKNOWN
    words = show_delta_temp(abs(coat.margin_k), look.unit)
    where = f" ({coat.mended_from})" if coat.mended_from else ""
    if coat.margin_k < 0:
        return _PLAINLY, f"its film came {words} below the dew point before it was dust-free{where}"
    if coat.margin_k < clear:
        return _FOR, f"its film came within {words} of the dew point before it was dust-free{where}"
    return _AGAINST, f"its film stayed {words} above the dew point{where}"


def _cold(look: _Looking) -> _Found:
    coat = look.coat
    warm = look.facts.practice["P20"].value
    if coat.temp_c is None or warm is None:
        return _UNKNOWN
    shown = show_temp(coat.temp_c, look.unit)
    if coat.row.min_temp_c is not None and coat.temp_c < coat.row.min_temp_c:
        return _PLAINLY, f"it was laid at {shown}, colder than it bears ({show_temp(coat.row.min_temp_c, look.unit)})"
    if coat.temp_c < warm.low - _A_DEGREE:
        return _FOR, f"it was laid at {shown}, below the {show_temp(warm.low, look.unit)} it likes"
    return (_AGAINST if coat.temp_c >= warm.low else 1.0), f"it was laid at {shown}"


def _old_can(look: _Looking) -> _Found:
    age = look.coat.can_age
    if age is None:
        return _same_can_speaks(look, _UNKNOWN)
    months, low, likely = age
    said = f"the can was {months:.0f} months old; it keeps {low:.0f} to {likely:.0f}"
    if months > likely:
        return _same_can_speaks(look, (_PLAINLY if months > 2 * likely else _FOR, said))
    return (_AGAINST, said) if months <= low else _same_can_speaks(look, (1.0, said))


def _same_can_speaks(look: _Looking, found: _Found) -> _Found:
    """What else was laid from that can: sound there, it is not the can."""
    sound, ill = _elsewhere(look)
    if ill:
        more = f"; {found[1]}" if found[1] else ""
        return max(found[0], _FOR), f"the same was seen on {ill[0].part} from it{more}"
    if sound and found[0] <= _FOR:
        return _AGAINST, f"what was laid of it on {sound[0].part} is sound"
    return found


def _elsewhere(look: _Looking) -> tuple[list[CoatLaid], list[CoatLaid]]:
    """Coats of the same that day, on another part: those sound, and those with the same fault."""
    apart = [o for o in look.same if (o.piece, o.part) != (look.coat.piece, look.coat.part)]
    return [o for o in apart if not o.faults], [o for o in apart if look.fault.name in o.faults]


def _same_can(look: _Looking) -> _Found:
    sound, ill = _elsewhere(look)
    if ill:
        return _PLAINLY, f"the same was seen on {ill[0].part}, laid of the same that day"
    if sound:
        return _AGAINST, f"{sound[0].part}, laid of the same that day, is sound"
    return _UNKNOWN


def _this_surface(look: _Looking) -> _Found:
    sound, ill = _elsewhere(look)
    if ill:
        return _AGAINST, f"it was seen on {ill[0].part} too, laid of the same that day"
    if sound:
        other = sound[0].wood.name if sound[0].wood and sound[0].wood != look.coat.wood else ""
        on = f" ({other})" if other else ""
        return _PLAINLY, f"{sound[0].part}{on}, laid of the same that day, is sound: so neither can nor gun nor air"
    return _UNKNOWN


def _too_thick(look: _Looking) -> _Found:
    used = look.coat.used
    if used is None:
        return _UNKNOWN
    said = f"{used:.1f} times what was planned went on"
    return (_FOR, said) if used >= _THICK else (_AGAINST, said) if used <= _FINE else (1.0, said)


def _too_soon(look: _Looking) -> _Found:
    coat = look.coat
    if coat.waited_h is None or coat.asked_h is None:
        return (_AGAINST, "nothing lay beneath it") if coat.beneath is None and coat.scuffed is None else _UNKNOWN
    likely, high = coat.asked_h
    said = f"it came {show_span(coat.waited_h)} after the coat beneath, which asked {show_span(likely)} there"
    if coat.waited_h < likely:
        return (_PLAINLY if coat.waited_h < likely / 2 else _FOR), said
    return (_AGAINST, said) if coat.waited_h >= high else (1.0, said)


def _not_scuffed(look: _Looking) -> _Found:
    coat = look.coat
    if coat.scuffed is None or coat.beneath is None:
        return _AGAINST, "nothing lay beneath it"
    if coat.beneath.coats_join == "fuse":
        return _AGAINST, "its coats melt together"
    return (_AGAINST, "it was scuffed before") if coat.scuffed else (_PLAINLY, "it was not scuffed before")


def _wrong_pair(look: _Looking) -> _Found:
    coat = look.coat
    if coat.beneath is None or not coat.verdict:
        return _UNKNOWN
    over = f"{coat.row.name} over {coat.beneath.name}"
    if coat.verdict in ("never", "needs-barrier"):
        return _PLAINLY, f"{over} does not hold by itself"
    return _AGAINST, f"{over} is known to hold"


def _waxed_beneath(look: _Looking) -> _Found:
    if look.coat.waxed:
        return _PLAINLY, f"{look.coat.waxed} lay there before it"
    return _AGAINST, "no wax or rubbing oil is told of there"


def _oily_wood(look: _Looking) -> _Found:
    coat = look.coat
    if coat.wood is None:
        return _UNKNOWN
    if not coat.wood.oily.startswith("yes"):
        return _AGAINST, f"{coat.wood.name} is not an oily wood"
    if coat.row.mechanism != "oxidative":
        return 1.0, f"{coat.wood.name} is oily, though {coat.row.name} dries by evaporation"
    return (1.0, f"{coat.wood.name} is oily, and sealed") if coat.sealed else (
        _PLAINLY, f"{coat.wood.name} is oily and was not sealed")  # fmt: skip


def _blotching_wood(look: _Looking) -> _Found:
    wood = look.coat.wood
    if wood is None or not wood.blotch:
        return _UNKNOWN
    if wood.blotch == "no":
        return _AGAINST, f"{wood.name} takes colour evenly"
    if look.coat.sealed:
        return 1.0, f"{wood.name} blotches, and had a wash coat"
    return (_PLAINLY if wood.blotch.startswith("yes") else _FOR), f"{wood.name} blotches and had no wash coat"


def _open_pores(look: _Looking) -> _Found:
    wood = look.coat.wood
    if wood is None:
        return _UNKNOWN
    return (_FOR, f"{wood.name} has open pores") if wood.open_grained else (_AGAINST, f"{wood.name} is close-grained")


def _dust(look: _Looking) -> _Found:
    hours, settle = look.coat.dust_h, look.facts.likely("dust_settle_h")
    if hours is None:
        return _AGAINST, "nothing was sanded there that day"
    if hours <= 0:
        return _PLAINLY, "sanding went on in that room while it was wet"
    said = f"sanding in that room ended {hours * 60:.0f} min before"
    return (_PLAINLY, said) if hours < settle else (1.0, said)


def _thin_film(look: _Looking) -> _Found:
    coat = look.coat
    if coat.film_um is None or not coat.took_um:
        return _UNKNOWN
    said = f"about {coat.took_um:.0f} um were taken from {coat.film_um:.0f} um"
    return (_PLAINLY, said) if coat.took_um > coat.film_um / 2 else (_AGAINST, said)


def _last_thin(look: _Looking) -> _Found:
    coat = look.coat
    if coat.last_um is None or not coat.took_um:
        return _UNKNOWN
    if coat.row.coats_join == "fuse":
        return _AGAINST, "its coats melt into one"
    said = f"about {coat.took_um:.0f} um were taken, and the last coat is {coat.last_um:.0f} um"
    return (_PLAINLY, said) if coat.took_um > coat.last_um else (_AGAINST, said)


def _over_ceiling(look: _Looking) -> _Found:
    coat = look.coat
    if coat.film_um is None or coat.row.max_film_um is None:
        return _UNKNOWN
    said = f"the film is about {coat.film_um:.0f} um, and {coat.row.max_film_um:.0f} um is the most"
    return (_PLAINLY, said) if coat.film_um > coat.row.max_film_um else (_AGAINST, said)


def _first_coat(look: _Looking) -> _Found:
    return (_FOR, "it is the first coat of film") if look.coat.first else (_AGAINST, "it is not the first coat")


_CHECKS: dict[str, Callable[[_Looking], _Found]] = {
    "damp air": _damp_air, "cold": _cold, "old can": _old_can, "same can": _same_can, "this surface": _this_surface,
    "too thick": _too_thick, "too soon": _too_soon, "not scuffed": _not_scuffed, "wrong pair": _wrong_pair,
    "waxed beneath": _waxed_beneath, "oily wood": _oily_wood, "blotching wood": _blotching_wood,
    "open pores": _open_pores, "dust": _dust, "thin film": _thin_film, "last coat thin": _last_thin,
    "film over ceiling": _over_ceiling, "first coat": _first_coat,
}  # fmt: skip
#: checks the table may name
CHECKS = (*_CHECKS, "unknown")
