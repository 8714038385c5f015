"""Makers' cases of dates and of the last act: C67, C68, C72, each with a sound twin.

Source: cases.md of the shared folder, by case id. C69 stands with the fault help, C71 with this shop's own figures,
C73 with the mixes.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from rakelight.facts import load
from rakelight.schedule.layers import stacks_of_work
from rakelight.schedule.sheen_of import rubbed_sheen, sheen_of

FAIR = (Path(__file__).parents[2] / "examples" / "shop-fair.toml").read_text("utf-8")
SAND = 'do = "sand", grits = [120, 150, 180]'
STAIN = 'do = "stain", with = "pigmented wiping stain"'
URETHANE = 'do = "coat", with = "brushing urethane varnish", by = "brush", coats = 2, scuff = 320'
LACQUER = 'do = "coat", with = "nitrocellulose lacquer", by = "spray", coats = 3'
#: Friday evening's work must be packed by Monday morning
MONDAY = 'wanted = [{ by = "15 Feb 2027 8:00" }]'


def at(temp: str) -> str:
    return FAIR.replace("70 F", temp)


def weekend(text: str) -> str:
    """Begun on Saturday, wanted on Monday."""
    return text.replace('start = "8 Feb 2027"', 'start = "13 Feb 2027"').replace(
        'wanted = [{ by = "1 Sep 2027" }]', MONDAY
    )


def late(plan) -> float:
    return plan.due[0].late_h


def test_c67_oil_based_coats_over_a_weekend_are_short_even_indoors(planned, board) -> None:
    """C67: "oil stain 24 h and 2 coats x 24 h at 70 F, and 48 h before packing: day 5 against day 2"."""
    shop = FAIR.replace("mon-fri", "mon-sun")
    *_, plan = planned(weekend(board(SAND, STAIN, URETHANE)), shop)
    assert late(plan) >= 3 * 24
    *_, cold = planned(weekend(board(SAND, STAIN, URETHANE)), shop.replace("70 F", "28 F"))
    assert cold.due[0].likely is None or late(cold) > late(plan)


def test_c67_twin_lacquer_on_what_is_stained_already_may_be_handled_on_monday(planned, board) -> None:
    """C67: lacquer indoors, three coats in one day: the stained four just possible."""
    text = weekend(board(SAND, LACQUER)).replace('8:00" }', '8:00", for = "handle" }')
    *_, plan = planned(text, FAIR.replace("mon-fri", "mon-sun"))
    assert late(plan) == 0


def laid_to(plan, name: str) -> float:
    placed = [p for k, p in plan.placed.items() if "coat" in k and "scuff" not in k][-1]
    ready = next(r for r in placed.ready if r.for_ == name)
    return (ready.likely - placed.end).total_seconds() / 3600


def test_c68_three_dates_and_not_one_and_colder_takes_longer(planned, board) -> None:
    """C68: handle, pack and full use are three dates; 48 h at 70 F become 70 to 90 h at 60 F, times 1.5 to 1.8."""
    *_, warm = planned(board(SAND, URETHANE))
    assert laid_to(warm, "handle") < laid_to(warm, "pack") < laid_to(warm, "use")
    *_, cool = planned(board(SAND, URETHANE), at("60 F"))
    assert 1.4 <= laid_to(cool, "pack") / laid_to(warm, "pack") <= 2.0


def test_c68_twin_the_same_air_gives_the_same_waits(planned, board) -> None:
    *_, one = planned(board(SAND, URETHANE))
    *_, other = planned(board(SAND, URETHANE), at("70 F"))
    assert laid_to(one, "pack") == pytest.approx(laid_to(other, "pack"))


def sheens(planned, text, said: str):
    _, work, _, facts, _ = planned(text)
    faces = stacks_of_work(work, facts)["board"]
    return [found for stacks in faces.values() for s in stacks if (found := sheen_of(s, said, facts))]


POLISH = 'do = "rub", with = "rottenstone", wet = "mineral oil"'


def test_c72_the_last_act_makes_the_sheen_whatever_the_can_says(planned, board) -> None:
    """C72: satin coats polished to a mirror are no longer satin: sheen is set by the last abrasive."""
    polished = sheens(planned, board(SAND, URETHANE, POLISH, sheen="satin"), "satin")
    assert polished and all(s.gu.likely > 35 and s.word != "satin" for s in polished)  # satin is 10 to 35 at 60 degrees


def test_c72_twin_satin_left_as_laid_stays_satin(planned, board) -> None:
    assert {s.word for s in sheens(planned, board(SAND, URETHANE, sheen="satin"), "satin")} == {"satin"}


def test_c72_finer_than_the_wool_only_gets_brighter() -> None:
    facts = load()
    order = ["steel_wool 0000", "FEPA_P P1500", "FEPA_P P2000", "FEPA_P P2500", "FEPA_P P3000"]
    index = facts.materials["omu_brush"].refractive_index.likely
    shines = [rubbed_sheen(facts.abrasives[k], index, facts).gu.likely for k in order if k in facts.abrasives]
    assert len(shines) >= 3 and shines[1:] == sorted(shines[1:])
