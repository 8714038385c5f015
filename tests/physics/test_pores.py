"""Pores: dips after coats, coats to a limit, and how the three figures come about."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rakelight.physics.pores import (
    MOST_FILLER_COATS,
    Filling,
    coats_to,
    dip_um,
    kept,
    least_filler_coats,
)
from rakelight.spread import Spread

FILLER = kept(0.33, 0.9)
VARNISH = kept(0.40, 0.95)
LACQUER = kept(0.17, 0.95)


def test_a_level_liquid_leaves_its_volatile_share():
    # a coat that fills wholly and is all solids leaves nothing; one of no solids leaves the pore as it was
    assert dip_um(100, [Filling(kept(1.0, 1.0))]) == 0
    assert dip_um(100, [Filling(kept(0.0, 1.0))]) == 100


def test_worked_case_of_filled_and_varnished_pore():
    # pore_filling.md: 120 um, three clear filler coats leave 42, four varnish coats 6; cutting 6 finishes it
    assert dip_um(120, [Filling(FILLER)] * 3) == pytest.approx(42, abs=1)
    four = [Filling(FILLER)] * 3 + [Filling(VARNISH)] * 4
    assert dip_um(120, four) == pytest.approx(6, abs=0.5)
    assert dip_um(120, [*four, Filling(cuts_um=7)]) == 0


@pytest.mark.parametrize(
    ("keeps", "to_15", "to_5", "to_2"),
    [(kept(0.56, 0.9), 3.0, 4.5, 5.8), (FILLER, 5.9, 9.0, 11.6), (VARNISH, 4.3, 6.6, 8.6)],
)
def test_coats_for_120_um_as_the_table_has_them(keeps, to_15, to_5, to_2):
    # pore_filling.md prints fractions; whole coats are the next ones up (a tenth of a coat is its rounding)
    for limit, printed in ((15, to_15), (5, to_5), (2, to_2)):
        assert printed - 0.1 <= coats_to(limit, 120, keeps) <= printed + 1


def test_lacquer_alone_never_fills():
    assert coats_to(1, 120, LACQUER) == MOST_FILLER_COATS


def test_least_filler_coats_take_account_of_what_follows():
    depth = Spread(70, 100, 130)
    alone = least_filler_coats(depth, FILLER, [], 1, 10, 20)
    then = least_filler_coats(depth, FILLER, [Filling(kept(0.167, 0.95))] * 6, 1, 10, 20)
    assert then.likely < alone.likely
    assert then.low <= then.likely <= then.high
    # count-back.md: four fillers and six coats of shellac bring sapele under the 10 um of satin
    assert then.likely == 4


def test_an_open_pore_accepted_asks_no_filler_at_the_low_end():
    assert least_filler_coats(Spread(70, 100, 130), FILLER, [], 3, 25, None).low == 0


@given(st.floats(1, 400), st.floats(0, 1), st.floats(0.3, 1), st.floats(0, 30))
def test_no_coat_deepens_a_pore_and_no_dip_is_negative(depth, solids, fill, cut):
    after = dip_um(depth, [Filling(kept(solids, fill)), Filling(cuts_um=cut)])
    assert 0 <= after <= depth


@given(st.floats(5, 300), st.floats(0.2, 0.95), st.floats(0.5, 50))
def test_one_coat_fewer_is_not_enough(depth, keeps, limit):
    number = coats_to(limit, depth, keeps)
    if 0 < number < MOST_FILLER_COATS:
        assert dip_um(depth, [Filling(keeps)] * number) <= limit
        assert dip_um(depth, [Filling(keeps)] * (number - 1)) > limit
