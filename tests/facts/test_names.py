"""Names as people say them."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rakelight.facts import load
from rakelight.facts.names import (
    Match,
    find_abrasive,
    find_anything,
    find_lubricant,
    find_material,
    find_solvent,
    find_wood,
    say_abrasive,
)

FACTS = load()

#: names used in the example files
MATERIALS = {
    "boiled linseed oil": "linseed_boiled",
    "dewaxed shellac": "shellac_dewaxed",
    "water-borne clear grain filler": "filler_wb_clear",
    "paste wax": "wax_paste",
    "brushing urethane varnish": "omu_brush",
    "wiping urethane varnish": "omu_wipe",
    "water-borne acrylic-urethane": "wb_acrylic_urethane",
    "water-borne acrylic": "wb_acrylic",
}
#: other ways to say them
MATERIALS_SAID = {
    "Boiled  Linseed Oil": "linseed_boiled",
    "BLO": "linseed_boiled",
    "shellac": "shellac_dewaxed",
    "button shellac": "shellac_waxy",
    "waterborne acrylic": "wb_acrylic",
    "water-based acrylic": "wb_acrylic",
    "pre-catalyzed lacquer": "lacquer_precat",
    "nitrocellulose lacquer": "lacquer_nc",
    "nitro lacquer": "lacquer_nc",
    "hardwax oil": "hardwax_oil",
    "danish oil": "oil_varnish_blend",
    "wax": "wax_paste",
    "pure tung oil": "tung_pure",
    "alkyd varnish": "alkyd_varnish",
    "alcohol dye": "dye_alcohol",
    "linseed_boiled": "linseed_boiled",
}
WOODS = {
    "sapele": "sapele",
    "hard maple": "sugar maple",
    "white oak": "white oak",
    "American elm": "American elm",
    "yellow birch": "yellow birch",
    "white ash": "white ash",
    "black walnut": "black walnut",
    "walnut": "black walnut",
    "Cherry": "black cherry",
    "mahogany": "true mahogany",
    "khaya": "African mahogany (khaya)",
    "oak, white": "white oak",
    "red oaks": "red oak",
    "western red cedar": "western redcedar",
    "purple heart": "purpleheart",
    "Quercus rubra": "red oak",
}
ABRASIVES = {
    "0000 wool": "steel_wool 0000",
    "0000 steel wool": "steel_wool 0000",
    "4/0 wool": "steel_wool 0000",
    "#000 wool": "steel_wool 000",
    "white pad": "pad white",
    "grey pad": "pad light grey",
    "gray pad": "pad light grey",
    "pumice FFF": "powder pumice FFF",
    "pumice 4F": "powder pumice FFFF",
    "FFFF pumice": "powder pumice FFFF",
    "rottenstone": "powder rottenstone",
    "P320": "FEPA_P P320",
    "320": "FEPA_P P320",
    "320 grit": "FEPA_P P320",
    "US 400": "CAMI 400",
    "us400": "CAMI 400",
}
ASKED = {
    "varnish": {"alkyd_varnish", "omu_brush", "omu_wipe"},
    "polyurethane": {"omu_brush", "omu_wipe", "wb_acrylic_urethane", "wb_2k_pu"},
    "lacquer": {"lacquer_nc", "lacquer_cab", "lacquer_precat", "wb_acrylic"},
    "linseed oil": {"linseed_boiled", "linseed_raw"},
    "tung oil": {"tung_pure", "oil_varnish_blend"},
    "water-borne": {"wb_acrylic", "wb_acrylic_urethane", "wb_2k_pu"},
    "grain filler": {"filler_wb_clear", "filler_oil_paste", "filler_plaster_pumice"},
    "sanding sealer": {"shellac_dewaxed", "lacquer_nc"},
}
WOODS_ASKED = {
    "oak": {"red oak", "white oak", "European oak"},
    "soft maple": {"red maple", "silver maple"},
    "elm": {"American elm", "rock elm", "slippery elm"},
}


@pytest.mark.parametrize(("said", "id"), [*MATERIALS.items(), *MATERIALS_SAID.items()])
def test_a_material_with_one_meaning(said: str, id: str) -> None:
    assert find_material(FACTS, said).one == id


@pytest.mark.parametrize(("said", "id"), WOODS.items())
def test_a_wood_with_one_meaning(said: str, id: str) -> None:
    assert find_wood(FACTS, said).one == id


@pytest.mark.parametrize(("said", "id"), ABRASIVES.items())
def test_an_abrasive_with_one_meaning(said: str, id: str) -> None:
    assert find_abrasive(FACTS, said).one == id


@pytest.mark.parametrize(
    "said", ["mineral spirits", "soapy water", "mineral oil", "paste wax", "white spirit"]
)
def test_what_is_rubbed_with(said: str) -> None:
    assert find_lubricant(FACTS, said).one


def test_what_a_lubricant_leaves() -> None:
    assert FACTS.lubricants["boiled linseed oil"].dries_as_oil
    assert not FACTS.lubricants["mineral oil"].dries_as_oil
    assert FACTS.lubricants["paste wax"].waxes_surface
    assert FACTS.lubricants["silicone oil"].silicone


@pytest.mark.parametrize(("said", "ids"), ASKED.items())
def test_a_material_with_several_meanings_is_asked(said: str, ids: set[str]) -> None:
    match = find_material(FACTS, said)
    assert match.one is None and set(match.ids) == ids
    _choices_lead_out(match, find_material)


@pytest.mark.parametrize(("said", "ids"), WOODS_ASKED.items())
def test_a_wood_with_several_meanings_is_asked(said: str, ids: set[str]) -> None:
    match = find_wood(FACTS, said)
    assert match.one is None and set(match.ids) == ids
    _choices_lead_out(match, find_wood)


def _choices_lead_out(match: Match, find: object) -> None:
    """Each name the question offers is answered without another question."""
    assert callable(find)
    assert [find(FACTS, choice).one for choice in match.choices] == list(match.ids)
    assert all(f'"{choice}"' in match.ask for choice in match.choices)


def test_maple_asks_and_offers_hard_maple_by_its_name() -> None:
    match = find_wood(FACTS, "maple")
    assert "sugar maple" in match.ask and "hard maple is sugar maple" in match.ask


def test_spirits_asks() -> None:
    assert len(find_solvent(FACTS, "spirits").ids) == 2


@pytest.mark.parametrize(
    ("said", "near"),
    [("boild linseed oil", "boiled linseed oil"), ("shelac", "dewaxed shellac"), ("hardwax", "hard-wax oil")],
)
def test_a_slip_is_answered_with_the_nearest_names(said: str, near: str) -> None:
    match = find_material(FACTS, said)
    assert match.ids == () and near in match.near and near in match.ask


def test_a_word_that_is_no_noun_is_not_taken_silently() -> None:
    """"clear" stands in one name alone, but nobody means the filler by it."""
    assert find_material(FACTS, "clear").ids == ()


def test_a_grit_that_is_not_made() -> None:
    match = find_abrasive(FACTS, "P700")
    assert match.ids == () and set(match.near) == {"P600", "P800"}


def test_nothing_is_like_it() -> None:
    match = find_material(FACTS, "zzzzzz")
    assert match.ids == match.near == () and match.says and match.ask


def test_anything_is_found_in_every_table() -> None:
    assert set(find_anything(FACTS, "paste wax").ids) == {"material:wax_paste", "lubricant:paste wax"}


def test_every_abrasive_can_be_written() -> None:
    for id in FACTS.abrasives:
        assert find_abrasive(FACTS, say_abrasive(id)).one == id


@given(st.text(max_size=60))
@settings(max_examples=150, deadline=None)
def test_any_words_give_an_answer(said: str) -> None:
    for find, known in (
        (find_material, FACTS.materials),
        (find_wood, FACTS.woods),
        (find_abrasive, FACTS.abrasives),
        (find_lubricant, FACTS.lubricants),
    ):
        match = find(FACTS, said)
        assert all(id in known for id in match.ids)
        assert bool(match.ask) is (match.one is None)


def test_a_very_long_name() -> None:
    assert find_material(FACTS, "oil " * 50_000).one is None
    assert find_abrasive(FACTS, "9" * 100_000).one is None
