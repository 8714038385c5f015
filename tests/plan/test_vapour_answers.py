"""Vapour of a coat: breath and fire, what may be laid, and sound twins."""

from __future__ import annotations

import math
import re

import numpy as np
import pytest

from rakelight.errors import Misread
from rakelight.facts import load
from rakelight.physics.vapour import Release, mean_ppm, ppm_at, vapour_m3
from rakelight.plan.room_air import Let, Room, exposure, limits_of
from rakelight.plan.vapour_answers import VapourAnswer, stuff_of, vapour_answer

FACTS = load()


def ask(words: str, ml: float, by: str, m3: float, changes: float | None, **more: object) -> VapourAnswer:
    return vapour_answer(FACTS, stuff_of(FACTS, words, by), ml, by, m3, changes, **more)  # type: ignore[arg-type]


def test_denatured_alcohol_is_held_to_methanols_limits() -> None:
    """250 short-term, 200 a day, 1650 half the danger. Source: docs/decisions.md, "Vapour"."""
    limits = limits_of(FACTS, "ethanol")
    assert (limits.short, limits.day, limits.half_danger) == (250, 200, 1650)
    assert limits.lel_pct == 3.1
    plain = limits_of(FACTS, "ethanol", methanol_free=True)
    assert (plain.short, plain.day, plain.half_danger) == (None, 1000, 1650)


def test_a_litre_of_ethanol_in_100_m3_of_still_air_is_4120_ppm() -> None:
    """Source: ventilation.md, section 7."""
    found = ask("ethanol", 1000, "clean", 100, 0)
    assert found.seen.peak_ppm == pytest.approx(4120, rel=0.01)
    assert found.breath == "stop" and math.isinf(found.purge_h)


def test_breath_is_said_with_every_share_of_the_explosive_limit() -> None:
    row = ask("dewaxed shellac", 500, "brush", 60, 1).as_json()
    assert row["breath"]["limits"] and row["fire"]["share_of_lel"] > 0
    assert "never leave to have a flame" in " ".join(row["notes"])


def test_what_may_be_laid_is_what_keeps_every_limit() -> None:
    much = ask("dewaxed shellac", 500, "brush", 60, 1)
    assert much.verdict == "stop" and much.most_ml
    assert ask("dewaxed shellac", much.most_ml * 0.999, "brush", 60, 1).verdict == "go"
    assert ask("dewaxed shellac", much.most_ml * 1.01, "brush", 60, 1).verdict != "go"


def test_fire_stops_at_a_tenth_and_refuses_at_a_quarter() -> None:
    assert ask("toluene", 600, "clean", 100, 0).fire == "stop"
    assert ask("toluene", 1200, "clean", 100, 0).fire == "refuse"
    assert ask("toluene", 100, "clean", 100, 0).fire == "go"


def test_c62_c63_a_flame_refuses_flammables_and_says_what_burns() -> None:
    lit = ask("nitrocellulose lacquer", 50, "spray", 200, 10, flame=True)
    assert lit.verdict == "refuse" and lit.most_ml == 0.0
    assert ask("water-borne acrylic", 50, "spray", 200, 10, flame=True).fire == "go"
    spirits = ask("mineral spirits", 1000, "clean", 60, 1)
    assert 13 <= spirits.burnable_m3 <= 22, "C63: a litre makes 13 to 19 m3 of burnable air at 0.7 to 1 %"


def test_unknown_air_change_is_the_cautious_one_and_said() -> None:
    unknown = ask("dewaxed shellac", 60, "brush", 60, None)
    assert unknown.room.changes_per_h == 0.5 and "not given" in unknown.notes[0]
    assert unknown.seen.peak_ppm > ask("dewaxed shellac", 60, "brush", 60, 4).seen.peak_ppm


def test_pure_oil_sets_nothing_free() -> None:
    oil = ask("pure tung oil", 500, "wipe", 20, 0)
    assert oil.verdict == "go" and oil.most_ml is None and oil.seen.peak_ppm == 0


def test_several_solvents_together() -> None:
    lacquer = ask("nitrocellulose lacquer", 100, "spray", 60, 1)
    short = next(s for s in lacquer.seen.limits if s.id == "short")
    assert short.share > short.ppm / short.limit_ppm, "the others add to the one that weighs most"


@pytest.mark.parametrize(
    ("m3", "changes"), [(0.0, 1.0), (-5.0, 1.0), (math.nan, 1.0), (60.0, -1.0), (60.0, math.nan)]
)
def test_rooms_that_cannot_be(m3: float, changes: float) -> None:
    with pytest.raises(Misread):
        ask("dewaxed shellac", 100, "brush", m3, changes)


@pytest.mark.parametrize("rate", [0.0, 0.2, 3.0])
def test_the_mean_is_the_integral_of_the_air(rate: float) -> None:
    lets = [Release(0.0, 0.5, 0.01), Release(2.0, 0.0, 0.02), Release(3.0, 1.5, 0.01)]
    fine = np.linspace(0, 8, 80_001)
    summed = float(np.trapezoid(ppm_at(fine, lets, 50.0, rate), fine)) / 8
    assert float(mean_ppm([0.0], 8.0, lets, 50.0, rate)[0]) == pytest.approx(summed, rel=1e-3)


@pytest.mark.parametrize(
    ("words", "ml", "by", "m3", "changes"),
    [("alkyd varnish", 98, "brush", 60, 0.5), ("dewaxed shellac", 40, "brush", 60, 1),
     ("toluene", 30, "clean", 20, 0.1)],
)  # fmt: skip
def test_the_day_is_the_worst_eight_hours_wherever_they_begin(
    words: str, ml: float, by: str, m3: float, changes: float
) -> None:
    """Summed minute by minute over every window of eight hours; the worst begins after the air has grown rich."""
    found = ask(words, ml, by, m3, changes)
    minutes = np.arange(-8 * 60, int((found.release_h + 9) * 60) + 1) / 60
    total = np.zeros(len(minutes) - 480)
    for name, grams in found.stuff.grams_per_ml.items():
        molar = FACTS.solvents[name].molar_mass_g_mol
        let = Release(0.0, found.release_h, vapour_m3(grams * ml, molar, found.room.temp_c))
        rich = ppm_at(minutes, [let], m3, found.room.effective)
        windows = np.lib.stride_tricks.sliding_window_view(rich, 481)
        limit = limits_of(FACTS, name).day
        total += np.trapezoid(windows, dx=1 / 60, axis=1) / 8 / limit if limit else 0.0
    day = next(s for s in found.seen.limits if s.id == "day")
    assert day.share == pytest.approx(float(total.max()), rel=1e-3)
    if words == "alkyd varnish":
        at_start = float(total[8 * 60])
        assert day.share > 1.2 * at_start and found.verdict == "warn"
        assert found.most_ml and found.most_ml < 98 / 1.2


def test_as_many_changes_of_air_as_told_keep_the_day_limit() -> None:
    much = ask("alkyd varnish", 200, "brush", 60, 0.5)
    told = re.search(r"it wants (\d+) air change", much.mend)
    assert told
    assert ask("alkyd varnish", 200, "brush", 60, float(told[1])).verdict == "go"
    assert ask("alkyd varnish", 200, "brush", 60, float(told[1]) - 1.1).verdict != "go"


def test_a_later_coat_counts_in_the_eight_hours_that_begin_before_it() -> None:
    """A window that ends before the second coat: eight hours from within it still meet that coat."""
    room = Room(60.0, 0.5, 3.0)
    one, two = Let(0.0, 2.0, {"toluene": 5.0}), Let(4.0, 2.0, {"toluene": 50.0})
    alone = exposure(FACTS, [one], room, (0.0, 2.5)).most_over
    both = exposure(FACTS, [one, two], room, (0.0, 2.5))
    assert next(s for s in both.limits if s.id == "day").share > alone


def test_a_trace_is_said_as_under_one() -> None:
    assert "Under 1 ppm at its richest" in ask("toluene", 0.001, "clean", 60, 1).says
