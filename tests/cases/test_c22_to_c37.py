"""Real cases C22 to C37: drying, cold, one finish over another, each with a sound twin.

Source: cases.md of the shared folder, by case id; the figures asserted are those told there. Nothing in src
knows a case. The twin changes one input and must be silent about it.
"""

import pytest

from rakelight.errors import Severity
from rakelight.facts import load

SAND = 'do = "sand", grits = [120, 150, 180]'
OIL = 'do = "oil", with = "raw linseed oil"'
STAIN = 'do = "stain", with = "pigmented wiping stain"'
GEL = 'do = "stain", with = "gel stain"'
SEAL = 'do = "seal", with = "dewaxed shellac", cut = 2, by = "brush"'
WAXY = 'do = "seal", with = "waxy shellac", cut = 2, by = "brush"'
SCUFF = 'do = "scuff", grit = 320'
URETHANE = 'do = "coat", with = "brushing urethane varnish", by = "brush", coats = 3, scuff = 320'
WIPED = 'do = "coat", with = "wiping urethane varnish", by = "wipe", coats = 4, scuff = 400'
SPRAYED = 'do = "coat", with = "water-borne acrylic-urethane", by = "spray", coats = 2, scuff = 400'
BRUSHED = 'do = "coat", with = "water-borne acrylic-urethane", by = "brush", coats = 2, scuff = 400'


def shop(temp_f, rh=50):
    return f"""
shop = "One room"
zone = "America/Chicago"
hours = {{ mon-sat = "8:00-12:00, 13:00-17:00" }}
[place.garage]
size = "20 ft x 20 ft x 9 ft"
air = [{{ open = "{temp_f} F, {rh} %", closed = "{temp_f} F, {rh} %" }}]
[gear]
brush = true
gun = {{ set_up = "10 min", clean = "15 min" }}
"""


def of(found, id):
    return [f for f in found if f.id == id]


def the(found, id):
    met = of(found, id)
    assert met, [f.id for f in found]
    return met[0]


# C22 several coats of oil in one evening, surplus wiped off next morning


def test_c22_surplus_left_till_morning(check, board):
    bad = board(SAND, OIL, 'own = "wipe off the surplus", at_least = "overnight"', wood="European beech")
    one = the(check(bad), "oil-left-wet")
    assert one.severity is Severity.WARNING
    assert one.figures["soak_min"] <= 30  # "wipe off within the half hour"


def test_c22_coats_of_raw_oil_one_after_another(check, board):
    bad = board(SAND, f'{OIL}, coats = 3, at_most = "1 h"', wood="European beech")
    one = the(check(bad), "recoat-too-soon")
    assert one.figures["wait_h"] >= 48  # days, not an evening


def test_c22_twin_wiped_within_the_half_hour(check, board):
    good = board(SAND, OIL, 'own = "wipe again where it weeps", at_least = "20 min"', wood="European beech")
    found = check(good)
    assert not of(found, "oil-left-wet") and not of(found, "recoat-too-soon")


# C23 ten-year-old oil


BLEND = 'do = "oil", with = "oil-varnish blend"'


def test_c23_a_can_opened_ten_years_ago(check, board):
    """C23: about a year's life once opened; ten years on it never set. A drop on glass would have told."""
    one = the(check(board(SAND, f'{BLEND}, opened = "1 March 2017"', wood="black walnut")), "can-past-its-life")
    assert one.severity is Severity.WARNING
    assert one.figures["age_months"] == pytest.approx(119, abs=1)  # March 2017 to February 2027
    assert "drop on glass" in one.mend


def test_c23_twin_opened_last_autumn(check, board):
    found = check(board(SAND, f'{BLEND}, opened = "1 October 2026"', wood="black walnut"))
    assert not of(found, "can-past-its-life")



# C25 oil varnish on cocobolo


def test_c25_varnish_straight_on_cocobolo(check, board):
    one = the(check(board(SAND, URETHANE, wood="cocobolo")), "oily-wood-unsealed")
    assert one.severity is Severity.WARNING
    # told: three days and still tacky, often weeks, no dependable end; a 1 to 2 lb cut of dewaxed shellac at once
    assert "for days or weeks" in one.says and "no date" in one.says
    assert "1-2 lb dewaxed shellac" in one.mend and "solvent" in one.mend


def test_c25_twin_sealed_first(check, board):
    assert not of(check(board(SAND, SEAL, URETHANE, wood="cocobolo")), "oily-wood-unsealed")


def test_c25_twin_other_wood(check, board):
    assert not of(check(board(SAND, URETHANE, wood="black walnut")), "oily-wood-unsealed")


def test_c25_twin_other_woods_beside_it_dry_in_a_day_or_two(planned, board):
    """The case: "not a temperature matter: other woods beside it dry in a day or two", at room warmth."""
    *_, plan = planned(board(SAND, URETHANE, wood="black walnut"), shop(70))
    coat = plan.placed["board/coat-1"]
    dry = {ready.for_: (ready.likely - coat.end).total_seconds() / 3600 for ready in coat.ready}
    assert 12 <= dry["sand"] <= 48, dry


# C27 varnish in an unheated garage


@pytest.mark.parametrize("plan", [False, True])
def test_c27_garage_that_stays_below_the_label(check, board, plan):
    one = the(check(board(SAND, URETHANE), shop(52), plan=plan), "air-outside-range")
    assert one.severity is Severity.ERROR
    assert one.figures["min_temp_c"] == pytest.approx((55 - 32) / 1.8, abs=0.6)  # the label's 55 F
    for way in ("heat", "warm the piece", "box"):
        assert way in one.mend


def test_c27_twin_warmer(check, board):
    assert not of(check(board(SAND, URETHANE), shop(64)), "air-outside-range")


# C30 water-borne over two-day-old oil stain


def test_c30_two_days_are_too_few(check, board):
    one = the(
        check(board(SAND, STAIN, f'{SPRAYED}, at_most = "2 days"', wood="black cherry"), shop(70)),
        "recoat-too-soon",
    )
    assert one.severity is Severity.WARNING
    assert one.figures["wait_h"] == pytest.approx(72, rel=0.1)  # "three full days or more"
    assert "dewaxed shellac" in one.mend  # "or a shellac barrier"


def test_c30_twin_dried_long_enough(check, board):
    found = check(board(SAND, STAIN, f'{SPRAYED}, at_most = "5 days"', wood="black cherry"), shop(70))
    assert not of(found, "recoat-too-soon")


def test_c30_twin_sealed_first(check, board):
    found = check(
        board(SAND, STAIN, f'{SEAL}, at_least = "24 h"', SCUFF, SPRAYED, wood="black cherry"), shop(70)
    )
    assert not of(found, "recoat-too-soon") and not of(found, "no-barrier-oil-water-borne")


# C31 the test board passed, the sideboard failed


def test_c31_no_barrier_however_long_the_stain_has_dried(check, board):
    one = the(
        check(board(SAND, STAIN, f'{SPRAYED}, at_least = "3 days"'), shop(75)), "no-barrier-oil-water-borne"
    )
    assert one.severity is Severity.WARNING
    assert "barrier" in one.says and "a week old" in one.mend and "same wood" in one.mend


def test_c31_twin_barrier_between(check, board):
    assert not of(check(board(SAND, STAIN, SEAL, SCUFF, SPRAYED), shop(75)), "no-barrier-oil-water-borne")


# C33 acid-cured varnish wrinkles: pre-catalysed lacquer stands in, no row is acid-cured


def test_c33_overnight_may_fall_into_the_barred_span(check, board):
    coats = 'do = "coat", with = "pre-catalysed lacquer", by = "spray", coats = 2'
    one = the(
        check(board(SAND, f'{coats}, at_least = "overnight"'), shop(70)), "recoat-window-missed-unabraded"
    )
    assert one.severity is Severity.WARNING
    assert (
        one.figures["window_low_h"] < one.figures["gap_h"] < one.figures["window_h"]
    )  # "sometimes inside it"
    assert "lifts" in one.says


def test_c33_twin_the_same_day(check, board):
    coats = 'do = "coat", with = "pre-catalysed lacquer", by = "spray", coats = 2'
    found = check(board(SAND, f'{coats}, at_least = "2 h"'), shop(70))
    assert not of(found, "recoat-window-missed-unabraded")


# C34 coats within twelve hours, no sanding


def test_c34_coats_with_no_scuff_between(check, board):
    coats = 'do = "coat", with = "brushing urethane varnish", by = "brush", coats = 3, at_most = "12 h"'
    found = check(board(SAND, STAIN, coats), shop(70))
    one = the(found, "coats-not-abraded")
    assert one.severity is Severity.WARNING
    assert "Labels" in one.says and "peeled" in one.says and "scuff = 320" in one.mend
    # told: each coat within 12 h; the label's window is from there on, and at 70 F a coat asks a day (as in C67)
    assert "12 to 24 h" in one.says
    soon = the(found, "recoat-too-soon")
    assert soon.figures["gap_h"] == 12 and soon.figures["wait_h"] == pytest.approx(24, rel=0.1)


def test_c34_twin_scuffed(check, board):
    found = check(board(SAND, STAIN, URETHANE), shop(70))
    assert not of(found, "coats-not-abraded") and not of(found, "recoat-too-soon")


# C35 urethane over gel stain a day old at 62 F


def test_c35_a_day_is_half_of_what_the_gel_stain_asks(check, board):
    one = the(check(board(SAND, GEL, f'{WIPED}, at_most = "24 h"'), shop(62)), "recoat-too-soon")
    assert one.severity is Severity.WARNING
    # told: a 24 h label becomes 35 to 45 h at 60 F, rate halved per 10 C; here 62 F and the table's own law
    assert one.figures["wait_h"] == pytest.approx(35, rel=0.1)
    assert one.figures["wait_high_h"] > 45
    assert "gel stain" in one.says


@pytest.mark.parametrize(("written", "temp_f"), [("4 days", 62), ("25 h", 71)])
def test_c35_twins_longer_or_warmer(check, board, written, temp_f):
    found = check(board(SAND, GEL, f'{WIPED}, at_most = "{written}"'), shop(temp_f))
    assert not of(found, "recoat-too-soon")


# C36 waxy shellac under urethane


def test_c36_waxy_shellac_warns_and_does_not_forbid(check, board):
    found = check(board(SAND, WAXY, URETHANE, wood="eastern white pine"))
    one = the(found, "waxed-shellac-under-urethane")
    assert one.severity is Severity.WARNING and not [f for f in found if f.severity is Severity.ERROR]
    assert "Labels forbid" in one.says and "three weeks" in one.says and "dewaxed" in one.mend


def test_c36_twin_dewaxed(check, board):
    assert not of(
        check(board(SAND, SEAL, URETHANE, wood="eastern white pine")), "waxed-shellac-under-urethane"
    )


# C37 water-borne over shellac near a sink


def test_c37_shellac_beneath_where_water_stands(check, board):
    text = board(SAND, SEAL, SCUFF, BRUSHED, top='must_stand = ["water"]')
    one = the(check(text), "use-not-stood")
    assert one.severity is Severity.WARNING and "shellac" in one.says
    assert one.figures["grade"] <= load().materials["wb_acrylic_urethane"].resistance["water"] - 1


def test_c37_flooded_coat(check, board):
    one = the(check(board(SAND, SEAL, SCUFF, f"{BRUSHED}, flood = true")), "coat-too-heavy")
    assert (
        2 * 25.4 <= one.figures["wet_um"] <= 5 * 25.4
    )  # told: no more than 2 to 3 mil wet, 5 mil is too much


def test_c37_twins_dry_use_and_thin_coat(check, board):
    found = check(board(SAND, SEAL, SCUFF, BRUSHED))
    assert not of(found, "use-not-stood") and not of(found, "coat-too-heavy")
