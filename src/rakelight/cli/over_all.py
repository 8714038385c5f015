"""Commands that speak of one piece, or of all at hand in the shop's file: plan, today, replan, catch-up, undo."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Any

from rakelight.as_json import finding_json, plan_json
from rakelight.cli import at_hand, papers_out, show
from rakelight.cli.at_hand import Meant
from rakelight.cli.plain import data, width
from rakelight.desk import Answer, Desk, ShopDesk, ShopPlan
from rakelight.desk.all_pieces import Asked
from rakelight.errors import Misread, RakelightError, Refused, Severity
from rakelight.log.events import as_plain
from rakelight.papers import plan_text
from rakelight.papers.wrapping import wrapped
from rakelight.plan.solving import Ask
from rakelight.units import read_date

_NO_PIECE = "No piece is at hand: `rakelight add PIECE.toml` puts one in."


@dataclass(frozen=True)
class Wanted:
    """What is asked of a plan, and where it is written."""

    by: str = ""
    for_: str = "pack"
    keep: bool = False
    ask: Ask | None = None
    odds: str = "dates"
    ics: Path | None = None
    svg: Path | None = None
    narrow: bool = False
    odds_svg: Path | None = None
    why: str = ""

    @property
    def drawn(self) -> bool:
        """Whether anything is written that is of one piece alone."""
        return bool(self.ics or self.svg or self.odds_svg)


def plan(meant: Meant, want: Wanted, as_json: bool) -> int:
    """The plan of one piece, or of all; the exit code."""
    if meant.alone:
        desk = show.desk(Path(meant.piece), meant.shop, want.by, want.for_, meant.now, meant.log)
        tell = show.standing(as_json)
        answer = show.working("Planning", lambda: desk.plan(want.ask, tell, want.odds), as_json)
        if want.keep:
            desk.keep(answer)
        kept = desk.log.path.name if want.keep else ""
        _show_one(answer, want, kept, as_json, desk)
        return exit_for(answer)
    with at_hand.opened(meant) as shop:
        made = planned(shop, meant.piece, want, as_json)
        if want.keep:
            shop.keep(made)
        kept = shop.path.name if want.keep else ""
        if meant.piece:
            others = [name for name in made.answers if name != meant.piece]
            kept += f", with the plan of {' and '.join(others)} that goes with it" if kept and others else ""
            _show_one(made.answers[meant.piece], want, kept, as_json, shop.desk(meant.piece))
            return exit_for(made.answers[meant.piece])
        if want.why:
            raise Misread("--why is of one piece.", f"Name it: {', '.join(made.answers)}.")
        if want.drawn:
            if len(made.answers) != 1:
                raise Misread("What is drawn is of one piece.", f"Name it: {', '.join(made.answers)}.")
            said = papers_out.write(_only(made), want.ics, want.svg, want.narrow, want.odds_svg)
        else:
            said = []
        _show_all(shop, made, {}, [*([f"Kept in {kept}."] if kept else []), *said], as_json)
        return max(map(exit_for, made.answers.values()), default=0) or int(bool(made.refused))


def today(meant: Meant, as_json: bool) -> int:
    """What to do now, of one piece or of all; the exit code."""
    from rakelight.cli import today as at_bench

    if meant.alone:
        desk = show.desk(Path(meant.piece), meant.shop, "", "pack", meant.now, meant.log)
        answer = show.working("Planning", lambda: desk.plan(odds="dates"), as_json)
        at_bench.of_piece(answer, desk, as_json)
        return exit_for(answer)
    with at_hand.opened(meant) as shop:
        made = planned(shop, meant.piece, Wanted(), as_json)
        if meant.piece:
            answer = made.answers[meant.piece]
            at_bench.of_piece(answer, shop.desk(meant.piece), as_json)
            return exit_for(answer)
        at_bench.of_shop(shop, made, as_json)
        return max(map(exit_for, made.answers.values()), default=0) or int(bool(made.refused))


def replan(meant: Meant, by: str, for_: str, as_json: bool) -> int:
    """Plan again and keep it, with what moved; the exit code."""
    from rakelight.cli import telling

    if meant.alone:
        desk = show.desk(Path(meant.piece), meant.shop, by, for_, meant.now, meant.log)
        before = telling.kept_plan(desk)
        answer = show.working("Planning again", lambda: desk.plan(odds="dates"), as_json)
        desk.keep(answer)
        show.plan(answer, as_json, telling.moved(before, answer))
        return exit_for(answer)
    with at_hand.opened(meant) as shop:
        made = planned(shop, meant.piece, Wanted(by, for_), as_json, "Planning again")
        moved = {key: telling.moved(telling.kept_plan(shop.desk(key, telling=True)), answer)
                 for key, answer in made.answers.items()}  # fmt: skip
        shop.keep(made)
        if meant.piece:
            show.plan(made.answers[meant.piece], as_json, moved[meant.piece])
            return exit_for(made.answers[meant.piece])
        _show_all(shop, made, moved, [], as_json)
        return max(map(exit_for, made.answers.values()), default=0) or int(bool(made.refused))


def catch_up(meant: Meant, since: str, as_json: bool) -> None:
    """Confirm what went as planned, of one piece or of all."""
    from rakelight.cli import telling

    if meant.alone or meant.piece:
        with at_hand.desk_of(meant) as (desk, _):
            show.told(desk, *telling.caught_up(desk, since), as_json)
        return
    with at_hand.opened(meant) as shop:
        rows = [row for row in shop.pieces() if row.at_hand]
        if not rows:
            raise RakelightError(_NO_PIECE)
        says, events = [], []
        for row in rows:
            try:
                said, event = telling.caught_up(shop.desk(row.key, telling=True), since)
            except Misread:
                raise
            except Refused as bad:
                said, event = f"cannot be read as it is: {bad.findings[0].says}", None
            except RakelightError as bad:
                said, event = str(bad), None
            says.append(f"{row.name}: {said}" if len(rows) > 1 else said)
            events += [event] if event else []
        if as_json:
            data({"schema": 1, "says": " ".join(says), "events": [as_plain(e) for e in events]})
            return
        for line in says:
            print("\n".join(wrapped(line, width(), "", "  ")))


def undo(meant: Meant, as_json: bool) -> None:
    """Take back what was told last, of one piece or in the whole shop's file."""
    from rakelight.cli import telling

    if meant.alone or meant.piece:
        with at_hand.desk_of(meant) as (desk, _):
            show.told(desk, *telling.undone(desk), as_json)
        return
    with at_hand.opened(meant) as shop:
        last = shop.undo()
        says = telling.taken_back(last, shop.shop)
        if as_json:
            data({"schema": 1, "says": says, "event": as_plain(last)})
            return
        print("\n".join(wrapped(says, width(), "", "  ")))


def planned(shop: ShopDesk, piece: str, want: Wanted, quiet: bool, words: str = "Planning") -> ShopPlan:
    """All pieces at hand planned together; the one named must be among them.

    Raises NotFound where no piece is called so, Refused where the one named cannot be planned.
    """
    asked: Asked | None = None
    if want.by:
        if not piece:
            raise Misread("--by is of one piece.", "Name it, or write the date in its file.")
        asked = {piece: (read_date(want.by), want.for_)}
    if piece and not shop.piece(piece).at_hand and asked is None:
        raise RakelightError(f"{piece} is finished or put away: `rakelight take-out {piece}` takes it out again.")
    made = show.working(words, lambda: shop.plan(want.odds, show.standing(quiet), want.ask, asked), quiet)
    if piece and piece in made.refused:
        raise Refused(made.refused[piece])
    return made


def exit_for(answer: Answer) -> int:
    """1 where a warning says stop."""
    return int(any(f.severity is Severity.ERROR for f in answer.findings))


def _only(made: ShopPlan) -> Answer:
    return next(iter(made.answers.values()))


def _show_one(answer: Answer, want: Wanted, kept: str, as_json: bool, desk: Desk) -> None:
    if want.why:
        from rakelight.cli import why

        why.show(answer, desk, want.why, as_json)
        return
    written = papers_out.write(answer, want.ics, want.svg, want.narrow, want.odds_svg)
    show.plan(answer, as_json, kept=kept, written=written)


def _show_all(shop: ShopDesk, made: ShopPlan, moved: dict[str, list[str]], said: list[str], as_json: bool) -> None:
    show_all(shop.shop.name, {row.key: row.name for row in shop.pieces()}, made, moved, said, as_json)


def show_all(
    shop: str, names: dict[str, str], made: ShopPlan, moved: dict[str, list[str]], said: list[str], as_json: bool
) -> None:
    """The plans of several pieces, one after another."""
    if as_json:
        data(_all_json(shop, made, moved))
        return
    lines: list[str] = []
    if not made.answers and not made.refused:
        lines = [_NO_PIECE, ""]
    for key, found in made.refused.items():
        lines += [f"{names[key]} cannot be planned as it is", *plan_text.finding_lines(found, width()), ""]
    for key, answer in made.answers.items():
        lines += [*show.heading(answer), *show.moved_part(moved.get(key, ())), *show.plan_lines(answer), ""]
    if len(made.answers) > 1:
        lines += [*show.buying_together(made.buy), ""]
    print("\n".join([*lines, *said] if said else lines[:-1]))


def _all_json(shop: str, made: ShopPlan, moved: dict[str, list[str]]) -> dict[str, Any]:
    return {
        "schema": 1,
        "shop": shop,
        "now": made.now.isoformat(timespec="minutes"),
        "pieces": [{**plan_json(a), "key": key, "moved": moved.get(key, [])} for key, a in made.answers.items()],
        "buy": [line.as_json() for line in made.buy],
        "refused": {key: [finding_json(f) for f in found] for key, found in made.refused.items()},
    }
