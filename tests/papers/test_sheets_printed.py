"""The printed papers: what stands in the file is what the content model says, and nothing a maker types is markup."""

from __future__ import annotations

import html
import io
import os
import re
from collections.abc import Callable, Iterator
from dataclasses import asdict, replace
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pypdf import PdfReader

from rakelight.desk import Answer
from rakelight.facts import load
from rakelight.papers.bundle import KINDS, Paper, Source, papers
from rakelight.papers.card import ShowCard
from rakelight.papers.render.picture import for_print
from rakelight.papers.render.press import plain, press
from rakelight.papers.sheet_words import Head
from rakelight.state.model import Fact, State

#: words the templates put beside the content, blanks left out
_SAID = """
earliest likely latest : Handtest: Used Seen ( ) • . , ;
/ For Tobuy Neededby What Buy Testboard: Strip Leaveitasitisafter
Planned Handtestfirst: Atotherages Afterit Lookat pass fail Whatonepassshows Judgedby On Whatwasdone
asthelogtellsit;crossed:told
When Where Howitisknown Handtests Notesonthepiece Notfinishedyet,sonothere: Howtolivewithit Whatitstands Toclean
Tomend Allofit Thewood
Adraftfromtherecord:putitinyourownwords(--words). Nopartisfinishedyet,sothereisnorecipetokeep.
Whattomind
Nothingismixedforthispiece:allcomesfromthecan. Nothingislefttobuyforthispiece. Nopartofthispiecehasatestboard.
"""
LABELS = re.findall(r"\S+", _SAID)
_LABEL = re.compile("(?:" + "|".join(re.escape(w) for w in sorted(LABELS, key=len, reverse=True)) + r"|\d+\.)*")


def tight(text: str) -> str:
    return re.sub(r"[\s\u200b]", "", plain(text)).replace("⁄", "/")


def leaves(content: Any, key: str = "") -> Iterator[str]:
    if isinstance(content, dict):
        for name, value in content.items():
            if name not in ("task", "address"):
                yield from leaves(value, name)
    elif isinstance(content, list | tuple):
        for value in content:
            yield from leaves(value, key)
    elif isinstance(content, str) and content and (key, content) != ("told", "told"):  # a cross in its box
        yield content.upper() if key == "signal" else content


def printed(paper: Paper, size: str) -> str:
    """The text of a file, page by page, without the running head and foot."""
    reader = PdfReader(io.BytesIO(press(paper.template, paper.model, paper.head, size).pdf), strict=True)
    head = tight(paper.head.piece + paper.head.title)
    foot = tight(f"{paper.head.shop},{paper.head.as_of}")
    said = ""
    for number, page in enumerate(reader.pages, 1):
        text = tight(page.extract_text())
        end = f"{foot}{number}/{len(reader.pages)}"
        said += text.replace(head, "", 1).replace(end, "", 1)
    return said


def some_of(paper: Paper) -> Paper:
    """Of long bench sheets the first, the last and one between: all are set by one template. The soak takes all."""
    pages = getattr(paper.model, "pages", ())
    if paper.kind != "bench" or len(pages) < 4 or os.environ.get("RAKELIGHT_SOAK"):
        return paper
    return replace(paper, model=replace(paper.model, pages=(pages[0], pages[len(pages) // 2], pages[-1])))


def source(answer: Answer, **more: Any) -> Source:
    return Source(answer.work, answer.plan, answer.amounts, answer.shop, answer.state, load(), **more)


@pytest.mark.parametrize("kind", [k for k in KINDS if k != "calendar"])
@pytest.mark.parametrize("piece, size", [("music-cabinet", "a4"), ("one-board", "letter")])
def test_text_of_the_file_is_the_content(planned: Callable[..., Answer], piece: str, kind: str, size: str) -> None:
    """Every word of the model in its order, and between them nothing but the words of the template."""
    for paper in map(some_of, papers(source(planned(piece), maker="A. Maker"), [kind])):
        said, at = printed(paper, size), 0
        for leaf in leaves(asdict(paper.model)):
            found = said.find(tight(leaf), at)
            assert found >= 0, f"{paper.name}: {leaf!r} is not there"
            between = said[at:found]
            assert _LABEL.fullmatch(between), f"{paper.name}: {between[:200]!r} before {leaf!r}"
            at = found + len(tight(leaf))
        assert _LABEL.fullmatch(said[at:]), said[at : at + 200]


def test_the_recipe_of_a_whole_cabinet_is_one_page(planned: Callable[..., Answer]) -> None:
    """On A4 and on Letter, what stands in the model and nothing else."""
    answer = planned("music-cabinet")
    done = {k: Fact(k, p.start, p.end) for k, p in answer.plan.placed.items()}
    (paper,) = papers(replace(source(answer), state=State(done=done)), ["recipe"])
    for size in ("a4", "letter"):
        said = PdfReader(io.BytesIO(press(paper.template, paper.model, paper.head, size).pdf), strict=True)
        assert len(said.pages) == 1
    said_words = printed(paper, "a4")
    assert all(tight(leaf) in said_words for leaf in leaves(asdict(paper.model)))
    assert min(sizes(press(paper.template, paper.model, paper.head).pdf)) >= 9.0


@pytest.mark.parametrize("piece", ["music-cabinet", "eight-stools"])
def test_the_calendar_on_the_wall_is_the_picture_of_the_pages(planned: Callable[..., Answer], piece: str) -> None:
    """Its words are all there, black on white, across the sheet."""
    (paper,) = papers(source(planned(piece)), ["calendar"])
    said = [html.unescape(re.sub("<[^>]*>", "", t)) for t in re.findall("<text.*?</text>", paper.model.picture)]
    printed_words = printed(paper, "a4")
    assert len(said) > 20
    assert not [words for words in said if tight(words) not in printed_words]
    pdf = press(paper.template, paper.model, paper.head).pdf
    (page,) = PdfReader(io.BytesIO(pdf)).pages
    assert page.mediabox.width > page.mediabox.height
    assert "var(--" not in for_print(paper.model.picture, "A") and "@media" not in for_print(paper.model.picture, "A")


@settings(max_examples=200 if os.environ.get("RAKELIGHT_SOAK") else 15, deadline=None)
@given(st.text(max_size=120))
def test_any_words_at_all_can_be_set(words: str) -> None:
    model = ShowCard(words, words, words, (words, words), words, False)
    pdf = press("card", model, Head(words[:60], words[:60], "Card", "")).pdf
    assert PdfReader(io.BytesIO(pdf), strict=True).pages


NASTY = [
    '#panic("x") $a_b$ \\ "q" <label> @ref //c /* */ *b* _i_ `r` = h ~ -- [x]',
    "#" * 30 + "]" * 30,
    "x" * 300,
    "\\u{41} #{ 1/0 } #import \"house.typ\": *",
]


@pytest.mark.parametrize("words", NASTY)
@pytest.mark.parametrize("kind", ["care", "card"])
def test_what_a_maker_types_is_printed_as_typed(planned: Callable[..., Answer], words: str, kind: str) -> None:
    answer = planned("one-board")
    work = replace(answer.work, piece=replace(answer.work.piece, name=words))
    (paper,) = papers(replace(source(answer, words=words, maker=words), work=work), [kind])
    assert printed(paper, "a4").count(tight(words)) >= (3 if kind == "card" else 2)


@pytest.mark.parametrize("words", NASTY)
def test_own_steps_and_parts_are_printed_as_typed(planned: Callable[..., Answer], words: str) -> None:
    answer = planned("music-cabinet")
    bench, _ = papers(source(answer), ["bench"])
    step = replace(bench.model.pages[0].steps[0], says=words, part=words, place=words)
    page = replace(bench.model.pages[0], title=words, note=words, steps=(step,))
    assert printed(replace(bench, model=replace(bench.model, pages=(page,))), "a4").count(tight(words)) == 5
    for paper in papers(source(answer), ["labels"]):
        label = replace(paper.model.labels[0], name=words, uses=words, piece=words)
        said = printed(replace(paper, model=replace(paper.model, labels=(label,))), "letter")
        assert said.count(tight(words)) == 3


def test_a_name_of_300_letters_stays_on_the_page(planned: Callable[..., Answer]) -> None:
    """It is broken: no line of it is longer than the page is wide."""
    answer = planned("one-board")
    name = "W" * 300
    work = replace(answer.work, piece=replace(answer.work.piece, name=name))
    (paper,) = papers(replace(source(answer), work=work), ["care"])
    page = PdfReader(io.BytesIO(press("care", paper.model, paper.head).pdf)).pages[0]
    longest = max(len(re.sub("[^W]", "", line)) for line in page.extract_text().splitlines())
    assert 20 < longest < 60  # a W of 14 pt bold is 13 pt wide or so, the line 504 pt


def test_right_to_left_text_and_picture_signs(planned: Callable[..., Answer]) -> None:
    answer = planned("one-board")
    name = "Box عربي עברית \u202egnirts 😀"
    work = replace(answer.work, piece=replace(answer.work.piece, name=name))
    (paper,) = papers(replace(source(answer), work=work), ["card"])
    said = printed(paper, "a4")
    assert "gnirts" in said  # the sign that would turn the line about is dropped
    assert "\u202e" not in said


def test_a_sign_no_font_holds_is_told(planned: Callable[..., Answer]) -> None:
    answer = planned("one-board")
    for name, lacks in (("Box", ()), ("Żółty Ørsted ½ µ", ()), ("Box \U0001f9ffa\U000105c0", ("\U000105c0",))):
        work = replace(answer.work, piece=replace(answer.work.piece, name=name))
        (paper,) = papers(replace(source(answer), work=work), ["card"])
        told = press("card", paper.model, paper.head).lacks
        assert set(lacks) <= set(told) and (lacks or not told)


def sizes(pdf: bytes) -> set[float]:
    """Type sizes in a file, pt."""
    found: set[float] = set()
    for page in PdfReader(io.BytesIO(pdf)).pages:

        def run(text: str, cm: Any, tm: Any, _font: Any, size: float) -> None:
            if text.strip():
                found.add(round(abs(size * tm[3] * cm[3]), 1))

        page.extract_text(visitor_text=run)
    return found


@pytest.mark.parametrize("kind", KINDS)
def test_no_type_under_nine_points(planned: Callable[..., Answer], kind: str) -> None:
    for paper in map(some_of, papers(source(planned("music-cabinet")), [kind])):
        found = sizes(press(paper.template, paper.model, paper.head, "letter").pdf)
        assert min(found) >= 9.0, (paper.name, sorted(found))
        assert max(found) <= 40.0


def test_pages_have_the_size_asked_for(planned: Callable[..., Answer]) -> None:
    (paper,) = papers(source(planned("one-board")), ["buying"])
    for size, mm in (("a4", (210, 297)), ("letter", (215.9, 279.4))):
        box = PdfReader(io.BytesIO(press(paper.template, paper.model, paper.head, size).pdf)).pages[0].mediabox
        assert (float(box.width) / 72 * 25.4, float(box.height) / 72 * 25.4) == pytest.approx(mm, abs=0.2)


def test_a_code_stands_by_each_step_only_with_an_address(planned: Callable[..., Answer]) -> None:
    without, _ = papers(source(planned("one-board")), ["bench"])
    with_it, _ = papers(source(planned("one-board"), address="http://10.0.0.2:8000/"), ["bench"])
    steps = [s for page in with_it.model.pages for s in page.steps]
    assert all(s.address == f"http://10.0.0.2:8000/step/{s.task}" for s in steps if s.task)
    assert not any(s.address for page in without.model.pages for s in page.steps)
    plain_size = len(press("bench", without.model, without.head).pdf)
    assert len(press("bench", with_it.model, with_it.head).pdf) > plain_size


def test_the_same_content_gives_the_same_file(planned: Callable[..., Answer]) -> None:
    (paper,) = papers(source(planned("one-board")), ["care"])
    assert press("care", paper.model, paper.head).pdf == press("care", paper.model, paper.head).pdf
    assert "/CreationDate" not in (PdfReader(io.BytesIO(press("care", paper.model, paper.head).pdf)).metadata or {})


def test_no_template_reads_typed_words_as_markup() -> None:
    """Data is never evaluated, and nothing is fetched: no template calls eval, read, or a package."""
    from rakelight.papers.render import press as module

    for path in sorted(Path(module.__file__).parent.glob("*.typ")):
        text = path.read_text("utf-8")
        assert not re.search(r"\beval\b|\bread\(|\bplugin\b|\binclude\b|@preview", text), path.name
        assert not re.search(r"\b[1-8](\.\d+)?pt, weight|text\([1-8](\.\d+)?pt", text), path.name
