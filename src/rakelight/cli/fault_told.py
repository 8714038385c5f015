"""Telling of a fault, and the help with it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import timedelta

from rakelight.cli import at_hand
from rakelight.cli.plain import data, width
from rakelight.cli.telling import task_of
from rakelight.desk import Desk, ShopDesk
from rakelight.desk.fault_help import FaultHelp, coats_laid, fault_help, rework_of
from rakelight.errors import Misread, RakelightError
from rakelight.facts.faults import find_fault
from rakelight.fault_json import fault_json
from rakelight.log.events import Event, as_plain
from rakelight.log.faults import CoatLaid
from rakelight.papers.fault_text import fault_lines
from rakelight.papers.wrapping import wrapped
from rakelight.shop.hours import by_moment
from rakelight.units import read_date

#: coats of other pieces laid within so long speak for the can, the gun and the air
_NEAR = timedelta(days=30)


@dataclass(frozen=True)
class Seen:
    """The words of the command."""

    step: str
    fault: str
    face: str = ""
    did: str = ""
    again: bool = False
    note: str = ""
    at: str = ""
    id: str = ""
    ask: bool = False


def run(meant: at_hand.Meant, seen: Seen, as_json: bool) -> None:
    """Help with a fault, and write it down."""
    if meant.alone:
        with at_hand.desk_of(meant, seen.step) as (desk, step):
            _tell(desk, replace(seen, step=step), None, as_json)
        return
    with at_hand.opened(meant) as shop:
        key, step = at_hand.piece_of(shop, meant.piece, seen.step)
        _tell(shop.desk(key, telling=True), replace(seen, step=step), (shop, key), as_json)


def _tell(desk: Desk, seen: Seen, of: tuple[ShopDesk, str] | None, as_json: bool) -> None:
    step, fault = task_of(desk, seen.step), find_fault(seen.fault)
    task = desk.work.task(step)
    if seen.face and seen.face not in task.faces:
        raise Misread(f"{step} is not on a face called {seen.face!r}.", f"Its faces: {', '.join(task.faces)}.")
    moment = by_moment(desk.shop, read_date(seen.at)) if seen.at else desk.now
    if moment > desk.now:
        raise Misread(f"{seen.at} is still to come.", "Tell what has happened, or say --now.")
    stock = of[0].stock() if of else None
    help_ = fault_help(desk, step, fault, seen.face, _others(of, desk) if of else (), stock)
    told: list[Event] = []
    if not seen.ask:
        event = Event("fault", moment, desk.now, task=help_.coat.task, what=fault.name, face=seen.face, did=seen.did,
                      words=seen.note)  # fmt: skip
        told.append(desk.log.add(replace(event, id=seen.id) if seen.id else event))
        rework = rework_of(help_, desk.now, moment) if seen.again else None
        if seen.again and rework is None:
            raise Misread("Nothing has to be done again for that yet.", "Wait, and tell it again when it is decided.")
        if rework:
            told.append(desk.log.add(replace(rework, id=f"{seen.id}-again") if seen.id else rework))
    _show(help_, told, desk, as_json)


def _show(help_: FaultHelp, told: list[Event], desk: Desk, as_json: bool) -> None:
    if as_json:
        data({"schema": 1, **fault_json(help_), "events": [as_plain(e) for e in told]})
        return
    lines = fault_lines(help_.fault, help_.coat, help_.causes, help_.remedy, desk.now, width())
    if any(e.kind == "rework" for e in told):
        steps = ", ".join(help_.remedy.again)
        lines += ["", *wrapped(f"Written, with {steps} to do again; `rakelight replan` says what moves.", width())]
    elif told:
        more = " With --again the steps to do again go into the plan." if help_.remedy.again else ""
        lines += ["", *wrapped(f"Written.{more}", width())]
    print("\n".join(lines))


def _others(of: tuple[ShopDesk, str], desk: Desk) -> list[CoatLaid]:
    """Coats of the other pieces of the shop, laid lately."""
    shop, key = of
    found: list[CoatLaid] = []
    for row in shop.pieces():
        if row.key == key:
            continue
        try:
            coats = coats_laid(shop.desk(row.key, telling=True), shop.stock())
        except RakelightError:
            continue
        found += [c for c in coats if abs(c.start - desk.now) < _NEAR]
    return found
