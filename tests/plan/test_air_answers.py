"""May it be laid in this air: what holds and what is told; the makers' cases are in tests/cases."""

from __future__ import annotations

import pytest

from rakelight.errors import Misread
from rakelight.facts import load
from rakelight.plan.air_answers import AirAnswer, air_answer
from rakelight.units import f_to_c

FACTS = load()


def ask(
    material: str, by: str, temp_f: float, rh: float, piece_f: float | None = None, **more: object
) -> AirAnswer:
    piece = None if piece_f is None else f_to_c(piece_f)
    return air_answer(FACTS, material, by, f_to_c(temp_f), rh, piece, **more)  # type: ignore[arg-type]


def test_the_piece_decides_not_the_air() -> None:
    warm, cold = ask("shellac_dewaxed", "brush", 70, 0.50), ask("shellac_dewaxed", "brush", 70, 0.50, 58)
    assert warm.verdict == "go" and cold.verdict == "hold"
    assert cold.do == "warm the piece"


def test_warming_as_told_makes_it_go() -> None:
    damp = ask("shellac_dewaxed", "brush", 70, 0.70)
    warm_c = damp.dew_point_c + damp.chill.likely + 2.0
    assert damp.verdict != "go"
    assert air_answer(FACTS, "shellac_dewaxed", "brush", damp.temp_c, damp.rh, warm_c + 0.01).verdict == "go"


def test_rules_of_the_trade_contradict_each_other_and_are_shown() -> None:
    others = {o.id: o.allows for o in ask("shellac_dewaxed", "brush", 68, 0.62).others}
    assert others["rh-65"] and not others["gap-20f"] and others["gap-3c"]


def test_a_water_borne_film_is_held_against_its_own_temperature() -> None:
    cool = ask("wb_acrylic_urethane", "spray", 56, 0.45)
    assert any(t.rule == "film-forming temperature" and t.verdict != "go" for t in cool.tests)
    assert ask("wb_acrylic_urethane", "spray", 72, 0.50).verdict == "go"


def test_doubt_is_a_range_in_order() -> None:
    margin = ask("shellac_dewaxed", "brush", 68, 0.55).margin
    assert margin.low < margin.likely < margin.high
    assert margin.likely - margin.low >= 3.0, "the film's own doubt and the hygrometer's"


@pytest.mark.parametrize(
    ("by", "more"), [("trowel", {}), ("brush", {"heater": "sun"}), ("brush", {"retarded": True})]
)
def test_what_cannot_be_is_asked_back(by: str, more: dict[str, object]) -> None:
    with pytest.raises(Misread):
        ask("shellac_dewaxed", by, 68, 0.5, **more)


def test_air_and_piece_both_too_cold_are_both_to_be_warmed() -> None:
    both = ask("omu_wipe", "wipe", 45, 0.5, 40)
    assert both.tests[0].rule == "least temperature" and both.ways[0].startswith("Warm shop and piece to ")
    assert "the piece is at" in both.tests[0].says and "the air at" in both.tests[0].says
    assert ask("omu_wipe", "wipe", 75, 0.3, 45).ways[0].startswith("Warm the piece to ")
    assert ask("omu_wipe", "wipe", 45, 0.5, 75).ways[0].startswith("Warm the shop to ")


def test_a_rule_of_the_air_is_judged_by_the_air_and_one_of_the_surface_by_the_piece() -> None:
    """Dew point 46 F at 75 F, 36 %: 20 F below the air whatever the piece; 15 F below a piece at 70, not at 58."""
    for piece_f, surface in ((70, True), (58, False)):
        found = {r.id: r.allows for r in ask("shellac_dewaxed", "brush", 75, 0.36, piece_f=piece_f).others}
        assert found["gap-20f"] is True
        assert found["gap-15f"] is surface


def test_a_finish_that_does_not_haze_is_not_sent_to_another() -> None:
    assert "does not haze" in " ".join(ask("shellac_dewaxed", "brush", 75, 0.80).ways)
    assert "does not haze" not in " ".join(ask("omu_brush", "brush", 68, 0.99).ways)
