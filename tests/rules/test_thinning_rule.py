"""A coat thinned to nothing is told with the most thinner that leaves a film; each with a sound twin."""

from __future__ import annotations

import pytest

from rakelight.facts import load
from rakelight.physics.film import thinned_solids

SAND = 'do = "sand", grits = [120, 180]'


def told(found):
    return [f for f in found if f.id == "thinned-to-nothing"]


def test_lacquer_thinned_four_times_leaves_no_film(check, board) -> None:
    facts = load()
    (one,) = told(check(board(SAND, 'do = "coat", with = "nitrocellulose lacquer", by = "spray", thin = "400 %"')))
    least = facts.likely("film_low_solids")
    solids = facts.materials["lacquer_nc"].solids_volume.likely
    most = one.figures["most_thin"]
    assert thinned_solids(solids, most) >= least > thinned_solids(solids, most + 0.1)
    assert f'thin = "{most * 100:.0f} %"' in one.mend


@pytest.mark.parametrize(
    "step",
    [
        'do = "coat", with = "nitrocellulose lacquer", by = "spray", thin = "25 %"',
        'do = "seal", with = "nitrocellulose lacquer", by = "spray", thin = "400 %"',
        'do = "coat", with = "dewaxed shellac", cut = 1, by = "pad"',
        'do = "oil", with = "boiled linseed oil"',
    ],
)
def test_twins_a_film_is_left_or_none_is_meant(check, board, step: str) -> None:
    assert not told(check(board(SAND, step)))
