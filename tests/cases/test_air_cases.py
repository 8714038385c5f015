"""Makers' cases of air, cold, vapour and rags, each with a sound twin: C16, C17, C19, C20, C27, C28, C62, C63, C65.

Source: cases.md of the shared folder, by case id.
"""

from __future__ import annotations

from datetime import datetime, timedelta

import pytest

from rakelight.facts import load
from rakelight.plan.air_answers import AirAnswer, air_answer
from rakelight.plan.air_week import tonight, week_of
from rakelight.plan.vapour_answers import stuff_of, vapour_answer
from rakelight.schedule.tasks import Lay
from rakelight.shop.file import read_shop
from rakelight.units import f_to_c

FACTS = load()


def air(material: str, by: str, temp_f: float, rh: float, piece_f: float | None = None, **more: object) -> AirAnswer:
    piece = None if piece_f is None else f_to_c(piece_f)
    return air_answer(FACTS, material, by, f_to_c(temp_f), rh, piece, unit="in", **more)  # type: ignore[arg-type]


def shop_at(open_f: float, closed_f: float, rh: int = 45):
    text = f"""
shop = "Garage"
zone = "America/Chicago"
hours = {{ mon-sun = "8:00-17:00" }}
[place.garage]
size = "20 ft x 20 ft x 9 ft"
air = [{{ open = "{open_f} F, {rh} %", closed = "{closed_f} F, {rh} %" }}]
"""
    shop, found = read_shop(text, "shop.toml")
    assert shop, found
    return shop


def dry_days(shop, material: str, by: str, ready: str) -> float:
    """Likely days until a coat laid on a winter morning is ready."""
    now = datetime(2027, 1, 4, 9, tzinfo=shop.zone)
    name, _, likely, _ = next(r for r in tonight(shop, FACTS, "garage", Lay(material, by), now).ready if r[0] == ready)
    assert name == ready
    return (likely - now) / timedelta(days=1) if likely else float("inf")


def test_c16_lacquer_on_a_day_of_rain_is_held_and_no_retarder_is_held_out() -> None:
    """Even slowed by retarder the film chills by more than the gap of 2.9 F: another day, not another thinner."""
    answer = air("lacquer_nc", "spray", 60, 0.90)
    assert answer.verdict == "hold" and answer.tests[0].rule == "dew point"
    assert answer.gap_k == pytest.approx(2.9 / 1.8, abs=0.15)
    assert answer.margin.high < 0, "not even the mildest film would stand it"
    assert FACTS.likely("chill_lacquer_retarded_k") > answer.gap_k
    assert air("lacquer_nc", "spray", 60, 0.90, retarded=True).verdict == "hold"
    assert answer.do != "with retarder" and not any("retarder" in way.lower() for way in answer.ways)
    rules = {o.id: o.allows for o in answer.others}
    assert not rules["rh-65"] and not rules["gap-20f"]


def test_c16_a_cold_piece_in_warm_air_hazes_where_a_warm_one_does_not() -> None:
    assert air("lacquer_nc", "spray", 70, 0.45, 50).verdict != "go"
    assert air("lacquer_nc", "spray", 70, 0.45).verdict == "go"


def test_c16_the_two_rules_of_the_trade_part() -> None:
    rules = {o.id: o.allows for o in air("lacquer_nc", "spray", 80, 0.65).others}
    assert rules["rh-65"] and not rules["gap-20f"]


def test_c17_sprayed_shellac_the_day_after_rain_and_on_a_dry_one() -> None:
    bad = air("shellac_dewaxed", "spray", 75, 0.76)
    assert bad.verdict == "hold" and bad.gap_k == pytest.approx(8.0 / 1.8, abs=0.15)
    assert air("shellac_dewaxed", "spray", 75, 0.45).verdict == "go"


def test_c19_eighty_per_cent_all_day_and_a_finish_that_does_not_haze() -> None:
    bad = air("lacquer_nc", "spray", 80, 0.80)
    assert bad.verdict == "hold" and bad.gap_k == pytest.approx(6.7 / 1.8, abs=0.15)
    assert bad.do == "with retarder" and any("retarder" in way.lower() for way in bad.ways)
    assert air("lacquer_nc", "spray", 80, 0.80, retarded=True).verdict == "warn"
    assert any("oil varnish" in way for way in bad.ways)
    assert air("omu_brush", "brush", 80, 0.80).verdict == "go"


def test_c20_tung_oil_in_a_cold_garage_takes_far_longer_than_in_a_warm_room() -> None:
    cold, warm = (dry_days(shop_at(f, f), "tung_pure", "wipe", "next coat") for f in (52, 70))
    assert cold > 1.5 * warm
    frost = dry_days(shop_at(40, 40), "tung_pure", "wipe", "next coat")
    assert frost > 25  # told: 25 to 30 days at the earliest


def test_c27_varnish_below_its_label_is_held_and_says_the_ways_out() -> None:
    cold = air("omu_brush", "brush", 52, 0.5)
    assert cold.verdict == "hold" and cold.tests[0].rule == "least temperature" and "Warm" in cold.mend
    assert air("omu_brush", "brush", 65, 0.5).verdict == "go"


@pytest.mark.parametrize("material", ["tung_pure", "omu_wipe", "linseed_boiled"])
def test_c20_c27_c28_too_cold_to_wipe_is_said_with_the_least(material: str) -> None:
    cold = air(material, "wipe", 40, 0.60)
    assert cold.verdict == "hold" and cold.tests[0].rule == "least temperature"
    assert air(material, "wipe", 65, 0.50).verdict == "go"


def test_c28_no_good_hour_in_a_garage_in_frost_and_many_in_a_heated_one() -> None:
    lay, now = Lay("omu_brush", "brush"), datetime(2027, 1, 4, 8, tzinfo=shop_at(60, 60).zone)
    frost, warm = (week_of(shop_at(*f), FACTS, "garage", [("Varnish", lay)], now) for f in ((36, 34), (68, 60)))
    assert not frost.rows[0].spans
    assert len({s.start.date() for s in warm.rows[0].spans}) == 7


def vapour(words: str, ml: float, by: str, m3: float, changes: float, flame: bool = False):
    return vapour_answer(FACTS, stuff_of(FACTS, words, by), ml, by, m3, changes, flame=flame)


@pytest.mark.parametrize("heater", ["unvented", "vented", "wood stove"])
def test_c62_no_flame_beside_lacquer_however_much_air(heater: str) -> None:
    answer = air("lacquer_nc", "spray", 70, 0.4, heater=heater)
    assert answer.verdict == "refuse" and answer.tests[0].rule == "flame"
    assert vapour("nitrocellulose lacquer", 50, "spray", 200, 20, flame=True).verdict == "refuse"
    for harmless in ("none", "electric"):
        assert air("lacquer_nc", "spray", 70, 0.4, heater=harmless).verdict == "go"
    assert air("wb_acrylic", "spray", 70, 0.4, heater=heater).verdict != "refuse"


def test_c63_a_floor_of_varnish_in_a_shut_room_and_a_board_in_an_airy_one() -> None:
    floor = vapour("brushing urethane varnish", 2000, "brush", 50, 0.3)
    assert floor.verdict in ("stop", "refuse", "warn") and floor.burnable_m3 > 10
    assert vapour("brushing urethane varnish", 2000, "brush", 50, 0.3, flame=True).verdict == "refuse"
    assert vapour("brushing urethane varnish", 20, "brush", 200, 6).verdict == "go"


def test_c65_rags_at_once_after_oil_and_none_after_shellac(planned, board) -> None:
    from rakelight.schedule.cautions import AFTER, cautions_of

    for coat, live in (('do = "oil", with = "boiled linseed oil"', True),
                       ('do = "coat", with = "water-borne acrylic", by = "brush"', False)):  # fmt: skip
        _, work, _, facts, _ = planned(board('do = "sand", grits = [120, 180]', coat))
        laid = next(t for t in work.jobs["board"].tasks if t.lay)
        after = [c for c in cautions_of(work, laid, facts) if c.when == AFTER]
        assert any("Oil rags" in " ".join(c.text) for c in after) is live
