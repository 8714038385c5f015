"""Conversions against printed tables.

US Census Bureau, Statistical Abstract of the United States 1999, appendix IV "Weights and Measures" (read):
two or three digits. NIST Handbook 44, appendix C, and the UK Units of Measurement Regulations 1995 (from
memory): exact digits.
"""

from __future__ import annotations

import pytest

from rakelight import units


@pytest.mark.parametrize(
    ("words", "ml"),
    [("1 fl oz", 29.57), ("1 cup", 240), ("1 pint", 470), ("1 quart", 950), ("1 gallon", 3780)],
)
def test_volumes_of_the_abstract(words: str, ml: float) -> None:
    """Printed: 29.57 ml; 0.24, 0.47, 0.95 and 3.78 l (the last cut, not rounded): within 2 %."""
    assert units.read_amount(words).value == pytest.approx(ml, rel=0.02 if ml > 30 else 2e-4)


def test_masses_lengths_areas_of_the_abstract() -> None:
    """Printed: oz 28.35 g, lb .45 kg, in 2.54 cm, ft 30.48 cm, square foot 0.09 m2, cubic foot 0.03 m3."""
    assert units.read_amount("1 oz").value == pytest.approx(28.35, abs=0.005)
    assert units.read_amount("1 lb").value == pytest.approx(450, abs=5)
    assert units.read_length("1 in") == 25.4
    assert units.read_length("1 ft") == 304.8
    assert pytest.approx(0.09, abs=0.005) == units.M2_PER_FT2
    assert units.read_volume("1 ft3") == pytest.approx(0.03, abs=0.005)


def test_exact_digits() -> None:
    """From memory: gallon 3.785 411 784 l, pound 453.592 37 g, imperial gallon 4.546 09 l; their parts."""
    assert units.read_amount("1 gallon").value == pytest.approx(3785.411784, rel=1e-12)
    assert units.read_amount("1 fl oz").value == pytest.approx(29.5735295625, rel=1e-12)
    assert units.read_amount("1 lb").value == pytest.approx(453.59237, rel=1e-12)
    assert units.read_amount("1 oz").value == pytest.approx(28.349523125, rel=1e-12)
    assert units.read_amount("1 imperial gallon").value == pytest.approx(4546.09, rel=1e-12)
    assert units.read_amount("1 imperial fl oz").value == pytest.approx(28.4130625, rel=1e-12)


def test_factors_agree_with_one_another() -> None:
    """A US gallon is 231 cubic inches; square and cubic feet are powers of the foot."""
    assert pytest.approx(231 * units.MM_PER_IN**3 / 1000) == units.ML_PER_US_GALLON
    assert pytest.approx((units.MM_PER_FT / 1000) ** 2) == units.M2_PER_FT2
    assert pytest.approx((units.MM_PER_FT / 1000) ** 3) == units.M3_PER_FT3


@pytest.mark.parametrize(("f", "c"), [(32, 0), (212, 100), (-40, -40), (98.6, 37)])
def test_fixed_points_of_temperature(f: float, c: float) -> None:
    """Ice, steam, where the scales cross, body heat (common knowledge)."""
    assert units.f_to_c(f) == pytest.approx(c)
    assert units.c_to_f(c) == pytest.approx(f)
