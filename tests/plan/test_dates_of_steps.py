"""A step of the maker's own may carry a date; the plan aims at it and tells when it is missed."""

from __future__ import annotations

from pathlib import Path

from rakelight.desk import Answer, open_desk
from rakelight.units import read_date

SHOP = Path(__file__).parents[2] / "examples" / "shop-fair.toml"

PIECE = """
piece = "Board"
unit = "in"
start = "8 Feb 2027"
wanted = [{ by = "1 June 2027" }]
[part.board]
wood = "hard maple"
long = 20
wide = 6
thick = "7/8"
finish = "shellac-and-wax"
both_faces = "on points"
extra = [{ own = "show it to the buyer", minutes = 20, after = "coat 2", by_date = "DAY" }]
"""


def plan(tmp_path: Path, day: str) -> Answer:
    """The board planned, with the showing wanted by a day."""
    path = tmp_path / "board.toml"
    path.write_text(PIECE.replace("DAY", day), "utf-8")
    return open_desk(path, SHOP, now=read_date("8 Feb 2027 8:00")).plan()


def test_a_date_of_a_step_that_is_kept_is_told_and_draws_no_warning(tmp_path: Path) -> None:
    answer = plan(tmp_path, "12 Feb 2027")
    due = next(d for d in answer.plan.due if d.for_ == "show it to the buyer")
    assert due.likely is not None and due.likely <= due.by
    assert not [f for f in answer.findings if f.id == "date-missed"]


def test_a_date_of_a_step_that_cannot_be_kept_is_a_stop(tmp_path: Path) -> None:
    """Sand, two coats of shellac and a scuff between do not fit into two hours."""
    answer = plan(tmp_path, "8 Feb 2027 10:00")
    missed = [f for f in answer.findings if f.id == "date-missed"]
    assert len(missed) == 1
    assert "show it to the buyer" in missed[0].says
