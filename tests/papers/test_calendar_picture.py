"""The calendar drawn: it holds what the plan holds, and no word lies on another."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from collections.abc import Callable
from dataclasses import replace
from datetime import datetime, timedelta
from itertools import pairwise
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rakelight.desk import Answer
from rakelight.errors import Finding, Severity, Where
from rakelight.papers.pictures.calendar import draw
from rakelight.papers.pictures.calendar_rows import (
    NARROW_ROWS,
    WIDE_ROWS,
    Block,
    CalendarModel,
    Flag,
    Row,
    Wait,
    calendar_model,
)
from rakelight.papers.pictures.calendar_shapes import TALL, Axis, bars, draw_wait
from rakelight.papers.pictures.canvas import TOKENS, Sheet, words_width
from rakelight.papers.pictures.labels import Called, beside, placed

PIECES = ("music-cabinet", "eight-stools", "one-board")
SVG = "{http://www.w3.org/2000/svg}"
Planned = Callable[..., Answer]
ZONE = ZoneInfo("America/Chicago")
MONDAY = datetime(2027, 5, 3, tzinfo=ZONE)
DAY = timedelta(days=1)


def _model(answer: Answer, narrow: bool = False) -> CalendarModel:
    rows = NARROW_ROWS if narrow else WIDE_ROWS
    return calendar_model(answer.work, answer.plan, answer.shop, answer.findings, most_rows=rows)


def _bare(*waits: Wait, blocks: tuple[Block, ...] = (), now: datetime | None = None, days: int = 20) -> CalendarModel:
    row = Row("Case", "sapele", blocks, waits)
    return CalendarModel("t", "d", MONDAY, MONDAY + days * DAY, now, (row,), (), (), ())


def _shapes(svg: str, cls: str) -> list[ET.Element]:
    return [e for e in ET.fromstring(svg).iter() if cls in (e.get("class") or "").split()]


@pytest.mark.parametrize("narrow", [False, True])
@pytest.mark.parametrize("piece", PIECES)
def test_it_is_one_sound_picture_within_its_frame(planned: Planned, piece: str, narrow: bool) -> None:
    svg = draw(_model(planned(piece), narrow), narrow)
    root = ET.fromstring(svg)
    wide, high = float(root.get("width", 0)), float(root.get("height", 0))
    assert wide <= (480 if narrow else 1152)
    assert " style=" not in svg and "<script" not in svg and "NaN" not in svg and "inf" not in svg
    assert root.find(f"{SVG}title") is not None and root.find(f"{SVG}desc") is not None
    for element in root.iter(f"{SVG}text"):
        x, y = float(element.get("x", 0)), float(element.get("y", 0))
        assert 0 <= x <= wide and 0 <= y <= high
        cls = (element.get("class") or "").split()
        length = words_width(element.text or "") * 0.8
        if not narrow and "m" not in cls:
            left = x - length if "e" in cls else x
            assert left >= -1 and left + length <= wide + 1, element.text
    for shape in root.iter(f"{SVG}polygon"):
        for pair in (shape.get("points") or "").split():
            x, y = map(float, pair.split(","))
            assert -1 <= x <= wide + 1 and -1 <= y <= high + 1


@pytest.mark.parametrize("piece", PIECES)
def test_every_part_with_work_has_a_row_and_every_date_a_flag(planned: Planned, piece: str) -> None:
    answer = planned(piece)
    model = _model(answer)
    svg = draw(model)
    words = [e.text for e in ET.fromstring(svg).iter(f"{SVG}text")]
    worked = {t.part for j in answer.work.jobs.values() for t in j.tasks if t.id in answer.plan.placed}
    shown = {answer.work.jobs[name].part.shown for name in worked}
    whole = next((r.below for r in model.rows if r.whole), "")
    assert shown - {whole} <= set(words)
    assert len(_shapes(svg, "flag")) == len(answer.plan.due)
    spans = sum(len(answer.plan.placed[t.id].spans) for j in answer.work.jobs.values() for t in j.tasks
                if t.id in answer.plan.placed and not t.board and t.do != "judge")  # fmt: skip
    assert sum(len(r.blocks) for r in model.rows) == spans


def test_the_slope_falls_from_earliest_through_likely_to_latest() -> None:
    wait = Wait(MONDAY, MONDAY + 6 * DAY, MONDAY + 4 * DAY, MONDAY + 10 * DAY)
    model = _bare(wait)
    axis = Axis(model, 0, 200, False)  # 10 px a day
    sheet = Sheet(200, 40, "", "", ())
    draw_wait(sheet, wait, axis, 28)
    (slope,) = _shapes(sheet.svg(), "slope")
    assert slope.get("points") == f"0,0 40,0 60,{TALL / 2:g} 100,28"


def test_behind_now_a_wait_is_square_and_ahead_it_slopes() -> None:
    wait = Wait(MONDAY, MONDAY + 6 * DAY, MONDAY + 4 * DAY, MONDAY + 10 * DAY)
    model = _bare(wait, now=MONDAY + 5 * DAY)
    axis = Axis(model, 0, 200, False)
    sheet = Sheet(200, 40, "", "", ())
    draw_wait(sheet, wait, axis, 28)
    past, ahead = _shapes(sheet.svg(), "shadow")
    assert past.get("points") == "0,0 50,0 50,28 0,28" and "past" in (past.get("class") or "")
    assert (ahead.get("points") or "").startswith("50,0 50,0 60,14 100,28")


def test_a_wait_that_may_never_end_runs_out_of_the_picture() -> None:
    svg = draw(_bare(Wait(MONDAY, MONDAY + 6 * DAY, MONDAY + 4 * DAY, None), blocks=(_block(0),)))
    last = max(float(p.split(",")[0]) for s in _shapes(svg, "slope") for p in (s.get("points") or "").split())
    assert last == pytest.approx(1152 - 14, abs=1)


def _block(day: float, edge: str = "wet", base: str = "coat", number: int = 0, hours: float = 0.5) -> Block:
    start = MONDAY + day * DAY
    return Block(start, start + timedelta(hours=hours), edge, base, number)


@given(
    st.lists(
        st.tuples(st.floats(0, 18), st.sampled_from(["wet", "dusty", "hand"]), st.sampled_from(["coat", "", "sand"])),
        min_size=1, max_size=30,
    )
)  # fmt: skip
def test_no_block_hides_another_and_no_named_one_is_lost(drawn: list[tuple[float, str, str]]) -> None:
    blocks = tuple(_block(day, edge, base) for day, edge, base in sorted(drawn))
    axis = Axis(_bare(), 100, 1100, False)
    found = bars(Row("", "", blocks), axis)
    assert all(a.b <= b.a for a, b in pairwise(found))
    assert all(bar.b - bar.a >= 8 - 1e-6 for bar in found)
    named = [b for b in blocks if b.base]
    assert [b for bar in found for b in bar.blocks if b.base] == named


@given(
    st.lists(
        st.tuples(st.floats(0, 880), st.sampled_from(["coat", "oil", "sand", "glue up the case", "to the house"]),
                  st.integers(0, 6), st.integers(0, 1)),
        max_size=20,
    )
)  # fmt: skip
def test_no_label_lies_on_another(drawn: list[tuple[float, str, int, int]]) -> None:
    called = [Called(at, at + 8, base, number, weight) for at, base, number, weight in sorted(drawn)]
    labels = placed(called, 0, 1000)
    for n, one in enumerate(labels):
        assert one.left >= 0 and one.right <= 1000
        for other in labels[n + 1 :]:
            assert one.tier != other.tier or one.right <= other.left or other.right <= one.left
    lines = beside(called, 60, 0, 900)
    assert all(b.at - a.at >= 17 - 1e-6 for a, b in pairwise(lines))


def test_a_barred_step_wears_a_cross(planned: Planned) -> None:
    answer = planned("one-board")
    assert not _shapes(draw(_model(answer)), "stx")
    where = Where(part="board", step="oil 1")
    stop = Finding("fire", Severity.ERROR, where, "No.", "Do otherwise.")
    svg = draw(_model(replace(answer, findings=(stop,))))
    assert len(_shapes(svg, "stx")) == 2  # on the block, and where the signs are explained


def test_words_a_maker_types_stay_words() -> None:
    block = _block(2, base="rub & <b>\x07]]>")
    svg = draw(replace(_bare(blocks=(block,)), title="A<script>\x00&", flags=(Flag(MONDAY + DAY, '"<&>'),)))
    words = [e.text for e in ET.fromstring(svg).iter(f"{SVG}text")]
    assert "rub & <b>]]>" in words and '"<&>' in words


def test_odds_stand_beside_the_date() -> None:
    model = replace(_bare(blocks=(_block(2),)), flags=(Flag(MONDAY + 9 * DAY, "ready to pack", 9),))
    svg = draw(model)
    assert (len(_shapes(svg, "peg")), len(_shapes(svg, "hole"))) == (9, 1)
    assert "9 in 10" in svg


@pytest.mark.parametrize(("tenths", "says"), [(10, "better than 9 in 10"), (0, "less than 1 in 10")])
def test_no_pegs_and_all_pegs_are_not_said_as_never_and_always(tenths: int, says: str) -> None:
    svg = draw(replace(_bare(blocks=(_block(2),)), flags=(Flag(MONDAY + 9 * DAY, "ready to pack", tenths),)))
    assert len(_shapes(svg, "peg")) == tenths and says in svg
    assert "10 in 10" not in svg and "not once" not in svg


def test_inlined_its_names_are_its_own(planned: Planned) -> None:
    svg = draw(_model(planned("one-board")), inline="cal")
    ids = re.findall(r' id="([^"]+)"', svg)
    assert ids and all(i.startswith("cal") for i in ids) and len(set(ids)) == len(ids)
    assert "--board:" not in svg
    rules = re.search(r"<style>(.*?)</style>", svg, re.S)
    assert rules
    chosen = [one for rule in re.findall(r"(?:^|[{}])([^{}@]+)\{", rules[1]) for one in rule.split(",")]
    assert chosen and all(one.strip().startswith("#cal ") for one in chosen)


def test_colours_have_a_value_where_variables_are_not_known(planned: Planned) -> None:
    svg = draw(_model(planned("one-board")))
    for rule in re.findall(r"\{([^{}]*var\([^{}]*)\}", svg):
        for name in re.findall(r"([\w-]+):var\(", rule):
            assert re.search(rf"(?:^|;){name}:#\w+;{name}:var\(", rule), rule


def _luminance(colour: str) -> float:
    """Relative luminance. Source: WCAG 2.1, definition of relative luminance."""
    full = colour if len(colour) == 7 else "#" + "".join(2 * c for c in colour[1:])
    parts = [int(full[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    red, green, blue = (c / 12.92 if c <= 0.03928 else ((c + 0.055) / 1.055) ** 2.4 for c in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


@pytest.mark.parametrize("which", [0, 1, 2])
def test_words_stand_out_by_day_by_night_and_on_paper(which: int) -> None:
    """At least 4.5 to 1 on board and on a closed day. Source: WCAG 2.1, criterion 1.4.3."""
    for under in ("board", "sunk"):
        for words in ("ink", "ink-2", "lamp-ink"):
            light, dark = sorted((_luminance(TOKENS[n][which]) for n in (under, words)), reverse=True)
            assert (light + 0.05) / (dark + 0.05) >= 4.5, (words, under)
