"""Planning again: the kept plan's order is held, a failed test moves what hangs on it, a scuff is not done twice."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path

import pytest

from rakelight.desk import Desk, open_desk
from rakelight.log.events import Event
from rakelight.plan.asking import after_failed
from rakelight.plan.greedy import best_draft
from rakelight.plan.verify import verify
from rakelight.units import read_date

EXAMPLES = Path(__file__).parents[2] / "examples"


def desk(tmp_path: Path, piece: str, shop: str, now: str) -> Desk:
    """A piece of the examples, with its log in a folder of the test."""
    return open_desk(
        EXAMPLES / f"{piece}.toml",
        EXAMPLES / f"{shop}.toml",
        now=read_date(now),
        log_path=tmp_path / f"{piece}.log.jsonl",
    )


@pytest.mark.parametrize("now", ("8 Feb 2027 8:00", "17 Feb 2027 7:00", "2 March 2027 12:30"))
def test_with_nothing_changed_the_plan_stays(tmp_path: Path, now: str) -> None:
    """Dates within a day, and hardly a step on another day."""
    first = desk(tmp_path, "music-cabinet", "shop-winter", "8 Feb 2027 8:00")
    kept = first.plan()
    first.keep(kept)
    again = desk(tmp_path, "music-cabinet", "shop-winter", now).plan()
    for before, after in zip(kept.plan.due, again.plan.due, strict=True):
        assert before.likely is not None and after.likely is not None
        assert abs(after.likely - before.likely) <= timedelta(days=1)
    moved = [
        key
        for key, placed in again.plan.placed.items()
        if key in kept.plan.placed and placed.start.date() != kept.plan.placed[key].start.date()
    ]
    assert len(moved) <= 5


def test_a_failed_test_holds_the_step_and_what_follows(tmp_path: Path) -> None:
    first = desk(tmp_path, "music-cabinet", "shop-winter", "8 Feb 2027 8:00")
    kept = first.plan()
    first.keep(kept)
    at = first.problem.hours.moment(first.problem.hours.minute(kept.plan.placed["case/level"].start))
    first.log.add(Event("tested", at, at, task="case/level", readiness="rub", passed=False, again_h=72.0))
    later = desk(tmp_path, "music-cabinet", "shop-winter", f"{at:%-d %B %Y %H:%M}").plan()
    level = later.plan.placed["case/level"]
    assert level.start >= at + timedelta(hours=72)
    assert later.plan.placed["cabinet/join"].start > level.start
    assert not level.done


def test_a_late_scuff_that_is_done_is_not_planned_again(tmp_path: Path) -> None:
    first = desk(tmp_path, "eight-stools", "shop-evenings", "8 Feb 2027 8:00")
    kept = first.plan()
    first.keep(kept)
    scuff = next(k for k in kept.plan.placed if k.endswith("/scuff-late"))
    coat = scuff.removesuffix("/scuff-late")
    end = kept.plan.placed[scuff].end
    first.log.add(Event("done", end, end, task=scuff, start=kept.plan.placed[scuff].start))
    now = f"{end + timedelta(minutes=5):%-d %B %Y %H:%M}"
    again = desk(tmp_path, "eight-stools", "shop-evenings", now).plan()
    assert again.plan.placed[scuff].done
    assert again.plan.placed[scuff].end == end
    assert again.plan.placed[coat].start >= end


def test_a_failed_test_only_ever_moves_the_odds_later() -> None:
    """Truncation: what is left of the odds lies above the share ruled out; nothing ruled out changes nothing."""
    assert after_failed(0.0, 0.0) == 0.0
    assert after_failed(0.0, 0.5) == pytest.approx(0.6745, abs=1e-3)  # median of the upper half, normal table
    for share in (0.1, 0.5, 0.9):
        assert after_failed(-1.28, share) > -1.28
        assert after_failed(0.0, share) < after_failed(1.28, share)


TWO_FINISHES = """
piece = "Oiled box, shellac inside"
unit = "in"
start = "10 April 2027"
wanted = [{ by = "15 June 2027" }]
[part.case]
kind = "box"
wood = "cherry"
wide = 16
deep = 7
high = 10
thick = "5/8"
open = ["front"]
finish = { show = "oiled", inside = "seal-only" }
cures_in = "house"
[part.tray]
wood = "hard maple"
long = 6
wide = 4
thick = "3/8"
both_faces = "on points"
finish = "seal-only"
[schedule.oiled]
steps = [
  { do = "sand", grits = [150, 180, 220] },
  { do = "oil", with = "boiled linseed oil" },
  { do = "wait", for = "next coat", test = "no smell of oil" },
  { do = "coat", with = "dewaxed shellac", cut = "2 lb", by = "brush", coats = 2, scuff = 320 },
]
"""


def test_a_failed_test_speaks_of_the_wait_likeliest_to_be_late_alone(tmp_path: Path) -> None:
    """Oil that is not dry yet: the shellac inside, dry for days, and what else is laid of it are not thought slow."""
    (tmp_path / "box.toml").write_text(TWO_FINISHES)

    def at(now: str) -> Desk:
        return open_desk(
            tmp_path / "box.toml", EXAMPLES / "shop-winter.toml", now=read_date(now), log_path=tmp_path / "box.jsonl"
        )

    first = at("10 April 2027 8:00")
    kept = first.plan()
    first.keep(kept)
    carried = "case/to-shop-for-coat-1"
    moment = kept.plan.placed[carried].start
    later = at(f"{moment:%-d %B %Y %H:%M}")
    before = later.plan(odds="")
    happened = later.problem.hours.moment(later.problem.hours.minute(moment))
    later.log.add(Event("tested", happened, happened, task=carried, readiness="next coat", passed=False))
    failed = at(f"{moment:%-d %B %Y %H:%M}")
    after = failed.plan(odds="")
    assert not [f for f in after.findings if f.id == "plan-unsound"]
    draft, _ = best_draft(failed.problem)
    assert set(draft.floors) == {"linseed_boiled"} and verify(failed.problem, draft) == []
    assert after.plan.placed["case/coat-1"].start > before.plan.placed["case/coat-1"].start
