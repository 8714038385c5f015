"""Cases C47 to C60, the wood: what should have been said, and sound twins that stay silent."""

import math

import numpy as np
import pytest

from rakelight.facts import load
from rakelight.papers.wood_text import crack_lines, cup_lines, fit_lines, ready_lines
from rakelight.physics.cup import cup_of_tilt_mm
from rakelight.physics.emc import emc_pct
from rakelight.physics.film_damp import face_resistance
from rakelight.physics.moisture import Board, Side, simulate
from rakelight.schedule import wood_cups, wood_moves, wood_ready
from rakelight.schedule.wood_air import own_year
from rakelight.schedule.wood_cups import Panel
from rakelight.schedule.wood_known import coated, wood_known
from rakelight.schedule.wood_ready import Reading
from rakelight.units import MM_PER_IN, f_to_c

FACTS = load()


def inches(mm):
    return mm / MM_PER_IN


def wood(name):
    return wood_known(FACTS, name)


def move(name, wide_in, start, end, cut="flat"):
    return wood_moves.moves(wood(name), wide_in * MM_PER_IN, cut, start, end)


def fit(a_move, fixed="middle"):
    return wood_moves.fits(FACTS, a_move, a_move, fixed, "in")


def ready(name, thick_in, mc, target, **more):
    reading = Reading(wood(name), thick_in * MM_PER_IN, mc, **more)
    return wood_ready.ready(FACTS, reading, target, 20.0, wood_ready.as_humidity(20.0, target))


def _walnut_top(under_hour):
    """Walnut, an inch by 40, coats of urethane: the top at once, beneath so many hours later, in dry winter air."""
    panel = Panel(wood("black walnut"), 40 * MM_PER_IN, MM_PER_IN, "flat", coated(FACTS, "bare"), coated(FACTS, "bare"))
    hours = np.arange(24 * 14)
    air = (np.full(hours.size, 16.0), np.full(hours.size, 0.30))
    bare, film = face_resistance(None), face_resistance(163.0)
    top, under = np.full(hours.size, film), np.where(hours < under_hour, bare, film)
    board = Board(MM_PER_IN, panel.wood.specific_gravity, FACTS.likely("damp_spreads_times"))
    tilt = simulate(board, Side(*air, top), Side(*air, under), 7.5).tilt_pct_per_mm
    return cup_of_tilt_mm(tilt, panel.wood.moves("flat"), panel.wide_mm)


def test_c47_coats_a_day_apart_cup_it_and_the_same_day_do_not() -> None:
    apart = _walnut_top(24)
    assert 0.1 < inches(np.abs(apart).max()) < 0.5
    assert abs(apart[-1]) < 0.75 * np.abs(apart).max()  # comes back as the faces even out
    assert np.abs(_walnut_top(0)).max() < 1e-6


def test_c49_bare_maple_on_the_floor_of_a_heated_house_cups_within_a_week() -> None:
    bare, floor = coated(FACTS, "bare"), coated(FACTS, "floor")
    panel = Panel(wood("sugar maple"), 42 * MM_PER_IN, 1.1 * MM_PER_IN, "flat", bare, floor)
    found = wood_cups.cup(FACTS, panel, 8.0, 21.0, 0.28)
    assert inches(abs(found.on(6))) > 0.5 and found.direction == "hollow on top"
    stood = Panel(panel.wood, panel.wide_mm, panel.thick_mm, "flat", bare, bare)
    assert wood_cups.cup(FACTS, stood, 8.0, 21.0, 0.28).direction == "flat"


def test_c51_a_reading_the_air_cannot_have_made_is_doubted() -> None:
    lain = emc_pct(21.1, 0.425)
    found = ready("red oak", 1, 5.2, 5.0, pin=True, lain_pct=lain)
    assert found.verdict == wood_ready.DOUBT
    assert any("one of these is wrong" in d for d in found.doubts) and any("pin meter" in d for d in found.doubts)
    assert inches(-move("red oak", 20, 8, 5).change_mm.likely) == pytest.approx(0.22, abs=0.005)


def test_c51_a_reading_that_fits_its_past_is_believed() -> None:
    found = ready("red oak", 1, 8.2, 8.0, pin=True, lain_pct=emc_pct(21.1, 0.425), lain_weeks=8)
    assert found.verdict == wood_ready.GO and not found.doubts


@pytest.mark.parametrize(("weeks", "temp_c", "reads", "agrees"), [
    (1.5, 20.0, 17.0, True), (2.0, 20.0, 17.0, False), (8.0, 2.0, 14.5, True), (8.0, 20.0, 14.5, False),
])  # fmt: skip
def test_c51_what_a_past_can_have_made_goes_by_its_days_and_its_air(weeks, temp_c, reads, agrees) -> None:
    """Wet oak is not dry after a week and a half, and in the cold not after eight: such a reading is believed."""
    reading = Reading(wood("red oak"), MM_PER_IN, reads, lain_pct=8.0, lain_weeks=weeks)
    found = wood_ready.ready(FACTS, reading, 8.0, temp_c, wood_ready.as_humidity(temp_c, 8.0))
    assert any("one of these is wrong" in d for d in found.doubts) is not agrees


def test_c52_from_a_damp_shed_to_a_heated_house() -> None:
    shed, house = emc_pct(f_to_c(50), 0.80), emc_pct(f_to_c(70), 0.40)
    assert shed - house == pytest.approx(8.7, abs=0.1)
    thick = wood_moves.moves(wood("sugar maple"), 0.75 * MM_PER_IN, "flat", shed, house)
    assert inches(-thick.change_mm.likely) == pytest.approx(0.023, abs=0.001)
    found = ready("sugar maple", 0.75, shed, house)
    assert found.verdict == wood_ready.WAIT and found.weeks.low >= 1 and found.weeks.high <= 12
    waits_in_shed = Reading(wood("sugar maple"), 19.0, shed)
    stays = wood_ready.ready(FACTS, waits_in_shed, house, f_to_c(50), 0.80)
    assert stays.verdict == wood_ready.MOVE and stays.weeks is None
    assert ready("sugar maple", 0.75, house, house).verdict == wood_ready.GO


def test_c53_steel_screwed_across_the_grain() -> None:
    dry = move("red oak", 36, 9, 6)
    assert inches(-dry.change_mm.likely) == pytest.approx(0.40, abs=0.01)
    assert dry.strain_pct == pytest.approx(-1.1, abs=0.02)
    assert "Do not glue or screw it tight" in fit(dry).glued_says and "tears" in fit(dry).glued_says
    little = fit(move("red oak", 36, 8, 7.5))
    assert "under half of what tears wood (from memory)" in little.glued_says and "holds" not in little.glued_says


def test_c54_a_winter_crack_is_not_filled_in_winter() -> None:
    """1/8 in filled of half an inch of swelling takes 25 % of it as crush; a part that hardly moves crushes nothing."""
    assert wood_moves.crushed_share(MM_PER_IN / 8, MM_PER_IN / 2) == pytest.approx(0.25)
    said = " ".join(" ".join(crack_lines(MM_PER_IN / 8, MM_PER_IN / 2, "in", 200)).split())
    assert "In the dry season do not fill it" in said and "free what holds" in said and "25 %" in said
    counter = fit(move("red oak", 25, 6, 12))
    assert "crushed" in counter.glued_says and "Do not glue or screw it tight" in counter.glued_says


def test_c54_twin_where_nothing_swells_no_crush_is_told() -> None:
    assert wood_moves.crushed_share(3.0, 0.0) == 0.0
    assert "crushed" not in " ".join(crack_lines(3.0, 0.0, "mm", 200))


def test_c56_a_pale_line_beside_the_stiles() -> None:
    dry = move("sugar maple", 19, emc_pct(21.0, 0.50), emc_pct(21.0, 0.25))
    assert inches(-dry.change_mm.likely) == pytest.approx(0.26, abs=0.01)
    said = " ".join(fit_lines(fit(dry), "in", 200))
    assert "colour it before the frame is glued" in said
    assert 0.13 <= inches(fit(dry).bare_line_mm) <= 0.1303 * 1.2 + 1 / 32
    grows = move("sugar maple", 19, 6, 8)
    assert "comes to light" not in " ".join(fit_lines(fit(grows), "in", 200))


def test_c57_the_underside_changes_the_cup_and_not_the_end() -> None:
    """Both schools are right about something: the same moisture in the end, a cup on the way."""
    oak, film, bare = wood("red oak"), coated(FACTS, "brushing urethane varnish x3"), coated(FACTS, "bare")
    one = Panel(oak, 48 * MM_PER_IN, MM_PER_IN, "flat", film, bare)
    both = Panel(oak, 48 * MM_PER_IN, MM_PER_IN, "flat", film, film)
    cups = [wood_cups.cup(FACTS, p, 8.0, 20.0, 0.60) for p in (one, both)]
    assert cups[0].peak_mm.likely > 5 and cups[1].direction == "flat"
    said = " ".join(cup_lines(one, cups[0], (8.0, 11.0), [], None, "in", 200))
    assert "No outside truth was found for cup in mm" in said


def _year(top, under, dry=0.30, damp=0.60):
    panel = Panel(wood("black walnut"), 400.0, 22.0, "flat", coated(FACTS, top), coated(FACTS, under))
    return wood_cups.year_cup(FACTS, panel, own_year(dry, damp))


def test_c57_through_the_seasons_unequal_faces_bend_both_ways_and_equal_ones_do_not() -> None:
    """One face coated: hollow while it grows damp, round while it dries. Alike, or in air that never changes: flat."""
    one, other = _year("shellac x3", "bare"), _year("bare", "shellac x3")
    assert one.hollow_mm.likely > 1 < one.round_mm.likely
    assert one.air.season(one.hollow_day) == "summer" and one.air.season(one.round_day) == "winter"
    assert one.hollow_mm.low < one.hollow_mm.likely < one.hollow_mm.high
    assert other.round_mm.likely == pytest.approx(one.hollow_mm.likely, abs=0.02)  # the same board, turned over
    for flat in (_year("shellac x3", "shellac x3"), _year("shellac x3", "bare", 0.45, 0.45)):
        assert max(flat.hollow_mm.high, flat.round_mm.high) < 0.01


def test_c58_slabs_at_sixteen_per_cent_wait() -> None:
    for name, low, high in (("black walnut", 0.5, 0.56), ("red oak", 0.68, 0.74)):
        assert low < inches(-move(name, 24, 16, 8).change_mm.likely) < high
        found = ready(name, 3, 16, 8)
        assert found.verdict == wood_ready.WAIT and found.weeks.likely > 20
        assert ready(name, 3, 8.5, 8).verdict == wood_ready.GO


def test_c59_a_slab_forced_dry_is_wet_inside() -> None:
    forced = ready("black walnut", 2, 6.0, 8.0, core_pct=11.0)
    assert forced.verdict != wood_ready.GO
    assert any("agree within 1 %" in d for d in forced.doubts)
    assert "Do not flatten" in " ".join(ready_lines(forced, 0.0, False, 200))
    even = ready("black walnut", 2, 7.6, 8.0, core_pct=8.2)
    assert even.verdict == wood_ready.GO and not even.doubts


@pytest.mark.parametrize(("wide_in", "total", "side"), [(18, 0.33, 0.17), (40, 0.74, 0.37)])
def test_c60_which_fastener_for_which_width(wide_in, total, side) -> None:
    grown = move("red oak", wide_in, 7, 12)
    assert inches(grown.change_mm.likely) == pytest.approx(total, abs=0.01)
    slot = inches(fit(grown).slot_mm)
    assert side * 1.2 - 0.01 <= slot <= side * 1.2 + 1 / 32 + 0.01
    assert math.isclose(slot * 32, round(slot * 32), abs_tol=1e-6)


def fasteners(a_move):
    return {f.kind: f for f in fit(a_move).fasteners}


def test_c60_each_fastener_by_itself() -> None:
    """A plate of 3/4 in swing serves to 18 in and not to 40; buttons there want 3/8 in of room; a clip that must hold a
    top which shrinks much is too short, and one that only grows is not."""
    small, wide = (fasteners(move("red oak", w, 7, 12)) for w in (18, 40))
    assert small["plate"].serves and not wide["plate"].serves
    assert not fasteners(move("red oak", 20, 7, 12))["plate"].serves
    assert inches(wide["button"].room_mm) >= 3 / 8 and wide["button"].serves and wide["slot"].serves
    assert small["clip"].serves and not fasteners(move("red oak", 40, 12, 7))["clip"].serves
    shrinks = fasteners(move("red oak", 40, 12, 7))
    assert inches(shrinks["button"].engaged_mm) >= 3 / 8 + 0.2 and shrinks["button"].room_mm == 0
    said = " ".join(" ".join(fit_lines(fit(move("red oak", 40, 12, 7)), "in", 200)).split())
    assert "too short, it lets go" in said and "Button: its tongue" in said


def test_the_warning_of_unequal_faces_carries_figures_and_the_balanced_twin_is_silent(check, board) -> None:
    """Wide walnut coated on one face: both schools, and the core's estimate; small parts and equal faces: none."""
    varnish = 'do = "coat", with = "brushing urethane varnish", coats = 3, by = "brush"'
    steps = ('do = "sand", grits = [120, 180, 220]', varnish)
    wide, bare = "wide = 40\nthick = 1", 'faces = { underside = "bare" }'
    one = next(f for f in check(board(*steps, wood="black walnut", sizes=wide, part=bare)) if f.id == "unequal-faces")
    assert "One school" in one.says and "would likely cup" in one.says and "estimate" in one.says
    assert not [f for f in check(board(*steps, wood="black walnut", sizes=wide)) if f.id == "unequal-faces"]
    one_face = (steps[0], f'{varnish}, on = "top"')
    small = next(f for f in check(board(*one_face, wood="black walnut")) if f.id == "unequal-faces")
    assert "would likely cup" not in small.says
