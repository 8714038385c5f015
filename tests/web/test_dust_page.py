"""The dust test on the bench page: asked for, told with one press, taken into the plan, taken back."""

from __future__ import annotations

from pathlib import Path

from rakelight.desk import open_shop
from rakelight.log.events import Event
from rakelight.shop.hours import hours_later
from rakelight.units import read_date

from .conftest import form_key, planned, start_here, stop

EXAMPLES = Path(__file__).parents[2] / "examples"
LID = """
piece = "Box lid"
unit = "in"
start = "8 Feb 2027"
wanted = [{ by = "1 July 2027" }]
[part.lid]
wood = "walnut"
long = 12
wide = 8
thick = "1/2"
both_faces = "on points"
finish = "filled"
[schedule.filled]
sheen = "gloss"
steps = [
  { do = "fill", with = "water-borne clear grain filler", by = "trowel", coats = 3 },
  { do = "coat", with = "dewaxed shellac", by = "brush" },
]
"""


def test_dust_is_asked_for_and_told_with_one_press(tmp_path) -> None:
    path = tmp_path / "shop.rakelight"
    desk = open_shop(path, read_date("10 Feb 2027 12:00"))
    desk.set_shop((EXAMPLES / "shop-fair.toml").read_text("utf-8"))
    key, _ = desk.add_piece(LID, "lid.toml")
    laid = desk.desk(key, telling=True)
    for hours, step in ((-28.0, "lid/fill-1"), (-4.0, "lid/fill-2")):
        desk.tell(Event("done", hours_later(desk.now, hours), desk.now, piece=key, task=step), laid)
    desk.close()
    served = start_here(path, "10 Feb 2027 12:00")
    try:
        planned(served)
        with served.client() as client:
            page = client.get("/").text
            assert "rub fine dust over coat 2 of filler" in page
            told = {"form_key": form_key(client), "id": "dust-1", "piece": key, "task": "lid/fill-2", "dust": "filled"}
            assert client.post("/log/dust", data=told).status_code == 303
            after = client.get("/").text
            assert "rub fine dust" not in after
    finally:
        stop(served)
    desk = open_shop(path, read_date("10 Feb 2027 12:30"))
    assert [t.id for t in desk.desk(key, telling=True).work.jobs["lid"].tasks if t.do == "fill"] == [
        "lid/fill-1", "lid/fill-2",
    ]  # fmt: skip
    desk.close()
