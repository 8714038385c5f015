"""Pieces for the figures of the calendar: so many pieces of 72 steps, wanted a week apart, in the winter shop."""

from __future__ import annotations

from datetime import date, timedelta
from pathlib import Path
from tempfile import TemporaryDirectory

from rakelight.desk import open_desk
from rakelight.plan.planning import build_problem
from rakelight.plan.problem import Problem
from rakelight.plan.together import together, together_wishes
from rakelight.units import read_date

ROOT = Path(__file__).parents[1]
STEPS = 72
#: the first is wanted so many days after the start, each further one so many later
FIRST_DAYS, EACH_DAYS = 80, 7

HEAD = 'piece = "Four panels, {n}"\nunit = "in"\nstart = "8 Feb 2027"\nwanted = [{{ by = "{by}" }}]\n'
PANEL = """
[part.panel-{n}]
wood = "black walnut"
long = {long}
wide = {wide}
thick = "7/8"
both_faces = "on points"
finish = "long"
"""
LONG = """
[schedule.long]
steps = [
  { do = "sand", grits = [120, 150, 180, 220] },
  { do = "oil", with = "boiled linseed oil", coats = 1 },
  { do = "seal", with = "dewaxed shellac", cut = 1, by = "brush" },
  { do = "scuff", grit = 320 },
  { do = "fill", with = "water-borne clear grain filler", by = "trowel", coats = 3 },
  { do = "sand", grits = [320], at_least = "overnight" },
  { do = "coat", with = "dewaxed shellac", cut = 2, by = "brush", coats = 6, a_day = 3, scuff = 320 },
  { do = "level", grits = [400] },
  { do = "rub", with = "0000 wool" },
  { do = "wax", with = "paste wax", at_least = "1 day" },
]
"""


def pieces(count: int, shop: str = "shop-winter", first_days: int = FIRST_DAYS) -> Problem:
    """The problem of so many pieces of four panels, 18 steps a panel, each a little different."""
    works, wishes = {}, {}
    with TemporaryDirectory() as name:
        folder = Path(name)
        for n in range(count):
            by = date(2027, 2, 8) + timedelta(days=first_days + n * EACH_DAYS)
            text = HEAD.format(n=n + 1, by=f"{by:%-d %B %Y}") if count > 1 else HEAD.format(n=1, by="1 July 2027")
            text += "".join(PANEL.format(n=k, long=20 + 8 * k + n % 5, wide=10 + 2 * k) for k in range(1, 5)) + LONG
            (folder / f"p{n}.toml").write_text(text)
            desk = open_desk(
                folder / f"p{n}.toml", ROOT / "examples" / f"{shop}.toml",
                now=read_date("8 Feb 2027 8:00"), log_path=folder / "none.jsonl",
            )  # fmt: skip
            works[f"p{n}"], wishes[f"p{n}"] = desk.work, desk.wishes
    return build_problem(together(works), desk.shop, desk.facts, desk.now, together_wishes(wishes))
