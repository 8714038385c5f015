"""The answers of `again`."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Any

from rakelight.again_json import compared_json, job_json, scaled_json
from rakelight.cli.files import shop_of
from rakelight.cli.plain import data, width
from rakelight.desk import Desk, ShopDesk, open_desk, open_shop
from rakelight.desk.stock_of_shop import behind
from rakelight.errors import Misread, NotFound
from rakelight.log.again import JobDone, compared, job_done, scaled
from rakelight.papers.again_text import beside_lines, job_lines, scaled_lines
from rakelight.papers.recipe_file import recipe_file
from rakelight.schedule.amounts import amounts
from rakelight.schedule.file import read_schedule
from rakelight.units import read_area, read_date


@dataclass(frozen=True)
class Asked:
    """The words of the command."""

    piece: str
    part: str = ""
    face: str = ""
    name: str = ""
    out: Path | None = None
    title: str = ""
    minutes: bool = False
    area: str = ""
    beside: str = ""
    shop: Path | None = None
    log: Path | None = None
    file: Path | None = None
    now: str = ""


def run(asked: Asked, as_json: bool) -> None:
    """What a finished part took, in the form asked for."""
    desk, store = _desk(asked, asked.piece)
    job = _job(desk, asked.part, asked.face)
    unit = desk.piece.unit
    text = recipe_file(
        job, desk.book.written_as(job.schedule), _own(desk, job.part), unit, asked.title, _times(asked, job)
    )
    if asked.area:
        area_m2 = read_area(asked.area)
        rows, told = scaled(job, area_m2), _kept(asked, text, store)
        if as_json:
            data({**scaled_json(job, area_m2, rows), "toml": text, "written": told})
        else:
            _say([*scaled_lines(job, area_m2, rows, unit, width()), *(["", told] if told else [])])
        return
    if asked.beside:
        piece, _, part = asked.beside.rpartition("/") if "/" in asked.beside else (asked.piece, "", asked.beside)
        other = _job(_desk(asked, piece)[0], part, "")
        both = compared(job, other)
        data(compared_json(job, other, both)) if as_json else _say(beside_lines(job, other, both, unit, width()))
        return
    told = _kept(asked, text, store)
    if as_json:
        data({**job_json(job), "toml": text, "written": told})
    elif told:
        _say([*job_lines(job, unit, width()), "", told])
    else:
        print(text, end="")


def _times(asked: Asked, job: JobDone) -> float | None:
    """What the minutes of one part are taken times, to be held; None where they are to follow from the area."""
    if not asked.minutes:
        return None
    return read_area(asked.area) / (job.area_m2 / job.count) if asked.area else 1.0


def _say(lines: list[str]) -> None:
    print("\n".join(lines))


def _job(desk: Desk, part: str, face: str) -> JobDone:
    takes = amounts(desk.as_written, desk.shop, desk.facts)
    return job_done(desk.as_written, desk.state, desk.log.events(), takes, desk.facts, part, face)


def _desk(asked: Asked, piece: str) -> tuple[Desk, ShopDesk | None]:
    """A piece by its file, or by its name in the shop's file."""
    path = Path(piece)
    if path.suffix != ".toml":
        store = open_shop(asked.file, read_date(asked.now) if asked.now else None, create=False)
        return behind(store, piece), store
    if not path.exists():
        raise NotFound(f"{path}: No such file.")
    now = read_date(asked.now) if asked.now else None
    return open_desk(path, shop_of(path, asked.shop), log_path=asked.log, now=now, telling=True), None


def _own(desk: Desk, part: str) -> dict[str, dict[str, Any]]:
    """The maker's own steps of the piece, by their words."""
    extra = desk.piece.parts[part].extra if part in desk.piece.parts else ()
    return {str(t.data["own"]): dict(t.data) for t in extra if isinstance(t.data.get("own"), str)}


def _kept(asked: Asked, text: str, store: ShopDesk | None) -> str:
    """Write the schedule where it is to stand; where that was, "" for nowhere."""
    said = []
    if asked.out is not None:
        if asked.out.exists():
            raise Misread(f"{asked.out} is there already.", "Name another file, or take that one away.")
        _, found = read_schedule(text, asked.out.name)
        if found:
            raise Misread(f"It cannot be written as a schedule: {found[0].says}", found[0].mend)
        asked.out.write_text(text, "utf-8")
        said.append(f"Written to {asked.out}.")
    if asked.name:
        if store is None:
            raise Misread("A piece by itself has no shop's book.", "Say --out FILE.toml beside the piece.")
        found = store.set_schedule(asked.name, text)
        if found:
            raise Misread(f"It cannot be put into the book: {found[0].says}", found[0].mend)
        said.append(f"In the shop's book as {asked.name}.")
    return " ".join(said)
