"""Filled pores: they sink back after a rub, the wanted look rules over the sheen, each with a sound twin."""

from __future__ import annotations

from rakelight.facts import load

SAND = 'do = "sand", grits = [120, 180]'
SEAL = 'do = "seal", with = "dewaxed shellac", cut = 1, by = "brush"'
FILL = 'do = "fill", with = "oil-based paste filler", by = "trowel", coats = 2'
COATS = 'do = "coat", with = "nitrocellulose lacquer", by = "spray", coats = 4'
RUB = 'do = "level", grits = [800, 1000], wet = "mineral spirits"'
MIRROR = {"wood": "walnut", "sheen": "gloss", "part": 'arris = "3 mm"'}


def told(found, id):
    return [f for f in found if f.id == id]


def test_a_rub_a_week_after_the_last_coat_is_told_when_pores_have_sunk(check, board) -> None:
    found = told(check(board(SAND, SEAL, FILL, COATS, 'do = "level", grits = [800, 1000], when = "sand"', **MIRROR),
                       plan=True), "filler-sinks-back")  # fmt: skip
    assert found and found[0].figures["least_days"] == load().figure("shrink_back_days").value.low == 14
    assert found[0].figures["days"] < 14 and "sink back" in found[0].says and "lamp" in found[0].mend


def test_twins_a_rub_after_weeks_a_satin_one_and_a_closed_wood_are_not_told(check, board) -> None:
    early = 'do = "level", grits = [800, 1000], when = "sand"'
    late = 'do = "level", grits = [800, 1000], when = "sand", at_least = "3 weeks"'
    for steps, look in (
        ((SAND, SEAL, FILL, COATS, late), MIRROR),
        ((SAND, SEAL, FILL, COATS, early), MIRROR | {"sheen": "satin"}),
        ((SAND, SEAL, FILL, COATS, early), MIRROR | {"wood": "hard maple"}),
        ((SAND, SEAL, FILL, COATS), MIRROR),
    ):
        assert not told(check(board(*steps, **look), plan=True), "filler-sinks-back"), (steps, look)


def wants(grain: str, **more: str) -> dict[str, str]:
    return {"wood": "walnut", "sheen": "satin", "part": f'want = {{ grain = "{grain}" }}', **more}


def test_the_wanted_look_rules_over_the_sheen(check, board) -> None:
    """Open asks nothing even in gloss, half about half the depth, full what satin asks even of a flat finish."""
    bare = SAND, SEAL, COATS
    assert told(check(board(*bare, **wants("", part="", sheen="gloss"))), "open-pores-show")
    assert not told(check(board(*bare, **wants("open", sheen="gloss"))), "open-pores-show")
    half = told(check(board(SAND, COATS.replace("4", "1"), **wants("half"))), "open-pores-show")
    assert half and "half filled leaves" in half[0].says
    one = FILL.replace("2", "1")
    assert not told(check(board(SAND, SEAL, one, COATS, **wants("half"))), "open-pores-show")
    assert told(check(board(*bare, **wants("full", sheen="flat"))), "open-pores-show")
    assert not told(check(board(*bare, **wants("", part="", sheen="flat"))), "open-pores-show")


def test_filler_where_pores_are_wanted_open_is_told(check, board) -> None:
    assert told(check(board(SAND, SEAL, FILL, COATS, **wants("open"))), "filler-on-open-look")
    for grain in ("half", "full"):
        assert not told(check(board(SAND, SEAL, FILL, COATS, **wants(grain))), "filler-on-open-look")
