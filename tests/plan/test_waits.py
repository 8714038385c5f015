"""Every case of the waits on histories small enough to work out by hand, at 21 C and 50 % unless it says."""

import math
from dataclasses import replace

import numpy as np
import pytest

from rakelight.errors import RakelightError, SourceKind
from rakelight.facts import load
from rakelight.facts.look_up import look_up
from rakelight.plan.clock import WATER
from rakelight.plan.waits import Happened, Stay, Waits
from rakelight.schedule.tasks import Lay
from rakelight.shop.climate import HourlyAir
from rakelight.spread import Z90, Spread

HOURS = 9600
ROOM = (Stay("room", 0.0),)
SHELLAC = Lay("shellac_dewaxed", "brush", cut_lb=2.0, dry_um=11.7)
LACQUER = Lay("lacquer_nc", "spray", dry_um=17.0)
OIL = Lay("linseed_boiled", "wipe")
VARNISH = Lay("omu_brush", "brush", dry_um=32.0)
WIPED = Lay("omu_brush", "wipe", dry_um=8.0)
ACRYLIC = Lay("wb_acrylic", "brush", dry_um=24.3)
FILLER = Lay("filler_wb_clear", "trowel")
WAX = Lay("wax_paste", "wipe", dry_um=1.5)


def flat(temp_c: float, rh: float = 0.5) -> HourlyAir:
    return HourlyAir(np.full(HOURS, temp_c), np.full(HOURS, rh))


def cold_nights() -> HourlyAir:
    day = (np.arange(HOURS) % 24 >= 8) & (np.arange(HOURS) % 24 < 17)
    return HourlyAir(np.where(day, 18.0, 9.0), np.where(day, 0.45, 0.75))


AIR = {"room": flat(21.0), "cool": flat(15.0), "cellar": flat(8.0), "shop": cold_nights()}
WAITS = Waits(load(), AIR)


def lay(hour: float, coat: Lay) -> Happened:
    return Happened(hour, "lay", coat)


def after(events: list[Happened], readiness: str, over: Lay | None = None, **how: bool) -> tuple[float, ...]:
    """Low, likely, high hours since the last event."""
    found = WAITS.explain(events, ROOM, readiness, over, **how)
    return tuple(h - events[-1].hour for h in (found.low, found.likely, found.high))


# -- readinesses ------------------------------------------------------------------------------------


def test_bare_face() -> None:
    assert WAITS.ready([], ROOM, "sand") == -math.inf
    assert WAITS.ready([Happened(7.0, "sand")], ROOM, "use") == 7.0


@pytest.mark.parametrize(
    ("readiness", "hours"),
    [
        ("dust-free", (1.5, 4, 8)),
        ("next coat", (6, 8, 12)),
        ("sand", (8, 18, 24)),
        ("handle", (8, 18, 24)),
        ("turn", (8, 18, 24)),
        ("show", (8, 18, 24)),
        ("assemble", (8, 18, 24)),
        ("rub", (336, 504, 720)),
        ("pack", (72, 168, 336)),
        ("use", (336, 720, 1080)),
    ],
)
def test_one_coat_of_varnish_takes_its_row(readiness: str, hours: tuple[float, ...]) -> None:
    assert after([lay(0, VARNISH)], readiness) == pytest.approx(hours)


def test_clamps_on_finish_ask_pack() -> None:
    assert after([lay(0, VARNISH)], "assemble", clamps=True) == pytest.approx((72, 168, 336))


def test_sand_takes_next_coat_where_a_row_has_no_sandable() -> None:
    assert after([lay(0, Lay("gel_stain", "wipe"))], "sand") == pytest.approx((6, 24, 48))


def test_pack_never_over_full_use() -> None:
    assert after([lay(0, Lay("dye_water", "wipe"))], "pack") == pytest.approx((4, 12, 24))


def test_unknown_words_are_refused() -> None:
    with pytest.raises(RakelightError, match="no readiness"):
        WAITS.ready([lay(0, OIL)], ROOM, "cured")
    with pytest.raises(RakelightError, match="no place"):
        WAITS.ready([lay(0, OIL)], (Stay("attic", 0.0),), "sand")
    with pytest.raises(RakelightError, match="table of materials"):
        WAITS.ready([lay(0, Lay("mystery", "brush"))], ROOM, "sand")


# -- next coat --------------------------------------------------------------------------------------


def test_own_kind_takes_its_own_time() -> None:
    assert after([lay(0, SHELLAC)], "next coat", SHELLAC) == pytest.approx((0.5, 1, 2))


@pytest.mark.parametrize(
    ("under", "over", "hours"),
    [
        (FILLER, SHELLAC, (9, 12, 24)),
        (OIL, SHELLAC, (84, 168, 336)),
        (Lay("filler_oil_paste", "trowel"), VARNISH, (24, 72, 168)),
        (VARNISH, Lay("omu_wipe", "wipe"), (6, 8, 12)),
        (OIL, VARNISH, (36, 72, 144)),
    ],
)
def test_a_pair_is_spread_as_the_lower_rows_next_coat(
    under: Lay, over: Lay, hours: tuple[float, ...]
) -> None:
    assert after([lay(0, under)], "next coat", over) == pytest.approx(hours)


def test_a_pair_never_undercuts_the_lower_coats_own_time() -> None:
    """Paste filler to itself: pair 24, its own next coat 72."""
    paste = Lay("filler_oil_paste", "trowel")
    assert after([lay(0, paste)], "next coat", Lay("filler_oil_paste", "brush"))[1] == pytest.approx(72)


def test_scuffing_between_leaves_the_pair_from_the_last_coat() -> None:
    events = [lay(0, OIL), Happened(50.0, "scuff", None, 3.0)]
    assert WAITS.ready(events, ROOM, "next coat", SHELLAC) == pytest.approx(168)


def test_under_a_barrier_the_needs_barrier_row_still_holds() -> None:
    """Waxy shellac, dewaxed after 1 h, varnish: the waxy coat keeps its 2 h as well as the barrier."""
    waxy = Lay("shellac_waxy", "brush", dry_um=11.7)
    events = [lay(0, waxy), lay(1, SHELLAC)]
    assert WAITS.ready(events, ROOM, "next coat", VARNISH) == pytest.approx(3.0)
    sure = WAITS.explain(events, (Stay("cool", 0.0),), "next coat", VARNISH)
    assert sure.low <= sure.likely <= sure.high
    raw = [lay(0, Lay("linseed_raw", "wipe")), lay(100, SHELLAC)]
    assert WAITS.ready(raw, ROOM, "next coat", ACRYLIC) == pytest.approx(720)
    assert WAITS.ready(raw, ROOM, "next coat", ACRYLIC, z={"linseed_raw": Z90}) == pytest.approx(720)


def test_rest_after_three_shellac_or_four_lacquer_coats_of_a_day() -> None:
    three = [lay(9, SHELLAC), lay(11, SHELLAC), lay(13, SHELLAC)]
    assert after(three[:2], "next coat", SHELLAC)[1] == pytest.approx(1)
    assert after(three, "next coat", SHELLAC) == pytest.approx((6, 8, 12))
    assert after(three, "next coat", ACRYLIC)[1] == pytest.approx(3)
    across_midnight = [lay(21, SHELLAC), lay(23, SHELLAC), lay(25, SHELLAC)]
    assert WAITS.ready(across_midnight, ROOM, "next coat", SHELLAC) == pytest.approx(24 + 8)
    next_morning = [lay(21, SHELLAC), lay(23, SHELLAC), lay(33, SHELLAC)]
    assert after(next_morning, "next coat", SHELLAC)[1] == pytest.approx(1)
    sprayed = [lay(9 + n, LACQUER) for n in range(4)]
    assert after(sprayed[:3], "next coat", LACQUER)[1] == pytest.approx(0.75)
    assert after(sprayed, "next coat", LACQUER)[1] == pytest.approx(8)


def test_the_day_is_the_one_told() -> None:
    waits = Waits(load(), AIR, day_of=lambda hour: int((hour + 12) // 24))
    noon = [lay(10, SHELLAC), lay(11, SHELLAC), lay(13, SHELLAC)]
    assert waits.ready(noon, ROOM, "next coat", SHELLAC) == pytest.approx(12 + 8)
    assert WAITS.ready(noon, ROOM, "next coat", SHELLAC) == pytest.approx(13 + 8)


# -- the whole stack --------------------------------------------------------------------------------


def test_readiness_is_the_latest_of_all_coats() -> None:
    """A seal coat laid over young oil is not ready to sand before the oil is."""
    assert WAITS.ready([lay(0, OIL), lay(2, SHELLAC)], ROOM, "sand") == pytest.approx(48)
    assert WAITS.ready([lay(0, OIL), lay(300, SHELLAC)], ROOM, "use") == pytest.approx(504)


def test_two_oil_coats_a_day_apart() -> None:
    assert after([lay(0, OIL), lay(24, OIL)], "next coat", SHELLAC) == pytest.approx((84, 168, 360))
    assert WAITS.unfinished([lay(0, OIL), lay(24, OIL)], ROOM) == pytest.approx((0, 0, 24))


def test_what_is_short_is_carried_on() -> None:
    """Tung (24, 48, 72) at 0, 12 and 24 h: short 36, then 36 + 36."""
    tung = Lay("tung_pure", "wipe")
    coats = [lay(0, tung), lay(12, tung), lay(24, tung)]
    assert WAITS.unfinished(coats, ROOM)[1] == pytest.approx(72)
    assert after(coats, "handle")[1] == pytest.approx(72 + 72)


def test_film_of_fused_coats_after_scuffs() -> None:
    """Six coats of 11.7 um less five scuffs of 3 make 55.2 um."""
    events = [lay(0, SHELLAC)]
    for n in range(1, 6):
        events += [Happened(24.0 * n - 1, "scuff", None, 3.0), lay(24.0 * n, SHELLAC)]
    assert after(events, "rub")[1] == pytest.approx(336 * (55.2 / 75) ** 2)


def test_waxy_and_dewaxed_shellac_are_one_film_and_lacquer_another() -> None:
    waxy = Lay("shellac_waxy", "brush", dry_um=30.0)
    dewaxed = replace(SHELLAC, dry_um=30.0)
    assert after([lay(0, waxy), lay(5, dewaxed)], "rub")[1] == pytest.approx(336 * 0.8**2)
    thick = Lay("lacquer_nc", "spray", dry_um=60.0)
    assert after([lay(0, dewaxed), lay(5, thick)], "rub")[1] == pytest.approx(336 * 0.8**2)


def test_thin_film_never_under_handling() -> None:
    seal = replace(SHELLAC, dry_um=3.0)
    assert after([lay(0, seal)], "rub") == pytest.approx((1, 3, 6))


def test_a_thin_film_does_not_shorten_a_pair() -> None:
    assert after([lay(0, SHELLAC)], "wax") == pytest.approx((36, 72, 144))


def test_film_factor_leaves_early_times_and_crosslinking_alone() -> None:
    assert after([lay(0, replace(SHELLAC, dry_um=150.0))], "sand")[1] == pytest.approx(2)
    precat = Lay("lacquer_precat", "spray", dry_um=20.0)
    assert after([lay(0, precat)], "rub")[1] == pytest.approx(168)


def film_um(coats: list[Happened], stays: tuple[Stay, ...] = ROOM) -> float:
    """Film that counts as one with the last coat."""
    return WAITS.doses.stack(WAITS.shape(coats, stays).steps)[-1].film_um


def test_water_borne_coats_are_one_film_only_within_two_reference_hours() -> None:
    """24.3 um a coat: two within 2 h are 48.6 um; later the last counts alone."""
    soon, late = [lay(0, ACRYLIC), lay(2, ACRYLIC)], [lay(0, ACRYLIC), lay(2.1, ACRYLIC)]
    assert (film_um(soon), film_um(late)) == pytest.approx((48.6, 24.3))
    assert after(soon, "rub")[1] == pytest.approx(336 * (48.6 / 75) ** 2)
    assert after(late, "rub")[1] == pytest.approx(336 * (24.3 / 75) ** 2)
    assert film_um(late, (Stay("cellar", 0.0),)) == pytest.approx(48.6)  # less than 2 reference hours in the cold
    assert film_um([*soon, lay(9, ACRYLIC), lay(10, ACRYLIC)]) == pytest.approx(48.6)


def test_precatalysed_lacquer_fuses_only_inside_its_window() -> None:
    precat = Lay("lacquer_precat", "spray", dry_um=20.0)
    assert film_um([lay(0, precat), lay(23, precat)]) == pytest.approx(40)
    assert film_um([lay(0, precat), lay(25, precat)]) == pytest.approx(20)
    assert film_um([lay(0, SHELLAC), lay(250, SHELLAC)]) == pytest.approx(2 * 11.7)


def test_the_reason_names_the_source_of_its_own_figure() -> None:
    """Boiled linseed dry to the touch is in a law; the row's default is not."""
    because = WAITS.explain([lay(0, OIL)], ROOM, "dust-free").because
    assert "Ohio" in because.source and because.kind is SourceKind.PUBLISHED
    (row,) = [r for r in look_up("boiled linseed oil") if r.table == "materials"]
    (shown,) = [e for e in row.entries if e.what.startswith("dust-free")]
    assert (shown.source, shown.kind) == (because.source, because.kind.value)


def test_thick_and_thin_varnish() -> None:
    """(1 + (coat/50)^2) / (1 + (32/50)^2), on every readiness; oil that is wiped off has none."""
    double = Lay("omu_brush", "brush", wet_um=Spread(120, 160, 220), solids_volume=Spread(0.33, 0.4, 0.46))
    factor = (1 + (64 / 50) ** 2) / (1 + (32 / 50) ** 2)
    assert after([lay(0, double)], "dust-free")[1] == pytest.approx(4 * factor)
    assert after([lay(0, double)], "use")[1] == pytest.approx(720 * factor)
    assert after([lay(0, WIPED)], "sand")[1] == pytest.approx(18 * (1 + 0.16**2) / (1 + 0.64**2))
    flood = Lay("linseed_boiled", "brush", wet_um=Spread(20, 40, 60), solids_volume=Spread(1, 1, 1))
    assert after([lay(0, flood)], "sand")[1] == pytest.approx(48)


# -- rub and wax ------------------------------------------------------------------------------------


def test_wax_unrubbed_by_the_pair_rubbed_by_the_clock() -> None:
    coats = [lay(0, SHELLAC), lay(5, SHELLAC)]
    assert after(coats, "wax", WAX)[1] == pytest.approx(72)
    rubbed = [*coats, Happened(400.0, "rub", None, 15.0)]
    assert after(rubbed, "wax", WAX) == pytest.approx((12, 24, 72))
    in_the_cold = WAITS.ready(rubbed, (Stay("cellar", 0.0),), "wax", WAX)
    assert in_the_cold == pytest.approx(424)


def test_wax_on_wax_and_pack_by_full_use_of_wax() -> None:
    waxed = [lay(0, SHELLAC), lay(400, WAX)]
    assert after(waxed, "wax", WAX) == pytest.approx((4, 12, 24))
    assert after(waxed, "pack") == pytest.approx((12, 24, 72))


def test_rubbed_part_packs_when_the_film_has_had_its_time_too() -> None:
    coats = [lay(0, VARNISH)]
    assert WAITS.ready([*coats, Happened(100.0, "rub", None, 10.0)], ROOM, "pack") == pytest.approx(168)
    assert WAITS.ready([*coats, Happened(600.0, "rub", None, 10.0)], ROOM, "pack") == pytest.approx(600)


# -- air and places ---------------------------------------------------------------------------------


def test_part_carried_to_another_place() -> None:
    """10 h of oil stand still in the cellar; all 18 are done in the room."""
    stays = (Stay("cellar", 0.0), Stay("room", 10.0))
    assert WAITS.ready([lay(0, OIL)], stays, "dust-free") == pytest.approx(28)
    back = (Stay("room", 0.0), Stay("cellar", 6.0), Stay("room", 30.0))
    assert WAITS.ready([lay(0, OIL)], back, "dust-free") == pytest.approx(42)
    assert WAITS.ready([lay(0, OIL)], (Stay("cellar", 0.0),), "dust-free") == math.inf


def test_closed_inside_is_slower_for_oil_alone() -> None:
    assert after([lay(0, OIL)], "sand", closed=True) == pytest.approx((36, 72, 108))
    assert after([lay(0, SHELLAC)], "sand", closed=True) == pytest.approx((1, 2, 4))


def test_late_law_of_shellac_minds_cold_more_than_oil() -> None:
    def slower(coat: Lay, readiness: str) -> float:
        events = [lay(0, coat)]
        return WAITS.ready(events, (Stay("cool", 0.0),), readiness) / WAITS.ready(events, ROOM, readiness)

    assert slower(SHELLAC, "use") == pytest.approx(1.98, rel=0.01)
    assert slower(OIL, "use") == pytest.approx(1.55, rel=0.01)
    assert slower(Lay("wb_2k_pu", "brush"), "use") == pytest.approx(1.55, rel=0.01)
    assert slower(ACRYLIC, "dust-free") == pytest.approx(1.19, rel=0.02)
    assert slower(SHELLAC, "dust-free") == pytest.approx(6265 / 4310, rel=0.01)
    assert slower(Lay("dye_water", "wipe"), "use") == pytest.approx(1.19, rel=0.02)


def test_cold_widens_the_high_end_only() -> None:
    """At 15 C the cold is 2.4 wide: sandable of oil (24, 48, 72) goes to 48 exp(sqrt(ln2 1.5 + ln2 2.4))."""
    rate = WAITS.clock.rate(WAITS.doses.laws(load().materials["linseed_boiled"])[0], "cool")[0]
    found = WAITS.explain([lay(0, OIL)], (Stay("cool", 0.0),), "sand")
    wide = math.exp(math.hypot(math.log(1.5), math.log(2.4)))
    assert (found.low, found.likely) == pytest.approx((24 / rate, 48 / rate))
    assert found.high == pytest.approx(48 * wide / rate, rel=1e-3)
    early = WAITS.explain([lay(0, SHELLAC)], (Stay("cool", 0.0),), "handle")
    assert early.high / early.likely == pytest.approx(2.0)


def test_a_deviate_moves_one_material() -> None:
    events = [lay(0, OIL)]
    found = WAITS.explain(events, ROOM, "sand")
    assert WAITS.ready(events, ROOM, "sand", z={"linseed_boiled": Z90}) == pytest.approx(found.high)
    assert WAITS.ready(events, ROOM, "sand", z={"linseed_boiled": -Z90}) == pytest.approx(found.low)
    assert WAITS.ready(events, ROOM, "sand", z={"shellac_dewaxed": 2.0}) == found.likely


def test_this_shops_factor_moves_every_time_of_a_material() -> None:
    slow = Waits(load(), AIR, {"drying:linseed_boiled": 1.5})
    found = slow.explain([lay(0, OIL)], ROOM, "next coat", SHELLAC)
    assert (found.low, found.likely, found.high) == pytest.approx((126, 252, 504))
    assert "1.5 times the book" in found.because.says
    assert slow.ready([lay(0, SHELLAC)], ROOM, "sand") == pytest.approx(2)


# -- windows and laying -----------------------------------------------------------------------------


def test_recoat_window() -> None:
    assert WAITS.window_end([lay(3, VARNISH)], ROOM, VARNISH) == pytest.approx(27)
    assert WAITS.window_end([lay(3, VARNISH), Happened(30.0, "scuff", None, 3.0)], ROOM, VARNISH) == math.inf
    assert WAITS.window_end([lay(3, VARNISH)], ROOM, WAX) == math.inf
    assert WAITS.window_end([lay(3, SHELLAC)], ROOM, SHELLAC) == math.inf
    assert WAITS.window_end([], ROOM, VARNISH) == math.inf
    assert WAITS.window_end([lay(3, VARNISH)], (Stay("cool", 0.0),), VARNISH) > 35


def test_below_the_minimum_is_a_gap() -> None:
    """The shop has 18 C from 8 to 17, 9 C at night."""
    assert not WAITS.may_lay(SHELLAC, "shop", 7.9)
    assert WAITS.may_lay(SHELLAC, "shop", 8.0)
    assert WAITS.may_lay(SHELLAC, "shop", 16.5)
    assert not WAITS.may_lay(SHELLAC, "shop", 16.9), "not dust-free before it falls cold"
    assert WAITS.next_hour_to_lay(SHELLAC, "shop", 16.9) == 32.0
    assert not any(WAITS.may_lay(SHELLAC, "cellar", h) for h in range(0, 200, 7))
    assert WAITS.next_hour_to_lay(SHELLAC, "cellar", 0.0) == math.inf


def test_water_borne_must_be_ready_to_sand_before_the_cold() -> None:
    rate = WAITS.clock.rate(WATER, "shop")[12]
    last = 17 - 2 / rate
    assert WAITS.may_lay(ACRYLIC, "shop", last - 0.01)
    assert not WAITS.may_lay(ACRYLIC, "shop", last + 0.01)


def test_oil_is_judged_by_the_hour_of_laying_only() -> None:
    assert WAITS.may_lay(OIL, "shop", 16.9)
    assert not WAITS.may_lay(OIL, "shop", 17.1)
    assert not any(WAITS.may_lay(Lay("alkyd_varnish", "brush"), "shop", h) for h in (12.0, 16.0))
