"""What the rules say is in the maker's unit: inches, mil, Fahrenheit and ounces, or metric; figures stay in SI."""

import re

import pytest

SAND = 'do = "sand", grits = [120, 150, 180]'
SHELLAC = 'do = "coat", with = "dewaxed shellac", cut = 2, by = "brush", coats = 6'
VARNISH = 'do = "coat", with = "brushing urethane varnish", by = "brush", coats = 3'
LACQUER = 'do = "coat", with = "nitrocellulose lacquer", by = "spray", coats = 8'
WATER = 'do = "coat", with = "water-borne acrylic", by = "spray", coats = 2, flood = true'
OIL = 'do = "oil", with = "boiled linseed oil"'
LEVEL = 'do = "level", grits = [320, 400, 600, 800, 1000], wet = "soapy water"'
SHOP = """
shop = "Cold shop"
zone = "America/Chicago"
hours = { mon-fri = "8:00-17:00" }
[place.shed]
size = "10 ft x 10 ft x 8 ft"
air_changes = 0.5
heater = "unvented"
drying_places = 20
air = [
  { month = "Feb", open = "48 F, 60 %", closed = "45 F, 60 %" },
  { month = "Aug", open = "70 F, 60 %", closed = "70 F, 60 %" }]
[gear]
brush = true
gun = { set_up = "10 min", clean = "15 min" }
"""
WARM = SHOP.replace("48 F", "70 F").replace("45 F", "68 F").replace("unvented", "electric")
#: a quantity of the other system; um may stand in brackets after mil, a cut is in pounds to the gallon everywhere
METRIC = re.compile(r"\d (C|K|mm|um|ml|l)\b")
CUSTOMARY = re.compile(r"(?<!:\d)\d (F|in|mil|fl oz|quarts?)\b")
BARE = 'faces = { underside = "bare" }'
TRIES = (
    ((SAND, SHELLAC), {"sizes": 'wide = 18\nthick = "7/8"', "part": BARE}),
    ((SAND, VARNISH), {}),
    ((SAND, LACQUER, LEVEL), {"part": 'arris = "sharp"'}),
    ((SAND, SHELLAC.replace("6", "1"), LEVEL), {}),
    ((SAND, WATER), {}),
    ((SAND, OIL, WATER), {}),
    ((SAND, SHELLAC), {"wood": "black walnut", "sheen": "gloss"}),
)


def in_mm(text):
    """The same board with its sizes in mm."""
    text = text.replace('unit = "in"', 'unit = "mm"').replace("long = 20", "long = 508")
    return text.replace("wide = 6", "wide = 152").replace("wide = 18", "wide = 457").replace('"7/8"', "22")


@pytest.mark.parametrize("planned", [False, True])
@pytest.mark.parametrize(("steps", "keys"), TRIES)
def test_the_rules_speak_the_makers_unit_and_find_the_same(check, board, steps, keys, planned):
    text = board(*steps, **keys)
    shop = WARM if planned else SHOP
    inches, metric = check(text, shop, plan=planned), check(in_mm(text), shop, plan=planned)
    for found, wrong in ((inches, METRIC), (metric, CUSTOMARY)):
        said = [re.sub(r"\(\d[\d.]* um\)", "", f"{f.says} {f.mend}") for f in found]
        assert not [words for words in said if wrong.search(words)]
    assert sorted(f.id for f in inches) == sorted(f.id for f in metric)


def told(found, id):
    return next(f for f in found if f.id == id)


def test_air_is_told_in_fahrenheit_or_celsius(check, board):
    """No water-borne coat below 50 F; the shed is at 48 F, 8.9 C."""
    text = board(SAND, WATER)
    inches, metric = (told(check(t, SHOP), "air-outside-range") for t in (text, in_mm(text)))
    assert "48 F in February" in inches.says and "9 C in February" in metric.says
    assert inches.figures["temp_c"] == metric.figures["temp_c"] == pytest.approx(8.9, abs=0.05)


def test_an_edge_is_told_in_fractions_and_film_in_mil(check, board):
    text = board(SAND, LACQUER.replace("8", "4"), LEVEL, part='arris = "sharp"')  # 68 um, 2.7 mil
    one = told(check(text), "sands-through")
    assert "3/8 in off the edge" in one.mend and "1/8 in" in one.mend and " mil" in one.says
    assert "10 mm off the edge" in told(check(in_mm(text)), "sands-through").mend


def test_a_narrow_board_bare_beneath_on_purpose_and_a_sliding_face_are_told_nothing(check, board):
    """As the sides of a drawer: finished inside, bare or sliding outside."""
    thin = 'wide = 18\nthick = "1/2"'
    for part, sizes in ((BARE, thin), (BARE.replace("bare", "sliding"), 'wide = 18\nthick = 1')):
        assert "unequal-faces" not in {f.id for f in check(board(SAND, SHELLAC, part=part, sizes=sizes))}
    assert "unequal-faces" in {f.id for f in check(board(SAND, f'{SHELLAC}, on = "top"', sizes=thin))}


def test_two_uses_it_stands_worst_are_an_error_and_one_a_warning(check, board):
    def severities(*uses):
        must = ", ".join(f'"{use}"' for use in uses)
        found = check(board(SAND, SHELLAC, top=f"must_stand = [{must}]"))
        return {f.says.split(" stands ")[1].split()[0]: f.severity.value for f in found if f.id == "use-not-stood"}

    assert severities("heat") == {"heat": "warning"}
    assert severities("heat", "water") == {"heat": "warning", "water": "warning"}  # 1 and 2 of 5
    assert severities("heat", "alcohol") == {"heat": "error", "alcohol": "error"}


def test_both_fillers_are_offered_where_both_hold_and_never_more_than_eight_coats(check, board):
    """Paste has 56 % solids, clear 33 %: fewer coats of paste; straight under water-borne only clear holds."""
    for steps, paste in (((SAND, SHELLAC), True), ((SAND, WATER), False)):
        one = told(check(board(*steps, wood="black walnut", sheen="semi-gloss")), "open-pores-show")
        assert ("oil-based paste filler" in one.mend) is paste and "water-borne clear" in one.mend
        coats = [int(n) for n in re.findall(r"\b(\d+)(?: to| coats| of)\b", one.mend)]
        assert coats and max(coats) <= 8


def test_where_eight_coats_do_not_fill_the_film_is_cut_level(check, board):
    fill = 'do = "fill", with = "water-borne clear grain filler", by = "trowel"'
    coat = 'do = "coat", with = "nitrocellulose lacquer", by = "spray", coats = 1'
    one = told(check(board(SAND, fill, coat, wood="red oak", sheen="high gloss")), "open-pores-show")
    assert one.figures["filler_coats"] > 8
    assert "Fill alone does not get there" in one.mend and "cut the film level" in one.mend


def test_cleaning_alcohol_that_alone_breaks_the_limit_is_named(check, board):
    """65 m3: 50 ml of alcohol (39 g, 0.86 mol, 21 l of vapour) are 320 ppm, over methanol's 250; the coat is 100."""
    room = WARM.replace("10 ft x 10 ft x 8 ft", "16 ft x 16 ft x 9 ft")
    coat = SHELLAC.replace("coats = 6", "coats = 1")
    one = told(check(board(coat), room, plan=True), "vapour-over-limit")
    assert "1 3/4 fl oz cleans the brush" in one.says and "lidded jar" in one.says
    assert "50 ml cleans the brush" in told(check(in_mm(board(coat)), room, plan=True), "vapour-over-limit").says
    large = board(coat, sizes='wide = 40\nthick = "7/8"').replace("long = 20", "long = 96")
    assert "cleans the brush" not in told(check(large, room, plan=True), "vapour-over-limit").says
