"""Today as text for the terminal, over one or several pieces."""

from __future__ import annotations

from collections.abc import Iterator

from rakelight.papers.plan_text import (
    clock_words,
    day_words,
    moment_words,
    range_words,
    ready_words,
)
from rakelight.papers.sheet_words import spread_words
from rakelight.papers.soaking import Soak, soak_words
from rakelight.papers.today import Doing, ToBuyNow, Today
from rakelight.papers.today_waits import Drying, HandTest
from rakelight.papers.wrapping import WIDTH, lower_first, upper_first, wrapped
from rakelight.piece.model import part_words
from rakelight.plan.tenths import in_tenths

_HANG = " " * 16


def today_lines(today: Today, width: int = WIDTH) -> list[str]:
    """Now, next, drying, tests, buying and rags, each below its heading; what is empty is left out.

    Rags come first where they must be out within the hour.
    """
    rags = _part("Rags", iter(rags_lines(today, width)))
    urgent = any((r.by - today.at).total_seconds() <= 3600 for r in today.rags)
    lines = rags if urgent else []
    lines += _part("Now", (line for d in today.now for line in doing_lines(d, today, width)))
    if not today.now:
        lines += [_nothing(today), ""]
    lines += _part("Next", _next(today, width))
    lines += _part("Drying", (line for d in today.drying for line in _wrap(drying_words(d, today), width)))
    lines += _part("Test due", (line for t in today.tests for line in _wrap(test_words(t, today), width)))
    bought = (line for b in today.buy for line in _wrap(buy_words(b, today), width))
    soaks = (line for s in today.soak for line in _wrap(soaking_words(s, today), width))
    lines += _part("Flakes to soak", soaks)
    lines += _part("To buy before the weekend", bought)
    lines += [] if urgent else rags
    return lines[:-1]


def _part(title: str, lines: Iterator[str]) -> list[str]:
    found = list(lines)
    return [title, *found, ""] if found else []


def _wrap(words: str, width: int) -> list[str]:
    return wrapped(words, width, "  ", "    ")


def _nothing(today: Today) -> str:
    """What an empty bench says."""
    first = next((d for d in today.next if d.start.date() == today.at.date()), None)
    if first:
        return f"Nothing to do until {clock_words(first.start)}."
    return "Nothing to do today."


def _next(today: Today, width: int) -> Iterator[str]:
    day = today.at.date()
    for doing in today.next:
        if doing.start.date() != day:
            day = doing.start.date()
            yield f"  {day_words(day)}"
        yield from doing_lines(doing, today, width, amounts=False)


def doing_lines(doing: Doing, today: Today, width: int = WIDTH, amounts: bool = True) -> list[str]:
    """One stretch of work: hours, part, what to do, what it is called when telling that it is done, and amounts."""
    end = clock_words(doing.end) if doing.end.date() == doing.start.date() else f"{doing.end:%a}"
    clock = f"   {clock_words(doing.start):>5}-{end:<5}  "
    lines = wrapped(f"{part_of(doing, today)}: {doing.says} ({id_of(doing.piece, doing.task, today)})", width, clock,
                    _HANG + "  ")  # fmt: skip
    coat = doing.amount
    if amounts and coat and coat.area_m2 > 0:
        unit = doing.unit
        jar = [upper_first(f"mix {coat.mix.says}")] if coat.mix and not coat.board else []
        jar = [f"From {' and '.join(coat.jars)}.", *jar] if coat.jars else jar
        said = " ".join([*jar, f"Lays about {spread_words(coat.liquid, unit)}."])
        lines += wrapped(said, width, _HANG, _HANG + "  ")
    return lines


def part_of(doing: Doing, today: Today) -> str:
    """A part, with the piece where there are several."""
    return _in_piece(part_words(doing.part), doing.name, today)


def _in_piece(words: str, name: str, today: Today) -> str:
    return f"{name}, {lower_first(words)}" if today.several else words


def id_of(piece: str, task: str, today: Today) -> str:
    """What a step is called on the command line: with its piece, where there are several."""
    return f"{piece}:{task}" if today.several else task


def drying_words(drying: Drying, today: Today) -> str:
    """One part that dries, and until when."""
    part = _in_piece(part_words(drying.part), today.names.get(drying.piece, drying.piece), today)
    part += f" ({drying.face})" if drying.face else ""
    if not drying.then and drying.ready.for_ == "dust-free":
        return f"{part}: keep dust off it until dust-free, {range_words(drying.ready)}"
    says = f"{part}: {ready_words(drying.ready.for_)} {range_words(drying.ready)}"
    if drying.then and drying.start:
        says += f"; then {lower_first(drying.then)}, {day_words(drying.start)}"
    return says + (f"; test: {drying.test}" if drying.test else "")


def test_words(test: HandTest, today: Today) -> str:
    """One test to make, and how likely it passes now."""
    board = ", test board" if "/board/" in test.task else ""
    part = _in_piece(part_words(test.part), today.names.get(test.piece, test.piece), today) + board
    tells = f"it tells that it is {ready_words(test.for_)}" if test.for_ else "else it is not laid"
    says = f"{part}: {test.says}; {tells} ({id_of(test.piece, test.task, today)})"
    if test.failed:
        says += f"; it failed {moment_words(test.failed)}"
    if test.from_ > today.at:
        return f"{says}; not before {clock_words(test.from_)}."
    count = in_tenths(test.chance) if test.chance is not None else 0
    return f"{says}; now it passes about {count} times in 10." if 1 <= count <= 9 else f"{says}."


def soaking_words(soak: Soak, today: Today) -> str:
    """One jar of flakes, and of which piece where there are several."""
    piece = f"{today.names.get(soak.piece, soak.piece)}: " if today.several else ""
    return piece + soak_words(soak, today.at)


def buy_words(buy: ToBuyNow, today: Today) -> str:
    """One thing to buy, by which day."""
    pieces = f" ({', '.join(dict.fromkeys(buy.pieces))})" if today.several else ""
    parts = buy.line.says.removeprefix(f"{buy.line.name}: ").removesuffix(".").split("; ")
    kept = [part for n, part in enumerate(parts) if n == 0 or buy.line.stocked or part.startswith("buy ")]
    said = "; ".join(part for part in kept if not part.startswith("if it drinks"))
    return f"{upper_first(buy.line.name)}: {said}; needed {day_words(buy.by)}{pieces}."


def rags_lines(today: Today, width: int = WIDTH) -> list[str]:
    """Which rags must be out by when; what to do with them is said once."""
    said: dict[str, None] = {}  # a part and its test board leave rags at once: told once
    for rags in today.rags:
        part = _in_piece(lower_first(part_words(rags.part)), today.names.get(rags.piece, rags.piece), today)
        late = "now" if rags.by <= today.at else f"by {clock_words(rags.by)}"
        said[f"Out {late}: rags of {part}."] = None
    lines = [line for words in said for line in _wrap(words, width)]
    text = dict.fromkeys(words for rags in today.rags for words in rags.text)
    defers = max((rags.defers for rags in today.rags), key=len, default="")
    return [*lines, *wrapped(" ".join([*text, defers]), width, "    ")] if lines else []


def unconfirmed_words(today: Today) -> str:
    """How much behind is counted as done as planned, since when; "" where nothing is."""
    number, since = len(today.unconfirmed.steps), today.unconfirmed.since
    if not number or since is None:
        return ""
    verb = "are" if number > 1 else "is"
    said = f"{number} step{'s' * (number != 1)} behind {verb} counted as done as planned, since {day_words(since)}; "
    return said + f"`rakelight catch-up{'' if today.several else ' PIECE'}` writes that down."
