"""What to do about a fault: wait, wash off or strip, by when to decide, how much of it, what to clean first."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from rakelight.facts.faults import Fault
from rakelight.log.faults import CoatLaid, Likely
from rakelight.schedule.redone import CUT_BACK, STRIP, WASH

#: causes that no waiting cures: what never sets stays so
_ENDLESS = ("old can", "oily wood", "wrong pair")
WAIT, BUILD = "wait", "build again"


@dataclass(frozen=True)
class Remedy:
    """What to do, and on how much of it."""

    way: str  # wait, wash off, strip, cut back, build again
    says: str
    decide_by: datetime | None  # when to leave waiting and do `then`; of what must harden first, when it likely has
    then: str  # what is done when waiting has not cured it; "" nothing else
    reach: str  # spot, face, part
    reach_says: str
    clean: str  # what must be washed off first; ""
    again: tuple[str, ...] = ()  # steps to do again, where it is washed off, stripped or cut back

    @property
    def doing(self) -> str:
        """What is done where steps are done again: where it is waited first, what comes when that has not cured it."""
        return self.then or self.way


@dataclass(frozen=True)
class Times:
    """What the plan says of the coat: when it is likely and nine times in ten ready, and what a new start costs."""

    now: datetime
    likely: datetime | None = None
    high: datetime | None = None
    wanted: datetime | None = None  # the date the piece is wanted
    rest: timedelta | None = None  # from laying this coat to the piece being ready, likely


def remedy(fault: Fault, coat: CoatLaid, causes: Sequence[Likely], times: Times, coats: Sequence[str]) -> Remedy:
    """What to do about a fault.

    Parameters: causes, ranked; coats, ids of all that was done on those faces, in order: the later coats come off too.
    """
    way, says, by, then = _way(fault, coat, causes, times)
    reach, reach_says = reach_of(fault, coat, causes)
    again: tuple[str, ...] = ()
    doing = then or way
    if doing == STRIP:
        again = tuple(coats)
    elif doing == WASH and coat.task in coats:  # and with it what was laid over it
        again = tuple(coats[list(coats).index(coat.task) :])
    elif doing in (WASH, CUT_BACK, BUILD):
        again = (coat.task,)
    return Remedy(way, says, by, then, reach, reach_says, cleaning(coat), again)


def _way(
    fault: Fault, coat: CoatLaid, causes: Sequence[Likely], times: Times
) -> tuple[str, str, datetime | None, str]:
    if fault.kind in ("soft", "oil"):
        return _soft(coat, causes, times)
    if fault.kind in ("bond", "lifting"):
        return STRIP, "What does not hold comes off, down to what does.", None, ""
    if fault.kind == "colour":
        fresh = times.now - coat.end < timedelta(hours=2)
        if fresh:
            return WASH, "Wipe it back now with its thinner, while it is fresh.", None, ""
        return STRIP, "The colour is dry: only sanding to bare wood takes it off.", None, ""
    if fault.kind == "haze" and coat.row.coats_join == "fuse":
        by = _sooner(times.now + timedelta(days=1), _latest(times))
        return WAIT, "Leave it a day in dry moving air: the damp often leaves by itself.", by, CUT_BACK
    if fault.kind == "film":
        return BUILD, "Build it up again with coats of the same before anything more is taken off.", None, ""
    hard = times.likely
    if hard is not None and hard > times.now:
        says = "Leave it until it sands to powder, wet it only smears; then sand it flat and lay the coat again."
        return CUT_BACK, says, hard, ""
    return CUT_BACK, "Sand it flat and lay the coat again.", None, ""


def _soft(coat: CoatLaid, causes: Sequence[Likely], times: Times) -> tuple[str, str, datetime | None, str]:
    """Wait as long as it may still dry and the date bears it; then off with it."""
    off = WASH if coat.row.coats_join == "absorbed" or coat.row.is_shellac else STRIP
    first = causes[0] if causes else None
    if first and first.cause.check in _ENDLESS and first.tells == "for":
        says = "No waiting has an end that can be told: off with it, and begin that coat anew with what is sound."
        return off, says, None, ""
    by = _sooner(times.high, _latest(times))
    if by is None:
        return WAIT, "Leave it in the warm with moving air and try it by hand every day.", None, off
    if by <= times.now:
        return off, "It has had its time: nine in ten would be dry by now, or the date bears no more waiting.", None, ""
    return WAIT, "It may still dry: leave it in the warm with moving air and try it by hand every day.", by, off


def _sooner(one: datetime | None, other: datetime | None) -> datetime | None:
    known = [moment for moment in (one, other) if moment]
    return min(known) if known else None


def _latest(times: Times) -> datetime | None:
    """The last day on which beginning that coat anew still meets the date."""
    return times.wanted - times.rest if times.wanted and times.rest else None


def reach_of(fault: Fault, coat: CoatLaid, causes: Sequence[Likely]) -> tuple[str, str]:
    """Spot, face or whole part, with the reason: whether its coats melt together decides."""
    first = causes[0] if causes else None
    if first and first.cause.check in ("old can", "wrong pair") and first.tells == "for":
        return "part", "all that was laid so is the same: the whole part"
    if fault.kind == "bond":
        return "face", "a film that lifts in one place holds badly beside it: the whole face"
    row = coat.row
    if row.coats_join == "absorbed":
        return "spot", f"{row.name} leaves no film: a spot can be mended by itself"
    if row.coats_join == "fuse" and fault.kind != "colour":
        return "spot", f"coats of {row.name} melt into each other: a spot can be mended by itself"
    if fault.kind == "colour":
        return "face", "colour mended in a spot shows its edge: all that is seen at once"
    return "face", f"coats of {row.name} do not melt together: a spot keeps a ring, so the whole face"


def cleaning(coat: CoatLaid) -> str:
    """What must be washed off before anything is laid again; "" where nothing is."""
    if not coat.waxed:
        return ""
    return (
        f"{coat.waxed[:1].upper()}{coat.waxed[1:]} lies there: wash with mineral spirits and clean rags until a "
        "white rag stays clean, then scuff; with dewaxed shellac first where any may be left."
    )
