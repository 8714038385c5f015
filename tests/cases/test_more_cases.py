"""Further real cases of films, woods, faces and fire: C12, C14, C41, C45, C47, C57, C62, C65.

Source: cases.md of the shared folder, by case id.
"""

import pytest

from rakelight.errors import Severity

SAND = 'do = "sand", grits = [120, 150, 180]'
SHELLAC = 'do = "coat", with = "dewaxed shellac", cut = 2, by = "brush", coats = 6'
LACQUER = 'do = "coat", with = "nitrocellulose lacquer", by = "spray", coats = 3'
BRUSHED = 'do = "coat", with = "brushing urethane varnish", by = "brush", coats = 3, scuff = 320'
WIPED = 'do = "coat", with = "wiping urethane varnish", by = "wipe", coats = 6, scuff = 400'
RUB = (
    'do = "level", grits = [600], wet = "soapy water"',
    'do = "rub", with = "pumice FFF", wet = "mineral oil"',
)


def of(found, id):
    return [f for f in found if f.id == id]


def test_c12_an_edge_goes_through_while_a_top_is_levelled(check, board):
    level = 'do = "level", grits = [320, 400, 600, 800, 1000], wet = "soapy water"'
    film = board(SAND, LACQUER.replace("3", "4"), level, part='arris = "sharp"')  # 68 um, 2.7 mil
    one = of(check(film), "sands-through")[0]
    assert "arris" in one.says and "3/8 in off the edge" in one.mend


def test_c12_twin_rounded_edge(check, board):
    level = 'do = "level", grits = [800, 1000], wet = "soapy water"'
    five = board(SAND, LACQUER.replace("3", "5"), level, part='arris = "3 mm"')
    assert not of(check(five), "sands-through")


def test_c14_a_wiped_last_coat_is_always_cut_through(check, board):
    one = of(check(board(SAND, WIPED, *RUB)), "sands-through")[0]
    assert one.severity is Severity.WARNING and "contour" in one.says
    assert one.figures["film_um"] == pytest.approx(0.25 * 25.4, abs=2.5)  # told: 0.2 to 0.3 mil dry


def test_c14_twin_a_brushed_last_coat_is_not(check, board):
    found = of(check(board(SAND, BRUSHED, *RUB, part='arris = "3 mm"')), "sands-through")
    assert all(f.severity is Severity.NOTE for f in found)  # at most a word about the arris


def test_c41_pumice_and_three_lacquer_coats_leave_coarse_pores_open(check, board):
    pumice = 'do = "fill", with = "pumice fill", by = "pad", coats = 3'
    seal = 'do = "seal", with = "dewaxed shellac", cut = 1, by = "pad"'
    steps = (SAND, seal, pumice, LACQUER)
    found = of(check(board(*steps, wood="African mahogany (khaya)", sheen="gloss")), "open-pores-show")
    assert found and found[0].severity is Severity.WARNING
    assert 100 <= found[0].figures["depth_um"] <= 200  # told: 0.1 to 0.2 mm deep
    assert found[0].figures["filler_coats"] > 3
    assert not of(check(board(*steps, wood="African mahogany (khaya)", sheen="flat")), "open-pores-show")


def test_c45_cherry_blotches_without_a_wash_coat(check, board):
    stain = 'do = "stain", with = "pigmented wiping stain"'
    wash = 'do = "size", with = "dewaxed shellac", cut = 0.5, by = "brush"'
    bad, good = (
        check(board(SAND, stain, SHELLAC, wood="black cherry")),
        check(board(SAND, wash, stain, SHELLAC, wood="black cherry")),
    )
    assert "every board" in of(bad, "blotch-prone-stain-no-wash")[0].mend
    assert not of(good, "blotch-prone-stain-no-wash")


def test_c47_forty_inches_of_walnut_cup_a_quarter_inch_for_half_a_per_cent(check, board):
    wide = "wide = 40\nthick = 1"
    one_face = board(SAND, BRUSHED, wood="black walnut", sizes=wide, part='faces = { underside = "bare" }')
    one = of(check(one_face), "unequal-faces")[0]
    assert one.severity is Severity.WARNING
    assert one.figures["cup_mm"] == pytest.approx(0.25 * 25.4, rel=0.15)
    assert not of(check(board(SAND, BRUSHED, wood="black walnut", sizes=wide)), "unequal-faces")


def test_c57_both_schools_are_told_and_that_it_does_not_lessen_the_movement(check, board):
    wide = "wide = 48\nthick = 1"
    one_face = board(SAND, BRUSHED, wood="red oak", sizes=wide, part='faces = { underside = "bare" }')
    one = of(check(one_face), "unequal-faces")[0]
    assert "One school" in one.says and "makes no difference" in one.says and "does not lessen" in one.mend


HEATED = """
shop = "Shed"
zone = "America/Chicago"
hours = {{ mon-sat = "8:00-17:00" }}
[place.shed]
size = "20 ft x 20 ft x 9 ft"
heater = "{heater}"
air = [{{ open = "70 F, 50 %", closed = "70 F, 50 %" }}]
[gear]
gun = {{ set_up = "10 min", clean = "15 min" }}
"""


def test_c62_lacquer_sprayed_beside_a_flame_stops(check, board):
    found = of(check(board(SAND, LACQUER), HEATED.format(heater="unvented")), "flame")
    assert found and found[0].severity is Severity.ERROR and found[0].mend.startswith("Stop")
    assert found[0].figures["flash_c"] < found[0].figures["limit_c"] == 60


ACRYLIC = LACQUER.replace("nitrocellulose lacquer", "water-borne acrylic")


@pytest.mark.parametrize(("coat", "heater"), [(LACQUER, "electric"), (ACRYLIC, "unvented")])
def test_c62_twins_no_flame_or_nothing_that_lights(check, board, coat, heater):
    assert not of(check(board(SAND, coat), HEATED.format(heater=heater)), "flame")


def test_c65_rags_of_the_same_evening(check, board):
    one = of(check(board(SAND, 'do = "oil", with = "boiled linseed oil"')), "rags")[0]
    assert 1 <= one.figures["fire_h"] <= 12  # told: about 1 to 12 h after use
    assert "water" in one.mend
    assert not of(check(board(SAND, SHELLAC)), "rags")
