"""Telling notes, readings, photographs, steps to do again and corrections, from the command line."""

from __future__ import annotations

from collections.abc import Collection
from datetime import datetime
from pathlib import Path
from typing import Any

from rakelight.cli import at_hand, show
from rakelight.cli.at_hand import Meant
from rakelight.cli.plain import data, width
from rakelight.cli.telling import Said, from_can, moment_in, task_of, used_as, worked_h
from rakelight.desk import Desk, ShopDesk
from rakelight.errors import Misread, NotFound, RakelightError
from rakelight.log.events import ABOUT, Event, as_plain, in_force, told_twice
from rakelight.papers.told_text import told_line
from rakelight.papers.wrapping import wrapped
from rakelight.shop.hours import hours_later
from rakelight.shop.model import Shop
from rakelight.units import read_air, read_minutes, read_percent
from rakelight.units.films import read_film
from rakelight.units.numbers import decimal_comma, number_of, plain

_SHORTEST = 4  # signs of a key that are enough to name an entry


def note(meant: Meant, step: str, said: Said, as_json: bool) -> None:
    """Anything worth keeping."""
    _tell(meant, step, said, as_json, kind="note", words=said.note)


def reading(meant: Meant, step: str, what: str, value: str, said: Said, as_json: bool) -> None:
    """What was read."""
    about = " ".join(what.lower().replace("-", " ").split())
    if about in ("pores", "pore", "dust"):
        _dust(meant, step, value, said, as_json)
        return
    if about == "air log":
        raise Misread("A logger's file is read as a whole.", "Say `rakelight air-log FILE.csv --keep`.")
    if about not in ABOUT["reading"]:
        raise Misread(f"{what!r} is nothing that is read.", f"Write one of: {', '.join(ABOUT['reading'][:-1])}, pores.")
    if about == "minutes" and not step:
        raise Misread("Minutes are of a step.", "Name it with --step.")
    _tell(meant, step, said, as_json, kind="reading", what=about, values=values_of(about, value), words=said.note)


_OPEN = {"white": True, "open": True, "lies white": True, "dust lies white": True,
         "filled": False, "full": False, "clean": False, "closed": False, "none": False}  # fmt: skip


def _dust(meant: Meant, step: str, value: str, said: Said, as_json: bool) -> None:
    """The dust test of filled pores: it settles the coats of filler."""
    from rakelight.desk.pore_test import pore_test

    words = " ".join(value.lower().split())
    if words not in _OPEN:
        raise Misread(f"{value!r} is nothing dust shows of pores.", "Write white (it lies in open ones) or filled.")
    if not step:
        raise Misread("Dust is rubbed over a coat of filler.", "Name that coat with --step, as case/fill-2.")
    with at_hand.desk_of(meant, step) as (desk, name):
        if kept := desk.log.find(said.id) if said.id else None:
            show.told(desk, f"Written already: {told_line(kept, desk.shop.zone, desk.piece.unit)}.", kept, as_json)
            return
        task, at = task_of(desk, name), moment_in(desk, said.at)
        found = pore_test(desk, task, _OPEN[words])
        values = {"open": float(_OPEN[words]), **found.values}
        event = Event(
            "coats", at, desk.now, task=task, step=found.step, number=found.number, values=values, words=said.note,
            **said.named(),
        )  # fmt: skip
        kept = desk.log.add(event)
        then = " `rakelight replan` plans by that." if found.number not in (None, found.planned) else ""
        line = told_line(kept, desk.shop.zone, desk.piece.unit)
        show.told(desk, f"Written: {line}. {found.says}{then}", kept, as_json)


def values_of(what: str, value: str) -> dict[str, float]:
    """A reading as numbers, unit in the name.

    >>> values_of("wood", "8 %"), values_of("air", "50 F, 45 %")
    ({'mc_pct': 8.0}, {'temp_c': 10.0, 'rh': 0.45})
    """
    if what == "air":
        temp_c, rh = read_air(value)
        return {"temp_c": temp_c, "rh": rh}
    if what == "wood":
        return {"mc_pct": round(read_percent(value, 200) * 100, 6)}
    if what == "wet film":
        return {"wet_um": read_film(value)}
    if what == "minutes":
        return {"minutes": read_minutes(value)}
    try:
        gloss = number_of(decimal_comma(plain(value.lower().removesuffix("gu")).strip()))
    except (Misread, ValueError) as bad:
        raise Misread(f"{value!r} cannot be read as gloss.", "Write the number the meter shows, as 40.") from bad
    if not 0 <= gloss <= 200:
        raise Misread(f"{value} is no gloss of a finish.", "Write the number the meter shows at 60 degrees, as 40.")
    return {"gu": gloss}


def photo(meant: Meant, step: str, picture: Path, said: Said, as_json: bool) -> None:
    """A photograph, copied beside the shop's file."""
    if meant.alone:
        raise Misread("Photographs are kept in the shop's file.", "`rakelight add` puts the piece in.")
    try:
        content = picture.read_bytes()
    except FileNotFoundError as bad:
        raise NotFound(f"{picture}: No such file.") from bad
    with at_hand.opened(meant) as shop:
        hash = shop.add_photo(content)
    _tell(meant, step, said, as_json, kind="photo", photo=hash, words=said.note)


def rework(meant: Meant, steps: list[str], before: str, faces: str, said: Said, as_json: bool) -> None:
    """Steps to do again."""
    with at_hand.desk_of(meant, steps[0]) as (desk, first):
        kept = desk.log.find(said.id) if said.id else None
        if kept is None:
            also = [task_of(desk, name) for name in [first, *steps[1:]]]
            task = task_of(desk, before) if before else ""
            at = moment_in(desk, said.at)
            of = [word for word in faces.replace(",", " ").split() if word]
            kept = desk.log.add(
                Event("rework", at, desk.now, task=task, also=also, faces=of, words=said.note, **said.named())
            )
            says = f"Written: {told_line(kept, desk.shop.zone, desk.piece.unit)}. `rakelight replan` puts them in."
        else:
            says = f"Written already: {told_line(kept, desk.shop.zone, desk.piece.unit)}."
        show.told(desk, says, kept, as_json)


def correct(meant: Meant, entry: str, said: Said, as_json: bool) -> None:
    """Other figures in the place of those told."""
    if meant.alone:
        with at_hand.desk_of(meant) as (desk, _):
            earlier = _entry(desk.log.events(), entry)
            event = _correction(desk, earlier, said)
            kept = desk.log.add(event)
            show.told(desk, _corrected(desk.log.events(), earlier, desk.shop), kept, as_json)
        return
    with at_hand.opened(meant) as shop:
        earlier = _entry(shop.events(), entry)
        if not earlier.piece:
            raise Misread("That entry is of the shop, and has no figures of a step.", "`undo` takes it back.")
        desk = shop.desk(earlier.piece, telling=True)
        kept = shop.tell(_correction(desk, earlier, said), desk)
        show.told(desk, _corrected(shop.events(earlier.piece), earlier, shop.shop), kept, as_json)


def _correction(desk: Desk, earlier: Event, said: Said) -> Event:
    found: dict[str, Any] = {}
    if said.at:
        found["happened"] = moment_in(desk, said.at)
        if earlier.start:
            found["start"] = found["happened"] - (earlier.happened - earlier.start)
    if said.took:
        hours = worked_h(said.took)
        found |= {"took_min": hours * 60, "start": hours_later(found.get("happened", earlier.happened), -hours)}
    if said.coats is not None:
        if not earlier.number:
            raise Misread("That entry tells no number of coats.", "Leave --coats out, or tell it anew.")
        found["number"] = said.coats
    if said.used:
        found |= used_as(desk, earlier.task, said.used)
    if said.can:
        found |= from_can(desk, earlier.task, said.can)
    if said.note:
        found["words"] = said.note
    if not found:
        raise Misread("Nothing is said that was otherwise.", "Say --at, --took, --coats, --used, --can or --note.")
    return Event.correction(earlier, desk.now, **found, **said.named())


def _corrected(events: list[Event], earlier: Event, shop: Shop) -> str:
    now = next((e for e in in_force(events) if e.id == earlier.id), earlier)
    return f"Corrected: {told_line(now, shop.zone)}."


def _entry(events: list[Event], key: str) -> Event:
    """The entry with a key, or the one whose key begins so. Raises NotFound, Misread where several do."""
    found = [e for e in events if e.id == key] or [e for e in events if len(key) >= _SHORTEST and e.id.startswith(key)]
    if len(found) == 1:
        return found[0]
    if found:
        raise NotFound(f"{len(found)} keys begin with {key!r}: write more of it.")
    raise NotFound(f"No entry has the key {key!r}: `rakelight told` shows them.")


def told(meant: Meant, last: int, as_json: bool) -> None:
    """What was told."""
    if last < 0:
        raise Misread(f"{last} is no number of entries.", "Write 20, or 0 for all.")
    if meant.alone:
        with at_hand.desk_of(meant) as (desk, _):
            _list(desk.log.events(), desk.shop, last, as_json)
        return
    with at_hand.opened(meant) as shop:
        if meant.piece:
            shop.piece(meant.piece)
        keys, events = shop.last_told(last, meant.piece)
        _list(events, shop.shop, last, as_json, keys)


def _list(events: list[Event], shop: Shop, last: int, as_json: bool, keys: Collection[str] | None = None) -> None:
    """Parameters: keys, of the entries to show; None: the last of all."""
    gone = {e.takes_back for e in events if e.kind == "taken back"}
    counts = {e.id: e for e in in_force(events)}
    shown = [e for e in events if e.kind != "taken back" and (keys is None or e.id in keys)]
    shown = shown[-last:] if last else shown
    twice = {e.id for e in told_twice(events)}
    if as_json:
        data({"schema": 1, "events": [
            {**as_plain(e), "taken_back": e.id in gone, "told_before": e.id in twice} for e in shown
        ]})  # fmt: skip
        return
    if not shown:
        print("Nothing is told yet.")
    for event in shown:
        of = f"{event.piece}: " if event.piece else ""
        words = told_line(counts.get(event.id, event), shop.zone)
        back = " (taken back)" if event.id in gone else " (told before: it counts once)" if event.id in twice else ""
        print("\n".join(wrapped(f"{event.id[:8]:<8}  {of}{words}{back}", width(), "", "          ")))


def _tell(meant: Meant, step: str, said: Said, as_json: bool, kind: str, **what: Any) -> None:
    """Write something of a step, a piece or the shop."""
    if meant.alone or meant.piece or step:
        with at_hand.desk_of(meant, step) as (desk, name):
            kept = desk.log.find(said.id) if said.id else None
            says = "Written already" if kept else "Written"
            if kept is None:
                task = task_of(desk, name) if name else ""
                at = moment_in(desk, said.at)
                kept = desk.log.add(Event(kind, at, desk.now, task=task, **what, **said.named()))
            show.told(desk, f"{says}: {told_line(kept, desk.shop.zone, desk.piece.unit)}.", kept, as_json)
        return
    with at_hand.opened(meant) as shop:
        before = shop.store.find(said.id)
        at = _moment(shop, said.at)
        kept = shop.tell(Event(kind, at, shop.now, **what, **said.named()))
        says = f"{'Written already' if before else 'Written'}: {told_line(kept, shop.shop.zone)}."
        if as_json:
            data({"schema": 1, "says": says, "event": as_plain(kept)})
        else:
            print("\n".join(wrapped(says, width(), "", "  ")))


def _moment(shop: ShopDesk, words: str) -> datetime:
    from rakelight.shop.hours import by_moment
    from rakelight.units import read_date

    if not words:
        return shop.now
    moment = by_moment(shop.shop, read_date(words))
    if moment > shop.now:
        raise RakelightError(f"{words} is still to come. Tell what has happened, or say --now.")
    return moment
