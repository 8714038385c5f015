"""Rules that need a box, or another air than the fair shop's."""

import pytest

VARNISH = 'do = "coat", with = "wiping urethane varnish", by = "wipe", coats = 2, scuff = 400'
SHELLAC = 'do = "coat", with = "dewaxed shellac", cut = 2, by = "brush"'
SHOP = """
shop = "One room"
zone = "America/Chicago"
hours = {{ mon-sat = "8:00-17:00" }}
[place.shop]
size = "20 ft x 20 ft x 9 ft"
heater = "{heater}"
air = [{air}]
[gear]
gun = {{ set_up = "10 min", clean = "15 min" }}
"""


def box(step, opened=""):
    return f"""
piece = "Chest"
unit = "in"
start = "8 Feb 2027"
wanted = [{{ by = "1 April 2027" }}]
[part.chest]
kind = "box"
wood = "hard maple"
wide = 30
deep = 18
high = 18
thick = "3/4"
{opened}
finish = {{ inside = "within", show = "without" }}
[schedule.within]
steps = [{{ do = "sand", grits = [150] }}, {{ {step} }}]
[schedule.without]
steps = [{{ do = "sand", grits = [150] }}, {{ {SHELLAC} }}]
"""


@pytest.mark.parametrize(
    ("step", "opened", "severity"),
    [(VARNISH, "", "warning"), (VARNISH, 'open = ["front"]', "note"), (SHELLAC, "", None)],
)
def test_oil_varnish_inside_a_closed_case(check, step, opened, severity):
    met = [f for f in check(box(step, opened)) if f.id == "oil-in-closed-case"]
    assert [f.severity for f in met] == ([severity] if severity else [])
    if met:
        assert met[0].where.face == "inside" and met[0].figures["factor"] == 1.5


@pytest.mark.parametrize(
    ("air", "severity"),
    [
        ('{ open = "70 F, 75 %", closed = "70 F, 80 %" }', "warning"),
        ('{ open = "70 F, 60 %", closed = "70 F, 80 %" }', None),
        ('{ open = "50 F, 50 %", closed = "45 F, 60 %" }', "error"),
        (
            '{ month = "Feb", open = "50 F, 50 %", closed = "45 F, 60 %" }, '
            '{ month = "March", open = "65 F, 50 %", closed = "45 F, 60 %" }',
            "warning",
        ),
    ],
)
def test_air_against_what_shellac_asks(check, board, air, severity):
    met = [
        f
        for f in check(board(SHELLAC), SHOP.format(heater="electric", air=air))
        if f.id == "air-outside-range"
    ]
    assert [f.severity for f in met] == ([severity] if severity else [])


def test_paste_wax_in_the_cold_is_no_stop(check, board):
    """It is stiff and buffs badly, and comes to no harm; shellac in the same air is a stop."""
    cold = SHOP.format(heater="electric", air='{ open = "50 F, 50 %", closed = "45 F, 60 %" }')
    wax = [f for f in check(board(SHELLAC, 'do = "wax", with = "paste wax"'), cold) if f.id == "air-outside-range"]
    assert {("Paste wax" in f.says, f.severity) for f in wax} == {(True, "warning"), (False, "error")}
    assert any("is stiff, and buffs badly, below 55 F" in f.says for f in wax)
    warm = SHOP.format(heater="electric", air='{ open = "65 F, 50 %", closed = "60 F, 60 %" }')
    text = board(SHELLAC, 'do = "wax", with = "paste wax"')
    assert not [f for f in check(text, warm) if f.id == "air-outside-range"]


@pytest.mark.parametrize(
    ("heater", "severity"), [("wood stove", "error"), ("vented", "note"), ("electric", None), ("none", None)]
)
def test_a_flame_near_brushed_shellac(check, board, heater, severity):
    shop = SHOP.format(heater=heater, air='{ open = "70 F, 50 %", closed = "70 F, 50 %" }')
    met = [f for f in check(board(SHELLAC), shop) if f.id == "flame"]
    assert [f.severity for f in met] == ([severity] if severity else [])


VARNISH_COAT = 'do = "coat", with = "brushing urethane varnish", by = "brush"'
ACRYLIC = 'do = "coat", with = "water-borne acrylic", by = "spray"'


@pytest.mark.parametrize(
    ("step", "heater", "told"),
    [
        (SHELLAC, "electric", True),
        (SHELLAC, "none", False),
        (SHELLAC, "vented", False),  # told as a burner
        (VARNISH_COAT, "electric", False),  # brushed far below what lights it
        (VARNISH_COAT.replace('"brush"', '"spray"'), "electric", True),
        (ACRYLIC, "electric", False),
    ],
)
def test_an_electric_heater_is_told_once_where_its_spark_lights_what_is_laid(check, board, step, heater, told):
    shop = SHOP.format(heater=heater, air='{ open = "70 F, 50 %", closed = "70 F, 50 %" }')
    met = [f for f in check(board(step + ", coats = 3"), shop) if f.id == "spark"]
    assert [f.severity for f in met] == ["note"] * told
    if told:
        assert "thermostat" in met[0].says and "at the wall" in met[0].mend and met[0].figures["flash_c"] < 60
