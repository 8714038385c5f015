"""Why each step is where it is."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from rakelight.desk import open_desk
from rakelight.plan.model import Plan
from rakelight.plan.planning import make_plan
from rakelight.units import read_date

EXAMPLES = Path(__file__).parents[2] / "examples"


@cache
def plan_of(piece: str, shop: str) -> Plan:
    """An example, planned."""
    desk = open_desk(
        EXAMPLES / f"{piece}.toml", EXAMPLES / f"{shop}.toml", now=read_date("8 Feb 2027 8:00"),
        log_path=Path("never-written.jsonl"),
    )  # fmt: skip
    return make_plan(desk.problem, desk.now)


def test_every_step_to_be_done_has_its_reason() -> None:
    for piece, shop in (("music-cabinet", "shop-winter"), ("eight-stools", "shop-evenings")):
        for key, placed in plan_of(piece, shop).placed.items():
            assert placed.why is not None, key
            assert placed.why.says.endswith(".")
            assert "_" not in placed.why.says


def test_a_wait_for_drying_names_its_figure_and_its_hours() -> None:
    why = plan_of("music-cabinet", "shop-winter").placed["case/to-shop-for-seal"].why
    assert why is not None
    assert why.kind == "drying"
    assert "dewaxed shellac over boiled linseed oil: 168 h" in why.says
    assert "test" in why.frees


def test_dusty_work_names_the_wet_coat_in_the_room() -> None:
    kinds = {p.why.kind: p.why.says for p in plan_of("music-cabinet", "shop-winter").placed.values() if p.why}
    assert "is wet until" in kinds["dust"]
    assert "settles" in kinds["settling"]
    assert "opens after" in kinds["hours"]
    assert {"drying", "order", "maker", "dust", "settling", "hours"} <= set(kinds)


def test_the_first_step_waits_for_nothing() -> None:
    plan = plan_of("one-board", "shop-winter")
    first = next(iter(plan.placed.values()))
    assert first.why is not None
    assert first.why.kind == "start"
