"""Classes of flammable liquids against the wording of the rule, and liquids everyone classes alike.

Wording: 29 CFR 1910.106(a)(19)(i)-(iv), as quoted in a safety list message of 8 September 2014: class 1 below 73.4 F
(23 C) and boiling at or below 95 F (35 C); class 2 below 73.4 F and boiling above 95 F; class 3 at or above 73.4 F and
at or below 140 F (60 C); class 4 above 140 F and at or below 199.4 F (93 C).
Signal words: OSHA's letter as digested on 10 March 2023 (classes 3 and 4: Warning); GHS 2.6 (1 and 2: Danger), from
memory.
"""

from __future__ import annotations

import pytest

from rakelight.facts import load
from rakelight.papers.jar_labels import SIGNALS, hazard_words
from rakelight.physics.flammable import flammable_class


def f_to_c(f: float) -> float:
    return (f - 32) / 1.8


@pytest.mark.parametrize(
    ("flash_f", "boils_f", "found"),
    [
        (73.3, 95.0, 1), (73.3, 95.1, 2), (-49, 94.3, 1), (73.4, 95.0, 3), (140.0, 300, 3), (140.2, 300, 4),
        (199.4, 400, 4), (199.6, 400, None),
    ],
)  # fmt: skip
def test_bounds_are_those_of_the_rule(flash_f: float, boils_f: float, found: int | None) -> None:
    assert flammable_class(round(f_to_c(flash_f), 3), round(f_to_c(boils_f), 3)) == found


@pytest.mark.parametrize(
    ("liquid", "flash_c", "boils_c", "found"),
    [
        ("diethyl ether", -45, 34.6, 1),
        ("acetone", -20, 56.1, 2),
        ("ethanol", 13, 78.4, 2),
        ("turpentine", 35, 150, 3),
        ("raw linseed oil", 222, None, None),
    ],
)
def test_liquids_as_their_sheets_class_them(liquid: str, flash_c: float, boils_c: float | None, found: int) -> None:
    assert flammable_class(flash_c, boils_c) == found


def test_signal_words() -> None:
    assert {number: word for number, (word, _) in SIGNALS.items()} == {
        1: "Danger", 2: "Danger", 3: "Warning", 4: "Warning",
    }  # fmt: skip


@pytest.mark.parametrize(
    ("material", "thinner", "signal", "words"),
    [
        ("shellac_dewaxed", "denatured alcohol", "Danger", "Highly flammable"),
        ("alkyd_varnish", "mineral spirits", "Warning", "Flammable liquid"),
        ("lacquer_nc", "", "Danger", "Highly flammable"),
        ("tung_pure", "", "", "sheet comes first"),
        ("tung_pure", "mineral spirits", "Warning", "Flammable liquid"),
        ("linseed_raw", "mineral spirits", "Warning", "Flammable liquid"),
        ("alkyd_varnish", "VM&P naphtha", "Danger", "Highly flammable"),
        ("alkyd_varnish", "lacquer thinner", "Warning", "Flammable liquid"),
        ("dye_water", "water", "", "sheet comes first"),
        ("wb_acrylic", "water", "", "sheet comes first"),
    ],
)
def test_jars_wear_the_word_of_their_class(material: str, thinner: str, signal: str, words: str) -> None:
    facts = load()
    found, says = hazard_words(facts.materials[material], thinner, facts)
    assert found == signal
    assert words in " ".join(says)


def test_only_what_heats_itself_speaks_of_rags() -> None:
    facts = load()
    for key, row in facts.materials.items():
        told = "Rags" in " ".join(hazard_words(row, "", facts)[1])
        assert told == row.self_heating_rags, key
