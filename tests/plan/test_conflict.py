"""Why a date cannot be met: the rules named are enough to miss it, and without any one of them it would be met."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pytest

from rakelight.desk import Desk, open_desk
from rakelight.errors import Severity
from rakelight.plan.conflict import RULES, _late, against
from rakelight.plan.greedy import Manner, run_pass
from rakelight.schedule.tasks import Task
from rakelight.spread import Spread
from rakelight.units import read_date

EXAMPLES = Path(__file__).parents[2] / "examples"
NOW = "8 Feb 2027 8:00"
SHOP = """
shop = "Mornings"
zone = "America/Chicago"
hours = {{ {hours} }}
off = ["{off}"]
place.shop = {{ drying_places = 6, air = [{{ open = "68 F, 45 %", closed = "{night}" }}] }}
gear = {{ brush = true, pad = true }}
"""
BOARD = """
piece = "Board"
unit = "in"
wanted = [{{ by = "{by}" }}]
[part.board]
wood = "cherry"
long = 40
wide = 20
thick = "7/8"
both_faces = "on points"
finish = "mine"
[schedule.mine]
steps = [
  {{ do = "sand", grits = [120, 150, 180] }},
  {{ do = "coat", with = "dewaxed shellac", cut = "2 lb", by = "brush", coats = 2 {more} }},
]
"""


def desk(folder: Path, by: str, hours: str = 'mon-fri = "8:00-12:00"', more: str = "", off: str = "1 Jan 2030",
         night: str = "66 F, 45 %") -> Desk:  # fmt: skip
    """A board, a shop and a date."""
    (folder / "board.toml").write_text(BOARD.format(by=by, more=more))
    (folder / "shop.toml").write_text(SHOP.format(hours=hours, off=off, night=night))
    return open_desk(folder / "board.toml", folder / "shop.toml", now=read_date(NOW), log_path=folder / "none.jsonl")


@pytest.mark.parametrize(
    ("by", "more", "hours", "rules"),
    (
        ("8 Feb 2027 20:00", "", 'mon-sun = "8:00-22:00"', {"drying"}),
        ("20 Feb 2027", ', at_least = "20 days"', 'mon-sun = "8:00-22:00"', {"written"}),
        ("10 Feb 2027 20:00", "", 'mon = "8:00-9:00", thu = "8:00-12:00"', {"hours"}),
    ),
)
def test_the_rule_that_makes_it_late_is_named(tmp_path: Path, by: str, more: str, hours: str, rules: set[str]) -> None:
    problem = desk(tmp_path, by, hours, more).problem
    found = against(problem, 0)
    assert found is not None and rules <= set(found.rules)


@pytest.mark.parametrize(("piece", "shop", "by"), (("music-cabinet", "shop-winter", "5 March 2027"),
                                                   ("eight-stools", "shop-evenings", "20 March 2027")))  # fmt: skip
def test_the_set_is_enough_and_no_rule_of_it_too_many(piece: str, shop: str, by: str) -> None:
    problem = open_desk(
        EXAMPLES / f"{piece}.toml", EXAMPLES / f"{shop}.toml", by=read_date(by), now=read_date(NOW),
        log_path=Path("never-written.jsonl"),
    ).problem  # fmt: skip
    found = against(problem, 0)
    assert found is not None and set(found.rules) <= set(RULES)
    assert _late(problem, 0, found.rules)
    for rule in found.rules:
        assert not _late(problem, 0, [r for r in found.rules if r != rule])


def test_a_date_that_is_met_has_nothing_against_it(tmp_path: Path) -> None:
    problem = desk(tmp_path, "20 June 2027").problem
    assert against(problem, 0) is None
    later = replace(problem, targets=(replace(problem.targets[0], by=10**6),))
    assert against(later, 0) is None


def test_no_open_hours_before_the_date_is_one_warning(tmp_path: Path) -> None:
    answer = desk(tmp_path, "13 Feb 2027", off="7 Feb 2027 - 20 Feb 2027").plan()
    stops = [f for f in answer.findings if f.severity is Severity.ERROR]
    assert [f.id for f in stops] == ["no-hours-before-date"]
    assert "open hours" in stops[0].says and "later date" in stops[0].mend
    assert set(answer.plan.placed) == {"board/sand", "board/coat-1", "board/coat-2"}


def test_of_a_missed_date_it_is_said_once_what_stands_against_it(tmp_path: Path) -> None:
    answer = desk(tmp_path, "9 Feb 2027 8:00").plan()
    notes = [f for f in answer.findings if f.id == "against-the-date"]
    assert len(notes) == 1 and notes[0].mend.endswith(".") and "9 February" in notes[0].says
    assert [f.id for f in answer.findings if f.severity is Severity.ERROR] == ["date-missed"]


def test_a_sound_plan_is_told_nothing_of_it(tmp_path: Path) -> None:
    answer = desk(tmp_path, "20 June 2027").plan()
    assert not {f.id for f in answer.findings} & {"against-the-date", "no-hours-before-date", "no-date"}


def test_a_step_that_fits_no_hours_says_which_and_what_would_let_it(tmp_path: Path) -> None:
    problem = desk(tmp_path, "20 June 2027", hours='mon-fri = "8:00-8:50"').problem
    jobs = {"board": replace(problem.jobs["board"], tasks=tuple(longer(t) for t in problem.jobs["board"].tasks))}
    draft = run_pass(replace(problem, work=replace(problem.work, jobs=jobs)), Manner())
    assert [f.where.step for f in draft.stuck] == ["coat 1"]
    assert "at a stretch" in draft.stuck[0].says and "hours longer" in draft.stuck[0].mend
    assert "board/sand" in draft.laid  # as far as it goes


def longer(task: Task) -> Task:
    """A coat that takes an hour."""
    return replace(task, minutes=Spread.exact(60.0)) if task.lay else task


def test_weeks_later_it_is_planned_weeks_later(tmp_path: Path) -> None:
    """Constant air and hours: begun so many weeks later, all is so many weeks later; no change of the clocks."""
    first = desk(tmp_path, "20 June 2027", night="68 F, 45 %")
    now, then = first.plan().plan, None
    (tmp_path / "board.toml").write_text(BOARD.format(by="11 July 2027", more=""))
    for weeks in (1, 3):
        late = open_desk(
            tmp_path / "board.toml", tmp_path / "shop.toml",
            now=read_date(f"{8 + 7 * weeks if weeks == 1 else 1} {'Feb' if weeks == 1 else 'March'} 2027 8:00"),
            log_path=tmp_path / "none.jsonl",
        )  # fmt: skip
        then = late.plan().plan
        for key, placed in now.placed.items():
            assert then.placed[key].start - placed.start == timedelta(weeks=weeks), key


def test_a_date_that_is_past_by_now_is_told_once_with_the_mend(tmp_path: Path) -> None:
    """The piece is begun and late: not that the shop has no hours before it."""
    desk(tmp_path, "20 Feb 2027")
    log = tmp_path / "log.jsonl"
    done = '"kind": "done", "id": "a", "task": "board/sand", "happened": "2027-02-08T09:00:00-06:00"'
    log.write_text("{" + done + ', "written": "2027-02-08T09:00:00-06:00"}\n')
    late = open_desk(tmp_path / "board.toml", tmp_path / "shop.toml", now=read_date("1 March 2027 8:00"), log_path=log)
    found = [f for f in late.plan().findings if f.severity is not Severity.NOTE]
    assert [f.id for f in found] == ["date-missed"]
    assert "past" in found[0].mend and "by Sat 20 February is missed" in found[0].says
