"""Several pieces' own files planned together on one calendar: one maker works on them in turn."""

from __future__ import annotations

from pathlib import Path

from rakelight.cli import show
from rakelight.cli.files import shop_of
from rakelight.cli.over_all import Wanted, exit_for, show_all
from rakelight.desk import Desk, plan_desks
from rakelight.errors import Misread


def plan(
    paths: list[Path], shop: Path | None, file: Path | None, now: str, log: Path | None, want: Wanted, as_json: bool
) -> int:
    """The plans of some pieces made together, each by its own log; the exit code."""
    _one_piece_only(paths, file, log, want)
    shops = {shop_of(path, shop).resolve() for path in paths}
    if len(shops) > 1:
        told = ", ".join(sorted(s.name if len({x.name for x in shops}) == len(shops) else str(s) for s in shops))
        raise Misread(f"These pieces lie beside different shops: {told}.", "Name the one they are made in: --shop.")
    desks: dict[str, Desk] = {}
    for path in paths:
        desks[_key(path, list(desks))] = show.desk(path, shop, "", "pack", now, None)
    tell = show.standing(as_json)
    made = show.working("Planning", lambda: plan_desks(desks, want.odds, tell, want.ask), as_json)
    said = []
    if want.keep:
        for key, answer in made.answers.items():
            desks[key].keep(answer)
        said.append(f"Kept in {', '.join(desks[key].log.path.name for key in made.answers)}.")
    names = {key: desk.piece.name for key, desk in desks.items()}
    show_all(next(iter(desks.values())).shop.name, names, made, {}, said, as_json)
    return max(map(exit_for, made.answers.values()))


def _one_piece_only(paths: list[Path], file: Path | None, log: Path | None, want: Wanted) -> None:
    mend = f"Name one of: {', '.join(p.name for p in paths)}."
    if want.by:
        raise Misread("--by is of one piece.", f"{mend[:-1]}, or write the date in its file.")
    if log is not None:
        raise Misread("--log is of one piece; several have each its own beside it.", mend)
    if want.drawn or want.why:
        raise Misread("What is drawn or asked why is of one piece.", mend)
    if file is not None:
        raise Misread("--file names the shop's file, and these are files by themselves.", "Leave one out.")
    seen = {path.resolve() for path in paths}
    if len(seen) < len(paths):
        raise Misread("One piece is named twice.", "Name each once, or copy its file for a second one.")


def _key(path: Path, known: list[str]) -> str:
    """A piece's key: the name of its file, with a number where another has it."""
    stem = path.stem.replace(":", "-").replace("/", "-")
    number, key = 2, stem
    while key in known:
        key, number = f"{stem}-{number}", number + 1
    return key
