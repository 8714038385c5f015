"""Telling of cans from the command line."""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path

from rakelight.cli.plain import data, width
from rakelight.desk import ShopDesk, open_shop
from rakelight.desk.stock_of_shop import can_name
from rakelight.errors import Misread
from rakelight.facts.cans import thinners
from rakelight.facts.names import find_material
from rakelight.log.events import ABOUT, Event, as_plain
from rakelight.papers.plan_text import clock_words, day_words
from rakelight.papers.stock_text import stock_lines, told_words
from rakelight.papers.wrapping import wrapped
from rakelight.physics import mixing
from rakelight.shop.hours import by_moment
from rakelight.stock_json import can_json, stock_json
from rakelight.units import read_amount, read_cut, read_date

_DID = ABOUT["can"]
#: which amounts are told when, and in which unit (None: either)
_TAKES = {"bought": ("size", "left"), "opened": ("left",), "mixed": ("flakes", "powder", "finish", "thinner", "left"),
          "weighed": ("left",), "emptied": ()}  # fmt: skip
_UNITS = {"flakes": "g", "powder": "g", "finish": "ml", "thinner": "ml"}


@dataclass(frozen=True)
class Told:
    """The words of the command."""

    did: str
    what: str
    amounts: dict[str, str]
    cut: str = ""
    can: str = ""
    from_: tuple[str, ...] = ()
    price: float | None = None
    use_by: str = ""
    at: str = ""
    id: str = ""


def run(told: Told, file: Path | None, now: str, as_json: bool) -> None:
    """Show the stock, or write what was told and show that can."""
    shop = open_shop(file, read_date(now) if now else None)
    unit = _unit(shop)
    if not told.did:
        stock = shop.stock()
        if as_json:
            data(stock_json(stock))
            return
        head = f"In stock, {day_words(shop.now)} {shop.now.year} {clock_words(shop.now)}"
        print("\n".join([head, "", *stock_lines(stock, unit, width())]))
        return
    event = _event(shop, told)
    event = shop.tell(replace(event, id=told.id) if told.id else event)
    can = shop.stock().can(event.can)
    assert can is not None
    says = told_words(can, event.what, unit)
    if as_json:
        data({"schema": 1, "says": says, "event": as_plain(event), "can": can_json(can)})
    else:
        print("\n".join(wrapped(says, width(), "", "  ")))


def labels(folder: Path, paper: str, file: Path | None, now: str) -> None:
    """Labels of the jars in stock, on a sheet and one by one."""
    from rakelight.cli.papers_set import as_pdf
    from rakelight.papers.bundle import Paper
    from rakelight.papers.jar_labels import stock_labels
    from rakelight.papers.sheet_words import Head, short

    if paper not in ("a4", "letter"):
        raise Misread(f"{paper!r} is no paper.", "Write a4 or letter.")
    shop = open_shop(file, read_date(now) if now else None)
    made = stock_labels(shop.stock(), shop.facts, _unit(shop))
    if not made.labels:
        print("No mixed jar is told to be in stock.")
        return
    name = shop.shop.name if shop.shop_text else ""
    head = Head("In stock", short(name), "Jar labels", f"as of {day_words(shop.now)}")
    as_pdf([Paper("labels", f"stock-{n}", f"labels_{n}", head, made) for n in ("sheet", "single")], folder, paper)


def _unit(shop: ShopDesk) -> str:
    """Ounces where the pieces are in inches, or there are none."""
    import tomllib

    for row in shop.pieces():
        try:
            return str(tomllib.loads(row.text).get("unit", "in"))
        except tomllib.TOMLDecodeError:
            continue
    return "in"


def _event(shop: ShopDesk, told: Told) -> Event:
    if told.did not in _DID:
        raise Misread(f"{told.did!r} is nothing that happens to a can.", f"Write one of: {', '.join(_DID)}.")
    if not told.what:
        what = "Which material?" if told.did in ("bought", "mixed") else "Which can?"
        raise Misread(what, f'Say for example `rakelight stock {told.did} {_EXAMPLE[told.did]}`.')
    values = _values(told)
    when = by_moment(shop.shop, read_date(told.at)) if told.at else shop.now
    use_by = f"{read_date(told.use_by).day:%Y-%m-%d}" if told.use_by else ""
    if told.did not in ("bought", "mixed"):
        return Event("can", when, shop.now, what=told.did, can=told.what, values=values, use_by=use_by)
    material = _material(shop, told)
    can = told.can or can_name(shop, material)
    also = list(told.from_)
    for name in also:
        if shop.stock().can(name) is None:
            raise Misread(f"No can is called {name!r}.", "`rakelight stock` shows what the cans are called.")
    return Event("can", when, shop.now, what=told.did, can=can, material=material, values=values, use_by=use_by,
                 also=also)  # fmt: skip


_EXAMPLE = {
    "bought": '"boiled linseed oil" --size "1 pint"',
    "mixed": '"dewaxed shellac" --flakes "60 g" --alcohol "8 fl oz"',
    "opened": "linseed-boiled-1",
    "weighed": 'linseed-boiled-1 --left "6 fl oz"',
    "emptied": "linseed-boiled-1",
}


def _material(shop: ShopDesk, told: Told) -> str:
    names = {t.name for t in thinners() if t.bought}
    if told.what.lower() in names:
        if told.did == "mixed":
            raise Misread(f"{told.what} is a thinner.", "Name the finish that is mixed.")
        return told.what.lower()
    found = find_material(shop.facts, told.what)
    if found.one is None:
        raise Misread(found.says, f"{found.ask} Thinners are: {', '.join(sorted(names))}.")
    row = shop.facts.materials[found.one]
    if told.amounts["flakes"] and not row.is_shellac:
        raise Misread(f"{row.name} is not mixed from flakes.", "Say --finish and --thinner.")
    return found.one


def _values(told: Told) -> dict[str, float]:
    values: dict[str, float] = {}
    for name, words in told.amounts.items():
        if not words:
            continue
        if name not in _TAKES[told.did]:
            raise Misread(f"--{name} is not told of a can {told.did}.", f"It takes: {_options(told.did)}.")
        amount = read_amount(words)
        unit = _UNITS.get(name, amount.unit)
        if amount.unit != unit:
            raise Misread(f"--{name} is measured in {unit}, not as {words}.", f'Write for example "60 {unit}".')
        values[f"{name}_{unit}"] = round(amount.value, 3)
    if told.did == "mixed" and not {k for k in values if not k.startswith("left")}:
        raise Misread("What went into it?", 'Say --flakes "60 g" --alcohol "8 fl oz", or --finish and --thinner.')
    if told.did == "mixed" and "flakes_g" in values and "thinner_ml" in values:
        values["cut_lb"] = round(mixing.cut_of(values["flakes_g"], values["thinner_ml"]), 2)
    if told.cut:
        values["cut_lb"] = read_cut(told.cut)
    if told.price is not None:
        values["price"] = told.price
    return values


def _options(did: str) -> str:
    return ", ".join(f"--{name}" for name in _TAKES[did]) or "no amount"
