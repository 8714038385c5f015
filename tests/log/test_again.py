"""Do it again: a finished part as it really was, as a schedule, beside another, for another area."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pytest

from rakelight.desk import open_desk
from rakelight.errors import RakelightError
from rakelight.facts import load
from rakelight.log.again import compared, job_done, scaled
from rakelight.log.events import Event
from rakelight.papers.again_text import beside_lines, scaled_lines, spoons
from rakelight.papers.recipe_file import recipe_file
from rakelight.schedule.amounts import amounts
from rakelight.schedule.file import read_schedule
from rakelight.units import ML_PER_CUP, ML_PER_TEASPOON, read_date

EXAMPLES = Path(__file__).parents[2] / "examples"
FACTS = load()


@pytest.fixture(scope="module")
def desk(tmp_path_factory):
    """The shelf, oiled three times instead of twice, all of it told."""
    log = tmp_path_factory.mktemp("again") / "shelf.log.jsonl"
    shop = EXAMPLES / "shop-fair.toml"

    def at(words):
        return open_desk(EXAMPLES / "one-board.toml", shop, now=read_date(words), log_path=log)

    first = at("8 Feb 2027 8:00")
    told = [("sand", 0, 60.0, None), ("oil-1", 3, 22.0, 40.0), ("oil-2", 30, 20.0, 25.0), ("oil-3", 60, 18.0, 15.0),
            ("wax-1", 60 + 200, 30.0, 10.0), ("wax-2", 60 + 224, 30.0, 9.0)]  # fmt: skip
    start = first.now + timedelta(hours=2)
    coats = Event("coats", start, start, step="board/oil", number=3)
    first.log.add(coats)
    for name, hours, took, used in told:
        end = start + timedelta(hours=hours)
        begun = end - timedelta(minutes=took)
        first.log.add(
            Event("done", end, end, task=f"board/{name}", start=begun, took_min=took, used_ml=used, words="")
        )
    read = start + timedelta(hours=3)
    first.log.add(Event("reading", read, read, what="air", task="board/oil-1", values={"temp_c": 19.0, "rh": 0.48}))
    first.log.add(Event("note", read, read, words="# not a \"remark\" ]\nsecond line"))
    return at("26 Feb 2027 8:00")


def _job(desk, **more):
    takes = amounts(desk.as_written, desk.shop, desk.facts)
    return job_done(desk.as_written, desk.state, desk.log.events(), takes, FACTS, **more)


def test_what_was_told_is_what_it_took(desk):
    job = _job(desk)
    assert [s.name for s in job.steps] == ["sand", "oil", "wax"]
    oil = job.steps[1]
    assert (oil.coats, oil.used_ml, oil.took_min, oil.told, oil.of) == (3, 80.0, 60.0, 3, 3)
    assert oil.waited_h == pytest.approx(3 - 22 / 60)
    assert job.steps[2].waited_h == pytest.approx(200 - 0.5)
    assert job.told == (6, 6)
    planned = sum(s.planned_min for s in job.steps)
    assert job.times_planned == pytest.approx(180.0 / planned)


def test_the_schedule_written_reads_as_the_one_it_was_with_the_coats_and_waits_it_took(desk):
    job = _job(desk)
    text = recipe_file(job, desk.book.written_as(job.schedule), {}, "in")
    made, found = read_schedule(text, "again.toml", FACTS)
    assert found == []
    was = desk.book.find("oil-and-wax")
    bare = [[replace(s, line=0, coats=None, at_least=None) for s in x.steps] for x in (made, was)]
    assert bare[0] == bare[1]
    # oil 1 stood 27 h less 20 min of work, oil 2 30 h less 18 min; oil 3 200 h; wax 1 24 h less 30 min
    assert [s.at_least and s.at_least.hours for s in made.steps] == [None, 26.0, 8 * 24.0, 23.0]
    assert [s.coats.likely for s in made.steps if s.do == "oil"] == [3]
    assert made.sheen == was.sheen and "Walnut wall shelf" in made.title
    flat = " ".join(text.replace("#", "").split())
    for words in ("fl oz (80 ml) laid", "60 min of work; planned", "air 66 F, 48 %", "8 days after", 'not a "remark"'):
        assert words in flat, words


def test_held_minutes_are_those_of_one_part_and_go_with_its_area(desk):
    job = _job(desk)
    for times in (1.0, 2.0):
        text = recipe_file(job, desk.book.written_as(job.schedule), {}, "in", minutes=times)
        made, found = read_schedule(text, "again.toml", FACTS)
        assert found == [] and [s.minutes for s in made.steps] == [60 * times, 20 * times, None, 30 * times]


def test_what_was_only_counted_holds_no_wait(desk):
    done = {k: f if "oil-3" not in k else replace(f, logged=False) for k, f in desk.state.done.items()}
    takes = amounts(desk.as_written, desk.shop, desk.facts)
    state = replace(desk.state, done=done)
    job = job_done(desk.as_written, state, desk.log.events(), takes, FACTS)
    assert job.steps[1].between_h == pytest.approx(27 - 20 / 60) and job.steps[2].stood_h is None
    state = replace(state, done={k: replace(f, logged="oil" not in k) for k, f in done.items()})
    assert job_done(desk.as_written, state, desk.log.events(), takes, FACTS).steps[1].between_h is None


def test_nothing_a_maker_wrote_can_break_the_file(desk):
    job = _job(desk)
    odd = replace(job, piece='A "shelf"\n]\n#', part="board")
    text = recipe_file(odd, desk.book.written_as(job.schedule), {}, "mm", title='say "it" \\ \u202e')
    made, found = read_schedule(text, "again.toml", FACTS)
    assert found == [] and len(made.steps) == 4


def test_amounts_go_with_the_area_and_so_does_the_work(desk):
    job = _job(desk)
    twice = scaled(job, 2 * job.area_m2)
    assert [row.ml for row in twice] == [None, pytest.approx(160.0), pytest.approx(38.0)]
    assert sum(r.minutes for r in twice) == pytest.approx(360.0)
    assert "5 1/2 fl oz (160 ml) laid" in " ".join(scaled_lines(job, 2 * job.area_m2, twice, "in", 300))
    with pytest.raises(RakelightError, match="more than nothing"):
        scaled(job, 0.0)


def test_a_job_beside_itself_differs_in_nothing(desk):
    job = _job(desk)
    for row in compared(job, job):
        assert row.ml[0] == row.ml[1] and row.minutes[0] == row.minutes[1] and row.waited_h[0] == row.waited_h[1]
    assert any("- where it was not told" in line for line in beside_lines(job, job, compared(job, job), "in", 400))


def test_a_part_not_finished_or_not_there_is_told_in_a_sentence(desk):
    for part, says in (("lid", "No part is called 'lid'"), ("board", "not finished yet")):
        state = replace(desk.state, done={k: f for k, f in desk.state.done.items() if "wax" not in k})
        with pytest.raises(RakelightError, match=says):
            takes = amounts(desk.as_written, desk.shop, desk.facts)
            job_done(desk.as_written, state, desk.log.events(), takes, FACTS, part=part)


def test_c73_two_per_cent_of_a_cup_in_spoons():
    """C73: 2 % of a US cup is 4.7 ml, 0.96 teaspoon; 3 % is 7.1 ml, 1.44 teaspoon; one teaspoon to a cup is 2.1 %."""
    two, three = 0.02 * ML_PER_CUP, 0.03 * ML_PER_CUP
    assert two == pytest.approx(4.7, abs=0.05)
    assert two / ML_PER_TEASPOON == pytest.approx(0.96, abs=0.005)
    assert three / ML_PER_TEASPOON == pytest.approx(1.44, abs=0.005)
    assert spoons(two) == " = 1 teaspoon" and spoons(three) == " = 1 1/2 teaspoons"
    assert pytest.approx(0.021, abs=0.0005) == ML_PER_TEASPOON / ML_PER_CUP
