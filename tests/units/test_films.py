"""Thickness of film as people write it."""

import pytest

from rakelight.errors import Misread
from rakelight.units.films import read_film


@pytest.mark.parametrize(
    ("words", "um"),
    [("50 um", 50), ("50µm", 50), ("2 mil", 50.8), ("1/2 mil", 12.7), ("0.05 mm", 50), ("3 thou", 76.2)],
)
def test_film_is_read(words, um):
    assert read_film(words) == pytest.approx(um)


@pytest.mark.parametrize("words", ["", "50", "thick", "-5 um", "50 in", "9999999 mil", "nan um", 50, None, "1/0 um"])
def test_what_is_no_film_is_told_with_an_example(words):
    with pytest.raises(Misread) as bad:
        read_film(words)
    assert bad.value.mend
