"""Answers about a jar: words in, figures out, and what cannot be answered is said."""

from __future__ import annotations

import json
from typing import Any

import pytest

from rakelight.errors import Misread
from rakelight.facts.load import load
from rakelight.schedule.mix_answers import mix_answer, reverse_answer, share_answer, thin_answer

FACTS = load()


def test_two_cups_of_a_two_pound_cut() -> None:
    row = mix_answer(FACTS, 2, alcohol="16 fl oz").as_json()
    assert row["flakes_g"] == pytest.approx(113.4, abs=0.1)
    assert row["made_ml"] == pytest.approx(567.7, abs=0.5)
    assert row["solids_volume"] == pytest.approx(0.1665, abs=0.0005)
    assert row["ranges"]["made_ml"]["low"] < row["made_ml"] < row["ranges"]["made_ml"]["high"]
    assert json.dumps(row)


def test_from_what_is_wanted_and_from_the_flakes_there_are() -> None:
    wanted = mix_answer(FACTS, 2, make="500 ml")
    assert wanted.made_ml.likely == pytest.approx(500)
    there = mix_answer(FACTS, 2, flakes=f"{wanted.flakes_g.likely:.3f} g")
    assert there.alcohol_ml == pytest.approx(wanted.alcohol_ml, rel=1e-4)


def test_inch_makers_read_ounces_too() -> None:
    says = mix_answer(FACTS, 2, alcohol="2 cups", unit="in").says
    assert "113 g (4 oz) of flakes in 16 fl oz (473 ml)" in says


def test_absent_words_may_be_empty() -> None:
    """As the command line hands them on."""
    assert mix_answer(FACTS, 2, alcohol="1 l", flakes="", make="").cut_lb.likely == 2
    found = thin_answer(FACTS, of="100 ml", from_cut=3, to_cut=1, make="", by="")
    assert found.add_ml == pytest.approx(153.9, abs=0.1)


def test_a_jar_of_a_wanted_size_from_a_stronger_one() -> None:
    """shellac.md: existing = Vt (1 + a v) b / (a (1 + b v)), the rest alcohol."""
    found = thin_answer(FACTS, make="1 l", from_cut=3, to_cut=1)
    assert found.made_ml == pytest.approx(1000)
    assert found.of_ml == pytest.approx(1000 * 1.2996 * 1 / (3 * 1.0999), rel=1e-3)


def test_any_other_finish_by_a_share() -> None:
    found = thin_answer(FACTS, "alkyd varnish", of="100 ml", by="25 %")
    assert (found.add_ml, found.made_ml, found.thinner) == (25, 125, "mineral spirits")
    assert found.solids_volume == pytest.approx(FACTS.materials["alkyd_varnish"].solids_volume.likely / 1.25)
    assert thin_answer(FACTS, "alkyd varnish", make="125 ml", by="25 %").of_ml == pytest.approx(100)


def test_the_way_back() -> None:
    """What a 2 lb jar becomes: thin it, and ask what was made."""
    thinned = thin_answer(FACTS, of="300 ml", from_cut=2, to_cut=1)
    back = reverse_answer(FACTS, cut=2, of="300 ml", add=f"{thinned.add_ml:.3f} ml")
    assert back.cut_lb == pytest.approx(1.0, rel=1e-4)
    assert back.flakes_g == pytest.approx(thinned.flakes_g)


@pytest.mark.parametrize(
    "words",
    [
        {},
        {"cut": 2},
        {"alcohol": "1 l"},
        {"cut": 2, "alcohol": "1 l", "flakes": "50 g"},
        {"cut": 2, "alcohol": "50 g"},
        {"cut": 0, "alcohol": "1 l"},
        {"cut": -2, "alcohol": "1 l"},
        {"cut": float("nan"), "alcohol": "1 l"},
        {"cut": 2, "alcohol": "0 ml"},
        {"cut": 2, "alcohol": "soon"},
        {"cut": 2, "make": "8 oz"},
    ],
)
def test_what_cannot_be_mixed_is_said(words: dict[str, Any]) -> None:
    with pytest.raises(Misread) as bad:
        mix_answer(FACTS, **words)
    assert bad.value.mend


@pytest.mark.parametrize(
    "words",
    [
        {"of": "100 ml", "from_cut": 1, "to_cut": 2},
        {"of": "100 ml", "from_cut": 3},
        {"of": "100 ml", "make": "1 l", "from_cut": 3, "to_cut": 1},
        {"from_cut": 3, "to_cut": 1},
        {"of": "100 g", "from_cut": 3, "to_cut": 1},
        {"of": "100 ml", "by": "lots"},
        {"material": "moonshine", "of": "100 ml", "by": "10 %"},
    ],
)
def test_what_cannot_be_thinned_is_said(words: dict[str, Any]) -> None:
    with pytest.raises(Misread) as bad:
        thin_answer(FACTS, **words)
    assert bad.value.mend


def test_a_share_in_spoons() -> None:
    assert share_answer("1 cup", "3 %").add_ml == pytest.approx(7.1, abs=0.05)
