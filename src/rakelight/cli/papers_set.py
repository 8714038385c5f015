"""Papers set and written to a folder, and what is told of them."""

from __future__ import annotations

import sys
from dataclasses import asdict, dataclass
from datetime import date, timedelta
from pathlib import Path

from rakelight.as_json import SCHEMA
from rakelight.cli import at_hand, over_all, show
from rakelight.cli.at_hand import Meant
from rakelight.cli.plain import data
from rakelight.desk import Answer, Desk
from rakelight.errors import Misread, Refused, Severity
from rakelight.facts import load
from rakelight.papers.bundle import Paper, Source, papers
from rakelight.units import read_date


@dataclass(frozen=True)
class Wanted:
    """What is to be written, and where (None: nowhere)."""

    out: Path | None
    kinds: tuple[str, ...]
    paper: str
    address: str = ""
    maker: str = ""
    words: str = ""


def open_for(piece: Path, shop: Path | None, by: str, now: str, log: Path | None) -> Desk:
    """The piece on the desk; one whose dates are past still gets its recipe and its care sheet."""
    try:
        return show.desk(piece, shop, by, "", now, log)
    except Refused as bad:
        if by or {f.id for f in bad.findings if f.severity is Severity.ERROR} != {"date-past"}:
            raise
    day = (read_date(now).day if now else date.today()) + timedelta(days=1)
    return show.desk(piece, shop, f"{day:%Y-%m-%d}", "", now, log)


def of_shop(meant: Meant, by: str, as_json: bool) -> tuple[Answer, str]:
    """A piece of the shop's file in the plan of all at hand, and its key; one put away or finished by itself."""
    with at_hand.opened(meant) as shop:
        row = shop.piece(meant.piece)
        if row.at_hand:
            return over_all.planned(shop, row.key, over_all.Wanted(by), as_json).answers[row.key], row.key
        day = by or f"{shop.now.date() + timedelta(days=1):%Y-%m-%d}"  # its own dates are past
        return show.working("Planning", shop.desk(row.key, read_date(day)).plan, as_json), row.key


def write(answer: Answer, wanted: Wanted, as_json: bool) -> None:
    """Set the papers, write them where a folder is named, and tell their names or what stands on them."""
    made = papers(
        Source(
            answer.work, answer.plan, answer.amounts, answer.shop, answer.state, load(), wanted.address,
            wanted.maker, wanted.words, answer.findings,
        ),
        wanted.kinds,
    )  # fmt: skip
    names, lacks = _written(made, wanted.out, wanted.paper) if wanted.out else ([], [])
    if as_json:
        rows = [
            {"kind": p.kind, "file": f"{p.name}.pdf", "head": asdict(p.head), "content": asdict(p.model)} for p in made
        ]
        data({"schema": SCHEMA, "piece": answer.piece.name, "paper": wanted.paper, "written": names,
              "missing_signs": lacks, "papers": rows})  # fmt: skip
        return
    _tell(names, lacks)


def as_pdf(made: list[Paper], out: Path, paper: str) -> None:
    """Write papers to a folder and tell their names."""
    _tell(*_written(made, out, paper))


def _tell(names: list[str], lacks: list[str]) -> None:
    for name in names:
        print(name)
    if lacks:
        shown = ", ".join(f"{sign} (U+{ord(sign):04X})" for sign in lacks)
        print(f"No font here holds these signs; on paper each is an empty box: {shown}.", file=sys.stderr)


def _written(made: list[Paper], out: Path, paper: str) -> tuple[list[str], list[str]]:
    from rakelight.papers.render.press import press

    if out.exists() and not out.is_dir():
        raise Misread(f"{out} is a file.", "Say a folder: --out DIR.")
    out.mkdir(parents=True, exist_ok=True)
    names: list[str] = []
    lacks: set[str] = set()
    for one in made:
        printed = press(one.template, one.model, one.head, paper)
        path = out / f"{one.name}.pdf"
        path.write_bytes(printed.pdf)
        names.append(str(path))
        lacks |= set(printed.lacks)
    return names, sorted(lacks)
