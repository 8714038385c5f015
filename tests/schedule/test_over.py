"""May this go over that: verdicts, waits as ranges, barriers with both waits, and where makers disagree."""

import pytest

from rakelight.errors import SourceKind
from rakelight.facts import load
from rakelight.schedule.over import BARRIER, may_go_over

FACTS = load()


def triple(spread):
    return (spread.low, spread.likely, spread.high)


def test_waits_of_pairs_are_ranges_in_the_proportion_of_the_lower_row():
    # docs/decisions.md, "Pairs": water-borne filler, boiled oil to shellac, paste filler
    for under, over, hours in (
        ("filler_wb_clear", "shellac_dewaxed", (9, 12, 24)),
        ("linseed_boiled", "shellac_dewaxed", (84, 168, 336)),
        ("filler_oil_paste", "alkyd_varnish", (24, 72, 168)),
    ):
        assert triple(may_go_over(FACTS, under, over).wait_h) == pytest.approx(hours)


def test_own_kind_is_the_recoat_time_of_the_row():
    for id, row in FACTS.materials.items():
        pair = FACTS.pair(id, id)
        if pair and pair.verdict == "ok":
            assert triple(may_go_over(FACTS, id, id).wait_h) == pytest.approx(
                triple(row.time_h["recoat_min"])
            ), id


def test_water_borne_over_oil_asks_a_barrier_and_tells_both_waits():
    answer = may_go_over(FACTS, "linseed_boiled", "wb_acrylic", "brush")
    assert (answer.verdict, answer.barrier) == ("needs-barrier", BARRIER)
    assert answer.wait_h.likely == 168 and answer.then_h.likely == 3
    assert answer.disagree


def test_a_barrier_never_makes_a_never_good():
    answer = may_go_over(FACTS, "alkyd_varnish", "lacquer_nc", "spray")
    assert (answer.verdict, answer.barrier, answer.wait_h) == ("never", None, None)


def test_the_way_it_is_laid_counts():
    assert may_go_over(FACTS, "dye_alcohol", "shellac_dewaxed", "brush").verdict == "never"
    assert may_go_over(FACTS, "dye_alcohol", "shellac_dewaxed", "spray").verdict == "ok"


def test_waxy_shellac_under_varnish_is_told_with_both_opinions():
    answer = may_go_over(FACTS, "shellac_waxy", "omu_brush")
    assert answer.verdict == "needs-barrier" and "Labels" in answer.disagree
    assert may_go_over(FACTS, "shellac_dewaxed", "omu_brush").disagree is None


def test_what_no_table_knows_is_not_called_good():
    answer = may_go_over(FACTS, "size_glue", "filler_plaster_pumice")
    assert answer.verdict == "unknown" and answer.wait_h is None and answer.reason


def test_every_row_answers_with_its_own_verdict_and_source():
    for pair in FACTS.pairs:
        if pair.over == "*":
            continue
        answer = may_go_over(FACTS, pair.under, pair.over, pair.method)
        assert answer.verdict == pair.verdict
        assert answer.source and answer.kind
        if pair.verdict == "never":
            assert answer.barrier is None
        if pair.verdict == "needs-barrier":
            # dewaxed shellac must itself be allowed on both sides, or the advice would be wrong
            below, above = FACTS.pair(pair.under, BARRIER), FACTS.pair(BARRIER, pair.over)
            assert below and below.verdict in ("ok", "ok-after-cure", "needs-abrading"), pair
            scuffed = above is not None and above.verdict == "needs-abrading" and "scuffed" in pair.reason
            assert above and (above.verdict == "ok" or scuffed), pair


def test_every_opinion_is_of_pairs_that_stand_and_has_a_source():
    from rakelight.facts.opinions import opinion, opinions

    told = {o for u in FACTS.materials for v in FACTS.materials if (o := opinion(FACTS, u, v))}
    assert told == set(opinions(FACTS)) and all(o.source.text for o in told)
    assert opinion(FACTS, "linseed_boiled", "wb_acrylic") and not opinion(FACTS, "wb_acrylic", "linseed_boiled")
    assert not opinion(FACTS, "omu_brush", "omu_wipe")


def test_a_blend_over_a_film_is_a_thin_varnish_and_asks_a_scuff():
    """Waits are those of wiped varnish over the same film; the wax in shellac asks dewaxed shellac between."""
    for under in ("shellac_dewaxed", "omu_brush", "lacquer_nc", "wb_acrylic"):
        answer, varnish = (may_go_over(FACTS, under, over) for over in ("oil_varnish_blend", "omu_wipe"))
        assert answer.verdict == "needs-abrading" and answer.kind is SourceKind.COMMON
        assert answer.wait_h == varnish.wait_h and "not an oil" in answer.reason
    waxy = may_go_over(FACTS, "shellac_waxy", "oil_varnish_blend")
    assert waxy.verdict == "needs-barrier" and waxy.barrier == BARRIER and "scuffed" in waxy.reason
