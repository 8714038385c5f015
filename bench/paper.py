"""Papers set: pages a second of each kind, a music cabinet on A4."""

from __future__ import annotations

import io
from pathlib import Path
from time import process_time

from bench.said import say

from rakelight.desk import open_desk
from rakelight.facts import load
from rakelight.papers.bundle import Source, papers
from rakelight.papers.render.press import press
from rakelight.units import read_date

EXAMPLES = Path(__file__).parents[1] / "examples"


def main() -> None:
    """Seconds of work for twenty pages of the bench sheet, of its content and of its setting, and for all papers."""
    desk = open_desk(
        EXAMPLES / "music-cabinet.toml", EXAMPLES / "shop-winter.toml", now=read_date("8 Feb 2027 8:00"),
        log_path=Path("never-written.jsonl"),
    )  # fmt: skip
    answer = desk.plan()
    source = Source(answer.work, answer.plan, answer.amounts, answer.shop, answer.state, load(), "http://10.0.0.2:8000/")
    press("card", papers(source, ["card"])[0].model, papers(source, ["card"])[0].head)  # fonts are found once
    begun = process_time()
    made = papers(source)
    content = process_time() - begun
    seconds, pages = {}, {}
    for paper in made:
        begun = process_time()
        pdf = press(paper.template, paper.model, paper.head).pdf
        seconds[paper.name], pages[paper.name] = process_time() - begun, _pages(pdf)
    twenty = seconds["bench-by-day"] * 20 / pages["bench-by-day"]
    say("twenty pages of a bench sheet, with codes", twenty, "s", "2 s", twenty / 2)
    say("what stands on all papers", content, "s")
    say("all papers set", sum(seconds.values()), "s")
    say("pages in all", sum(pages.values()), "pages")


def _pages(pdf: bytes) -> int:
    from pypdf import PdfReader

    return len(PdfReader(io.BytesIO(pdf)).pages)


if __name__ == "__main__":
    main()
