"""Faults help: causes by what was really done, against the cases of makers, each with a sound twin."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest

from rakelight.errors import NotFound
from rakelight.facts import load
from rakelight.facts.faults import faults, find_fault
from rakelight.log.fault_remedy import STRIP, WAIT, WASH, Times, remedy
from rakelight.log.faults import CHECKS, CoatLaid, likely_causes

FACTS = load()
DAY = datetime(2027, 2, 8, 9, tzinfo=UTC)


def coat(material: str, wood: str = "sugar maple", task: str = "moulding/coat-1", **more) -> CoatLaid:
    return CoatLaid(
        "piece", task, task.split("/")[0], ("face",), FACTS.materials[material], FACTS.woods[wood], "brush",
        DAY, DAY + timedelta(minutes=30), **more,
    )  # fmt: skip


def first(fault: str, of: CoatLaid, *others: CoatLaid):
    return likely_causes(find_fault(fault), of, others, FACTS)[0]


def test_every_cause_of_the_table_names_a_check_and_every_fault_has_causes():
    for fault in faults().values():
        assert len(fault.causes) >= 2 and fault.now
        assert {c.check for c in fault.causes} <= set(CHECKS) and {c.usual for c in fault.causes} <= {1, 2, 3}


def test_shares_add_up_and_without_evidence_the_usual_cause_stands_first():
    for fault in faults().values():
        ranked = likely_causes(fault, replace(coat("shellac_dewaxed"), wood=None), [], FACTS)
        assert sum(c.share for c in ranked) == pytest.approx(1.0)
        assert [c.share for c in ranked] == sorted((c.share for c in ranked), reverse=True)


def test_c44_the_sound_beech_rules_out_mix_gun_and_air():
    """C44: "the beech is the control: it rules out mix, air line and gun; the cause lies in what the maple touched"."""
    beech = coat("lacquer_precat", "American beech", "panel/coat-1")
    ranked = likely_causes(find_fault("craters"), coat("lacquer_precat"), [beech], FACTS)
    assert ranked[0].cause.check == "this surface" and ranked[0].share > 0.8
    assert "American beech" in ranked[0].because
    gun = next(c for c in ranked if c.cause.check == "same can")
    assert gun.tells == "against" and gun.share < 0.1


def test_c44_twin_craters_on_both_woods_speak_for_the_can_or_gun():
    beech = replace(coat("lacquer_precat", "American beech", "panel/coat-1"), faults=("fisheye",))
    assert first("fisheye", coat("lacquer_precat"), beech).cause.check == "same can"


def test_c23_a_can_ten_times_its_life_is_the_cause_and_no_waiting_ends():
    """C23: "it will probably never set; wash off, start with fresh material"."""
    old = coat("oil_varnish_blend", "black walnut", can_age=(120.0, 12.0, 24.0), temp_c=21.0)
    ranked = likely_causes(find_fault("will not dry"), old, [], FACTS)
    assert ranked[0].cause.check == "old can" and ranked[0].share > 0.5
    times = Times(DAY + timedelta(days=20), high=DAY + timedelta(days=30))
    done = remedy(find_fault("soft"), old, ranked, times, ["a"])
    assert done.way in (WASH, STRIP) and done.decide_by is None and done.reach == "part"


def test_c23_twin_a_fresh_can_laid_cold_is_waited_for():
    """C20: eleven of fourteen warm days gone: "not yet", not "never"."""
    cold = coat("tung_pure", "black cherry", can_age=(3.0, 12.0, 24.0), temp_c=4.0)
    ranked = likely_causes(find_fault("soft"), cold, [], FACTS)
    assert ranked[0].cause.check == "cold"
    high = DAY + timedelta(days=25)
    done = remedy(find_fault("soft"), cold, ranked, Times(DAY + timedelta(days=14), high=high), ["a"])
    assert (done.way, done.decide_by, done.then) == (WAIT, high, WASH)


def test_the_date_wanted_decides_sooner_than_the_odds():
    """A new start must still meet the date: wanted less what the rest takes."""
    times = Times(DAY, high=DAY + timedelta(days=25), wanted=DAY + timedelta(days=30), rest=timedelta(days=20))
    ranked = likely_causes(find_fault("soft"), coat("tung_pure", temp_c=4.0), [], FACTS)
    assert remedy(find_fault("soft"), coat("tung_pure"), ranked, times, []).decide_by == DAY + timedelta(days=10)
    past = replace(times, now=DAY + timedelta(days=11))
    assert remedy(find_fault("soft"), coat("tung_pure"), ranked, past, ["x"]).way == WASH


def test_c25_unsealed_cocobolo_keeps_varnish_soft():
    """C25: other woods beside it dry in a day or two; a plan with a date must strip."""
    ill = coat("omu_wipe", "cocobolo", temp_c=21.0)
    ranked = likely_causes(find_fault("tacky"), ill, [coat("omu_wipe", "sugar maple", "shelf/coat-1")], FACTS)
    assert ranked[0].cause.check == "oily wood" and ranked[0].share > 0.5
    assert remedy(find_fault("tacky"), ill, ranked, Times(DAY), ["a"]).way == STRIP


def test_c25_twin_the_same_on_maple_is_not_laid_to_the_wood():
    ranked = likely_causes(find_fault("tacky"), coat("omu_wipe", "sugar maple", temp_c=12.0), [], FACTS)
    assert next(c for c in ranked if c.cause.check == "oily wood").tells == "against"
    assert ranked[0].cause.check == "cold"


@pytest.mark.parametrize(("margin", "tells"), [(-2.0, "for"), (1.0, "for"), (6.0, "against")])
def test_c16_blush_by_the_dew_point_of_the_hours_it_was_wet(margin, tells):
    """C16: rain at 60 F, the film below the dew point: certain blush."""
    damp = next(c for c in likely_causes(find_fault("milky"), coat("lacquer_nc", margin_k=margin), [], FACTS)
                if c.cause.check == "damp air")  # fmt: skip
    assert damp.tells == tells and (tells == "against" or damp.share > 0.6)


def test_c30_water_borne_over_oil_two_days_old():
    """C30: blisters along the grain over oil dried two days: still giving off beneath; three days and more."""
    soon = coat("wb_acrylic", "black cherry", beneath=FACTS.materials["linseed_boiled"], waited_h=48.0,
                asked_h=(168.0, 300.0), scuffed=False)  # fmt: skip
    assert first("blisters", soon).cause.check == "too soon"
    late = replace(soon, waited_h=400.0)
    assert first("blisters", late).cause.check != "too soon"


def test_c34_coats_not_scuffed_peel_and_its_twin_of_shellac_does_not_blame_it():
    """C34: "oil-based coats do not weld to each other; they need a scratch to hold on to"."""
    varnish, shellac = FACTS.materials["omu_brush"], FACTS.materials["shellac_dewaxed"]
    ill = coat("omu_brush", beneath=varnish, scuffed=False, waited_h=10.0, asked_h=(8.0, 10.0), verdict="ok")
    assert first("peeling", ill).cause.check == "not scuffed"
    fuses = coat("shellac_dewaxed", beneath=shellac, scuffed=False, waited_h=2.0, asked_h=(1.0, 2.0), verdict="ok")
    ranked = likely_causes(find_fault("peeling"), fuses, [], FACTS)
    assert next(c for c in ranked if c.cause.check == "not scuffed").tells == "against"


@pytest.mark.parametrize(("dust_h", "blamed"), [(0.0, True), (0.4, True), (None, False), (3.0, None)])
def test_c69_nibs_and_the_hour_of_still_air(dust_h, blamed):
    """C69: "an hour at least between dust and wet, and block machine work while anything is wet"."""
    ranked = likely_causes(find_fault("nibs"), coat("alkyd_varnish", dust_h=dust_h), [], FACTS)
    dust = next(c for c in ranked if c.cause.check == "dust")
    assert dust.tells == {True: "for", False: "against", None: ""}[blamed]
    assert (ranked[0] is dust) is not (blamed is False)


def test_c14_rings_come_where_more_is_taken_than_the_last_coat_is_thick():
    """C14: wiped last coat 0.2 to 0.3 mil, nib removal 0.3 to 0.6 mil: always cut through; brushed, 1.4 to 1.8: not."""
    thin = coat("omu_wipe", film_um=70.0, took_um=12.0, last_um=6.0)
    assert first("rings", thin).cause.check == "last coat thin"
    thick = replace(thin, last_um=40.0)
    ranked = likely_causes(find_fault("rings"), thick, [], FACTS)
    assert next(c for c in ranked if c.cause.check == "last coat thin").tells == "against"


def test_a_spot_where_coats_melt_together_and_a_face_where_they_do_not():
    times = Times(DAY)
    for material, reach in (("shellac_dewaxed", "spot"), ("lacquer_nc", "spot"), ("omu_brush", "face")):
        of, nibs = coat(material), find_fault("nibs")
        assert remedy(nibs, of, likely_causes(nibs, of, [], FACTS), times, []).reach == reach


def test_wax_on_the_spot_is_washed_off_first():
    waxed = coat("shellac_dewaxed", waxed="paste wax")
    done = remedy(find_fault("nibs"), waxed, (), Times(DAY), [])
    assert "mineral spirits" in done.clean and "Paste wax" in done.clean
    assert remedy(find_fault("nibs"), coat("shellac_dewaxed"), (), Times(DAY), []).clean == ""


@pytest.mark.parametrize("said", ["fish eyes", "Fish-Eye", "it went milky", "drips", "will not dry", "cut-through"])
def test_faults_by_what_makers_call_them(said):
    assert find_fault(said).name in faults()


def test_a_fault_no_one_knows_is_told_with_those_there_are():
    with pytest.raises(NotFound, match="There are: blush"):
        find_fault("the cat sat on it")


def test_what_lies_over_the_faulty_coat_comes_off_with_it():
    done = ["top/sand", "top/coat-1", "top/coat-2", "top/coat-3"]
    middle = coat("omu_brush", task="top/coat-2")
    assert remedy(find_fault("flaking"), middle, (), Times(DAY), done).again == tuple(done)
    past = Times(DAY + timedelta(days=60), high=DAY + timedelta(days=10))
    oil = coat("tung_pure", task="top/coat-2")
    washed = remedy(find_fault("soft"), oil, likely_causes(find_fault("soft"), oil, [], FACTS), past, done)
    assert washed.doing == WASH and washed.again == ("top/coat-2", "top/coat-3")
