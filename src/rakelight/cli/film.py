"""Commands on the film: how thick, how much may come off, what sheen, what chance to cut through."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from rakelight.errors import Misread, Severity

if TYPE_CHECKING:
    from rakelight.cli.at_hand import Meant
    from rakelight.facts.load import Facts
    from rakelight.schedule.film_answers import FaceAnswer
    from rakelight.schedule.sheen_of import Sheen
    from rakelight.schedule.tasks import Work
    from rakelight.state.model import State

_LONGEST_SPOTS = 100_000


def register(app: typer.Typer) -> None:
    """Add `film`, `sheen`, `cutting` and `grits`."""
    app.command()(film)
    app.command()(sheen)
    app.command()(cutting)
    app.command()(grits)


def film(
    piece: Annotated[str, typer.Argument(help="The piece's file, or its name in the shop's file.", metavar="PIECE")],
    part: Annotated[str, typer.Option("--part", help="One part; else all that have film.")] = "",
    shop: Annotated[Path | None, typer.Option("--shop", help="The shop; else shop.toml beside the piece.")] = None,
    old: Annotated[str, typer.Option("--old", help='Old film that stays beneath, as "2 mil".')] = "",
    want: Annotated[str, typer.Option("--want", help='A film to reach, as "100 um".')] = "",
    odds: Annotated[str, typer.Option("--odds", help='Chance of going through a spot still taken on, as "1 %".')] = "",
    svg: Annotated[Path | None, typer.Option("--svg", help="Draw one face of the part, to scale.")] = None,
    face: Annotated[str, typer.Option("--face", help="With --svg: which face; else the one with most film.")] = "",
    narrow: Annotated[bool, typer.Option("--narrow", help="With --svg: upright, for a phone.")] = False,
    log: Annotated[Path | None, typer.Option("--log", help="The piece's log; else the one beside it.")] = None,
    file: Annotated[Path | None, typer.Option("--file", help="The shop's file, where it is another.")] = None,
    now: Annotated[str, typer.Option("--now", help="As of this moment; else the clock.")] = "",
    as_json: Annotated[bool, typer.Option("--json", help="Plain data instead of text.")] = False,
) -> None:
    """How thick the film is, and what may come off.

    Of each face: film on the flat and at the arris when all is done, and by now where anything was told; what the
    rub-out takes, the odds of cutting through, coats to lay more, filler the sheen asks, and the sheen.
    """
    from rakelight.cli import at_hand
    from rakelight.cli.film_shown import data_of, lines_of
    from rakelight.cli.plain import data
    from rakelight.schedule.film_answers import Limits, piece_film
    from rakelight.spread import Spread
    from rakelight.units import read_percent
    from rakelight.units.films import read_film

    meant = at_hand.Meant(piece, shop, file, now, log)
    work, facts, state = _work(Path(piece), shop, log, now) if meant.alone else _work_of_shop(meant)
    limits = Limits.of(facts)
    chance = read_percent(odds) if odds else limits.flat
    if not 0 < chance < 1:
        raise Misread(f"Odds of {odds} are none.", 'Write more than none and less than always, as "1 %".')
    limits = Limits(chance, max(chance, limits.arris), read_film(want) if want else None)
    beneath = Spread.exact(read_film(old)) if old else None
    names = (_part(work, part),) if part else ()
    found = piece_film(work, facts, limits, beneath, names, state.done if state else None)
    if not part:
        found = {name: [a for a in faces if a.film.own] for name, faces in found.items()}
    if not any(found.values()):
        ask = "ask for a part that is coated" if part else "ask of a piece that is coated"
        raise Misread(f"{part or work.piece.name} gets no film.", f"Oil, colour, wax and washes leave none; {ask}.")
    if svg:
        _draw(found, svg, face, narrow, facts)
    told = [f for faces in found.values() for a in faces for f in a.findings]
    if as_json:
        data(data_of(work.piece, found, told, facts))
    else:
        print("\n".join(lines_of(work.piece, found, told, facts)))
    raise typer.Exit(1 if any(f.severity is Severity.ERROR for f in told) else 0)


def _work_of_shop(meant: Meant) -> tuple[Work, Facts, State | None]:
    """The same of a piece in the shop's file."""
    from rakelight.cli import at_hand

    with at_hand.opened(meant) as shop:
        desk = shop.desk(shop.piece(meant.piece).key, telling=True)
        desk.stopping()
        return desk.work, desk.facts, desk.state if desk.log.began else None


def _work(piece_path: Path, shop_path: Path | None, log: Path | None, now: str) -> tuple[Work, Facts, State | None]:
    """The piece unrolled, with what its log tells (None: nothing told).

    A film needs no air: without a shop, one is taken that only holds the gear.
    """
    from rakelight.cli.files import shop_beside, shop_of, there
    from rakelight.desk.one_piece import moment_of
    from rakelight.errors import Refused
    from rakelight.facts import load
    from rakelight.log.events import Log
    from rakelight.log.fold import fold
    from rakelight.piece.file import read_piece
    from rakelight.schedule.book import Book
    from rakelight.schedule.unroll import unroll
    from rakelight.shop.file import read_shop
    from rakelight.units import read_date

    facts = load()
    there(piece_path)
    given = shop_of(piece_path, shop_path) if shop_path else shop_beside(piece_path)
    shop, faults = read_shop(given) if given else read_shop(_ANY_SHOP, "shop")
    piece, found = read_piece(piece_path, facts=facts)
    if piece is None or shop is None:
        raise Refused([*faults, *found])
    book = Book.beside(piece, piece_path, shop, facts, given or piece_path)
    told_of = Log(log or piece_path.with_suffix(".log.jsonl"))
    state = fold(told_of.events(), moment_of(shop, read_date(now) if now else None)) if told_of.began else None
    work = unroll(piece, book, shop, facts, state)
    passed = () if given else ("unknown-place",)  # no air is asked for
    told = (*faults, *found, *work.findings)
    stopped = [f for f in told if f.severity is Severity.ERROR and f.id not in passed]
    if stopped:
        raise Refused(stopped)
    return work, facts, state


_ANY_SHOP = """
shop = "Shop"
zone = "UTC"
hours = { mon-sat = "8:00-17:00" }
[place.shop]
size = "20 ft x 20 ft x 9 ft"
air = [{ open = "70 F, 50 %", closed = "70 F, 50 %" }]
[gear]
gun = { set_up = "10 min", clean = "15 min" }
"""


def _part(work: Work, said: str) -> str:
    from difflib import get_close_matches

    plain = said.strip().lower().replace(" ", "-")
    known = {name.lower(): name for name in work.jobs}
    if plain in known:
        return known[plain]
    near = get_close_matches(plain, list(known), 3, 0.5) or list(known)
    raise Misread(f"{work.piece.name} has no part called {said!r}.", f"Write one of: {', '.join(near)}.")


def _draw(found: dict[str, list[FaceAnswer]], svg: Path, face: str, narrow: bool, facts: Facts) -> None:
    from rakelight.papers.pictures.film import picture_of

    faces = [a for answers in found.values() for a in answers]
    if len(found) > 1:
        raise Misread("A picture shows one part.", "Say --part as well.")
    named = [a for a in faces if a.film.face == face]
    if face and not named:
        raise Misread(f"No film lies on {face!r}.", f"Write one of: {', '.join(a.film.face for a in faces)}.")
    shown = named[0] if named else max(faces, key=lambda a: (a.film.role == "show", a.film.dry_um.likely))
    svg.write_text(picture_of(shown, facts, narrow), encoding="utf-8")


def sheen(
    finish: Annotated[str, typer.Option("--finish", help="What is rubbed.")] = "dewaxed shellac",
    last: Annotated[str, typer.Option("--last", help='The last abrasive, as "pumice FFF", P1000, "0000 wool".')] = "",
    want: Annotated[str, typer.Option("--want", help="The other way round: a sheen, or GU of the part to match.")] = "",
    match: Annotated[
        Path | None, typer.Option("--match", help="Or a piece, with --part: the part to match.", metavar="PIECE.toml")
    ] = None,
    part: Annotated[str, typer.Option("--part", help="With --match: which part.")] = "",
    wax: Annotated[bool, typer.Option("--wax", help="Wax lies on it.")] = False,
    reading: Annotated[str, typer.Option("--reading", help="GU at 60 degrees read on your own panel: refits.")] = "",
    as_json: Annotated[bool, typer.Option("--json", help="Plain data instead of text.")] = False,
) -> None:
    """The sheen a last abrasive leaves, or what to stop with."""
    from rakelight.cli.plain import data, width
    from rakelight.facts import load
    from rakelight.papers.wrapping import wrapped
    from rakelight.schedule.rub_answers import (
        SheenAnswer,
        StopAnswer,
        refitted_um,
        sheen_answer,
        span,
        stop_answer,
    )

    answer: SheenAnswer | StopAnswer
    matched = _matched(match, part) if match else None
    if matched and want:
        raise Misread("--match and --want both say how bright it is to be.", "Leave one out.")
    want = f"{matched[1].gu.likely:.0f}" if matched else want
    if want and last and reading:
        own = sheen_answer(load(), finish, last, wax, _gu(reading)).scale_um
        answer = stop_answer(load(), finish, want, refitted_um(own))
    elif want:
        answer = stop_answer(load(), finish, want)
    elif last:
        answer = sheen_answer(load(), finish, last, wax, _gu(reading) if reading else None)
    else:
        raise Misread("What was it last rubbed with?", 'Say --last "pumice FFF", or --want satin.')
    found, says = answer.as_json(), answer.says
    if matched:
        name, has = matched
        gu = has.gu
        says = f"{name} is {has.word}, about {gu.likely:.0f} GU ({gu.low:.0f} to {gu.high:.0f}). {says}"
        found |= {"match": {"part": name, "gu": span(gu), "word": has.word, "because": has.because}, "says": says}
    data(found) if as_json else print("\n".join(wrapped(says, width())))


def _matched(piece: Path, part: str) -> tuple[str, Sheen]:
    """The part to match as it is shown, and the sheen its steps leave on the face that shows most."""
    from rakelight.schedule.film_answers import part_film

    work, facts, _ = _work(piece, None, None, "")
    if not part:
        raise Misread("Which part is to be matched?", f"Say --part with one of: {', '.join(work.jobs)}.")
    name = _part(work, part)
    faces = [a for a in part_film(work, name, facts) if a.sheen]
    if not faces:
        raise Misread(f"Nothing tells the sheen of {name}.", "Name a sheen in its schedule, or a last rub.")
    shown = max(faces, key=lambda a: (a.film.role == "show", a.film.area_m2))
    assert shown.sheen
    return work.jobs[name].part.shown, shown.sheen


def _gu(words: str) -> float:
    try:
        value = float(words.lower().removesuffix("gu").strip().replace(",", "."))
    except ValueError:
        value = -1.0
    if not 0 <= value <= 200:
        raise Misread(f"{words!r} is no reading of a gloss meter.", "Write gloss units at 60 degrees, as 38.")
    return value


def cutting(
    film: Annotated[str, typer.Option("--film", help='Film that is there, as "50 um" or "2 mil".')],
    removal: Annotated[str, typer.Option("--removal", help="What comes off.")],
    by: Annotated[str, typer.Option("--by", help="How it was laid: brush, spray, wipe or pad.")] = "brush",
    spots: Annotated[float, typer.Option("--spots", help="Spots by themselves: 100 mm of arris each.")] = 1.0,
    odds: Annotated[str, typer.Option("--odds", help='Film to have for this chance a spot, as "1 %".')] = "",
    as_json: Annotated[bool, typer.Option("--json", help="Plain data instead of text.")] = False,
) -> None:
    """The chance of sanding or rubbing through a film."""
    from rakelight.cli.plain import data, width
    from rakelight.facts import load
    from rakelight.papers.wrapping import wrapped
    from rakelight.schedule.rub_answers import cutting_answer
    from rakelight.units import read_percent
    from rakelight.units.films import film_unit, read_film

    if by not in ("brush", "spray", "wipe", "pad"):
        raise Misread(f"Film is not laid by {by!r}.", "Write brush, spray, wipe or pad.")
    if not 1 <= spots <= _LONGEST_SPOTS:
        raise Misread(f"{spots:g} spots are not meant.", "Write how many, 1 or more.")
    chance = read_percent(odds) if odds else None
    answer = cutting_answer(load(), read_film(film), read_film(removal), by, spots, chance, film_unit(film))
    data(answer.as_json()) if as_json else print("\n".join(wrapped(answer.says, width())))


def grits(
    ladder: Annotated[str, typer.Argument(help='Papers in order, as "120, 180, 320"; two: what lies between.')] = "",
    on_film: Annotated[bool, typer.Option("--film", help="On a film, not on wood.")] = False,
    fault: Annotated[str, typer.Option("--fault", help="What is wrong in the film: nibs, orange peel, runs.")] = "",
    as_json: Annotated[bool, typer.Option("--json", help="Plain data instead of text.")] = False,
) -> None:
    """Which papers in which order; or with what to begin on a fault."""
    from rakelight.cli.plain import data, width
    from rakelight.facts import load
    from rakelight.papers.wrapping import wrapped
    from rakelight.schedule.grit_answers import FaultAnswer, LadderAnswer, fault_answer, ladder_answer

    answer: FaultAnswer | LadderAnswer
    if fault:
        answer = fault_answer(load(), fault)
    elif ladder:
        answer = ladder_answer(load(), ladder, on_film)
    else:
        raise Misread("Which papers?", 'Say "120, 320", or --fault "orange peel".')
    data(answer.as_json()) if as_json else print("\n".join(wrapped(answer.says, width())))
