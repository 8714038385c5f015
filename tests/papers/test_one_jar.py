"""Flakes of one cut are one jar: put to soak at an open hour, one label, one line on the sheet of its day."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta

import pytest

from rakelight.desk import Answer
from rakelight.facts import load
from rakelight.papers import bench, jar_labels
from rakelight.papers.soaking import Soak, flakes_late, soak_words, soaks_in
from rakelight.shop.hours import windows

FACTS = load()
Planned = Callable[..., Answer]


@pytest.fixture
def answer(planned: Planned) -> Answer:
    return planned("music-cabinet")  # as of Mon 8 Feb 8:00, the first coat at midday


@pytest.fixture
def ahead(answer: Answer) -> Answer:
    """The same, asked for two weeks before."""
    assert answer.plan.now
    return replace(answer, plan=replace(answer.plan, now=answer.plan.now - timedelta(days=14)))


def soaks(answer: Answer) -> list[Soak]:
    return list(soaks_in(answer.plan, answer.amounts, FACTS, answer.shop, "in"))


def test_a_coat_before_its_flakes_are_dissolved_is_told_once(answer: Answer) -> None:
    first, second = soaks(answer)
    assert first.late and not second.late
    late = [f for f in answer.findings if f.id == "flakes-not-dissolved"]
    assert len(late) == 1 and late[0].severity.name == "NOTE"
    assert "shellac already dissolved" in late[0].mend and "a day later" in late[0].mend
    assert late[0].figures["has_h"] < 8 == late[0].figures["takes_h"]
    assert "at once" in soak_words(first) and first.by == answer.plan.now


def test_with_days_to_spare_it_is_put_to_soak_in_open_hours_and_nothing_is_warned_of(ahead: Answer) -> None:
    for soak in soaks(ahead):
        hour = timedelta(hours=1)
        assert any(a <= soak.by <= b for a, b in windows(ahead.shop, soak.by - hour, soak.by + hour))
        assert soak.first - soak.by >= timedelta(hours=24)
        later = windows(ahead.shop, soak.by, soak.first - timedelta(hours=24))
        assert not later, "the last open moment"
    assert not list(flakes_late(soaks(ahead), FACTS))


def test_one_jar_has_one_label(ahead: Answer) -> None:
    made = jar_labels.labels(ahead.plan, ahead.amounts, FACTS, "Cabinet", "mm", ahead.shop).labels
    jars = soaks(ahead)
    shellac = [label for label in made if "flakes" in label.contents[0]]
    assert sorted(label.cut for label in shellac) == ["1 lb cut", "2 lb cut"] and len(jars) == 2
    for label in shellac:
        jar = next(j for j in jars if label.cut == f"{j.cut_lb:g} lb cut")
        assert float(label.contents[0].split()[0]) == pytest.approx(jar.flakes_g, rel=0.06)
        assert label.mixed.startswith(f"Mixed {jar.by.day} ")


def test_small_jars_are_told_in_ml_first_and_alike_on_sheet_and_label(ahead: Answer) -> None:
    """67 ml of alcohol make 80 ml with the flakes in it: never the same half ounce twice."""
    mixes = [c.mix for c in ahead.amounts.tasks.values() if c.mix and c.mix.cut_lb and 30 < c.mix.thinner_ml < 200]
    assert len(mixes) > 5
    for mix in mixes:
        ml, ounces = zip(*re.findall(r"(\d+) ml \(([\d /]+) fl oz\)", mix.says), strict=True)
        assert (int(ml[0]), int(ml[1])) == (round(mix.thinner_ml), round(mix.made_ml))
        assert ounces[0] != ounces[1]
    made = jar_labels.labels(ahead.plan, ahead.amounts, FACTS, "Cabinet", "in", ahead.shop).labels
    for jar in soaks(ahead):
        label = next(one for one in made if one.cut == f"{jar.cut_lb:g} lb cut" and "flakes" in one.contents[0])
        assert any(f"{jar.alcohol_ml:.0f} ml" in line for line in label.contents)
        assert f"{jar.alcohol_ml:.0f} ml" in soak_words(jar)


def test_the_soak_is_a_line_of_its_day_and_no_coat_mixes_its_own(ahead: Answer) -> None:
    sheet = bench.by_day(ahead.work, ahead.plan, ahead.amounts, FACTS, shop=ahead.shop)
    lines = [(page, s) for page in sheet.pages for s in page.steps if s.says.startswith("Put to soak")]
    assert [page.title for page, _ in lines] == [f"{s.by:%A} {s.by.day} {s.by:%B}" for s in soaks(ahead)]
    assert sheet.pages[0] is lines[0][0], "before the first day of work"
    coats = {coat.task for jar in soaks(ahead) for coat in jar.coats}
    steps = [s for page in sheet.pages for s in page.steps if s.task in coats]
    assert len(steps) == len(coats)
    assert all(s.amounts[0].startswith("From the jar of") for s in steps)
    assert not any("flakes in" in line for s in steps for line in s.amounts)


def test_a_jar_that_is_begun_is_not_put_to_soak_again(ahead: Answer) -> None:
    jar = soaks(ahead)[0]
    key = jar.coats[0].task
    placed = {**ahead.plan.placed, key: replace(ahead.plan.placed[key], done=True)}
    begun = replace(ahead, plan=replace(ahead.plan, placed=placed))
    assert [s.cut_lb for s in soaks(begun)] == [s.cut_lb for s in soaks(ahead) if s.cut_lb != jar.cut_lb]
