"""The commands about the wood: the figures to hold, ranges in order, and words for every bad input."""

from __future__ import annotations

import re

import pytest

WALNUT = ("--wood", "black walnut")


def _in_order(spread):
    assert spread["low"] <= spread["likely"] <= spread["high"]


def test_emc(run):
    said = run("emc", "--temp", "20 C", "--rh", "50", "--json")
    assert said.code == 0 and said.data["emc_pct"] == pytest.approx(9.27, abs=0.01)
    assert run("emc", "--temp", "68 F", "--rh", "50", "--json").data["emc_pct"] == said.data["emc_pct"]
    assert run("emc", "--mc", "8", "--json").data["rh"] == pytest.approx(0.418, abs=0.001)
    assert "9.3 %" in run("emc", "--rh", "50").out


def test_movement_between_two_airs(run):
    words = (*WALNUT, "--width", "400 mm", "--cut", "flat", "--from-rh", "40", "--to-rh", "65", "--json")
    found = run("movement", *words).data
    assert found["change_mm"]["likely"] == pytest.approx(4.68, abs=0.01)
    _in_order(found["change_mm"])
    assert (found["emc_from"], found["emc_to"]) == (pytest.approx(7.72, abs=0.01), pytest.approx(12.0, abs=0.01))


def test_movement_between_two_moistures_as_printed(run):
    """Wood Handbook p. 13-17: white fir 232 mm, 8 to 11 %: +1.7 mm."""
    words = ("--wood", "white fir", "--width", "232 mm", "--from-mc", "8", "--to-mc", "11", "--json")
    assert run("movement", *words).data["change_mm"]["likely"] == pytest.approx(1.7, abs=0.05)


@pytest.mark.parametrize("cut", ["flat", "rift", "quarter", "quartersawn"])
def test_every_cut(run, cut):
    words = (*WALNUT, "--width", "16 1/2 in", "--cut", cut, "--from-mc", "8", "--to-mc", "6")
    said = run("movement", *words)
    assert said.code == 0 and "shrinks" in said.out and re.search(r"\d in\b", said.out)


def test_cup(run):
    words = (*WALNUT, "--width", "400 mm", "--thickness", "22 mm", "--cut", "flat", "--top", "shellac x3")
    air = ("--from-rh", "40", "--to-rh", "65", "--json")
    found = run("cup", *words, "--under", "bare", *air).data
    _in_order(found["peak_mm"])
    assert found["peak_mm"]["likely"] == pytest.approx(7.1, rel=0.03)
    assert found["direction"] == "hollow on top" and 5 <= found["day"] <= 8
    assert found["beneath_mm"]["shellac x3"] == 0
    drier = run("cup", *words, "--under", "bare", "--from-rh", "65", "--to-rh", "40", "--json").data
    assert drier["direction"] == "round on top"
    even = run("cup", *words, "--under", "3 coats shellac", *air).data
    assert even["direction"] == "flat" and even["peak_mm"]["high"] < 0.01


def test_ready(run):
    words = ("--thickness", "27 mm", "--mc")
    found = run("ready", *WALNUT, *words, "10", "--json").data
    assert found["verdict"] == "wait"
    _in_order(found["weeks"])
    assert run("ready", *WALNUT, *words, "8.3", "--json").data["verdict"] == "go"
    sheet = run("ready", *WALNUT, *words, "12", "--weight", "4.2 kg").out
    assert "weigh" in sheet.lower() and "4200 g" in sheet


def test_the_course_of_a_cup_cannot_be_read_as_whole_inches(run):
    words = ("--width", "16 in", "--thickness", "7/8 in", "--from-mc", "11", "--to-mc", "6.2", "--top", "shellac x3")
    said = " ".join(run("cup", *WALNUT, *words).out.split())
    assert "day 1: " in said and "day 3: " in said and "the air goes from" not in said
    assert "kept the wood at 11.0 % moisture" in said


def test_ready_says_where_its_figure_comes_from_and_a_town_of_the_region_agrees(run):
    words = ("ready", *WALNUT, "--thickness", "27 mm", "--mc", "9")
    town, none = run(*words, "--town", "Chicago", "--json").data, run(*words, "--json").data
    assert town["target_pct"] == pytest.approx(none["target_pct"], abs=0.5) and town["verdict"] == none["verdict"]
    assert "Chicago" in town["target_from"] and "Wood Handbook" in none["target_from"]
    assert "Where it will live, 8.0 %: furniture" in " ".join(run(*words).out.split())
    assert run(*words, "--target-mc", "8", "--json").data["target_from"] == ""


def test_a_year_in_a_town_and_by_own_readings(run, tmp_path):
    words = (*WALNUT, "--width", "400 mm", "--from-mc", "8")
    town = run("movement", *words, "--town", "Chicago", "--finish", "shellac x3", "--json").data
    bare = run("movement", *words, "--town", "Chicago", "--json").data
    assert 0 < town["swing_mm"]["likely"] < bare["swing_mm"]["likely"]
    assert town["driest"]["mc_pct"] < town["dampest"]["mc_pct"]
    picture = tmp_path / "year.svg"
    own = run("movement", *words, "--dry-rh", "30", "--damp-rh", "60", "--svg", picture)
    assert own.code == 0 and "winter" in own.out and picture.read_text("utf-8").startswith("<svg")


def test_veneer_on_a_core_does_not_move_and_says_why(run):
    words = (*WALNUT, "--width", "400 mm", "--from-rh", "40", "--to-rh", "65", "--core", "plywood")
    assert run("movement", *words, "--json").data["change_mm"]["likely"] == 0
    assert "crosswise" in run("movement", *words).out


def test_a_wood_without_figures_is_estimated_and_marked(run):
    words = ("--width", "400 mm", "--from-mc", "8", "--to-mc", "11", "--json")
    assert run("movement", "--wood", "bubinga", *words).code == 2
    found = run("movement", "--wood", "bubinga", *words, "--gravity", "0.83").data
    assert found["kind"] == "assumption" and "estimate" in found["note_on_wood"]
    plain = run("movement", *WALNUT, *words).data
    wide = [f["change_mm"]["high"] / f["change_mm"]["likely"] for f in (found, plain)]
    assert wide[0] > wide[1]
    own = run("movement", "--wood", "bubinga", *words, "--shrinkage", "5.5 %, 7.8 %").data
    assert own["kind"] == "computed" and own["change_mm"]["likely"] == pytest.approx(400 * 0.00274 * 3, rel=0.01)


def test_air_too_damp_to_trust_is_told(run):
    assert "over 98 %" in run("emc", "--rh", "100").out and "over 98 %" in run("emc", "--mc", "29").out
    assert "98" in run("emc", "--rh", "99", "--json").data["doubt"]
    assert "Mind" not in run("emc", "--rh", "98").out


def test_a_thick_board_keeps_the_ends_of_its_wait_that_are_known(run):
    """The quick run comes in within three years, the slow one does not; a thicker board not even the quick one."""
    some = [run("ready", *WALNUT, "--thickness", f"{mm} mm", "--mc", "25", "--json").data["weeks"]
            for mm in range(40, 241, 20)]  # fmt: skip
    assert [w for w in some if w["low"] and w["low"] <= 156 and w["high"] is None]
    assert all(w["high"] is None or w["high"] <= 156 for w in some) and some[-1]["low"] is None
    said = run("ready", *WALNUT, "--thickness", "240 mm", "--mc", "25").out
    assert "Not within three years" in said and "kiln" in said and "week " not in said
    likely = [mm for mm, w in zip(range(40, 241, 20), some, strict=True) if w["likely"] and w["high"] is None]
    if likely:
        assert "perhaps over three years" in " ".join(
            run("ready", *WALNUT, "--thickness", f"{likely[0]} mm", "--mc", "25").out.split()
        )


def test_a_wait_brings_skin_and_core_together(run):
    """A mean that is right and a core 6 % damper than the skin: not done on the first day."""
    words = ("--thickness", "50 mm", "--target-mc", "8", "--json")
    apart = run("ready", *WALNUT, "--mc", "4", "--mc-core", "10", *words).data
    assert apart["verdict"] == "wait" and apart["weeks"]["low"] > 0 and "skin and core" in apart["why"]
    near = run("ready", *WALNUT, "--mc", "7", "--mc-core", "8.5", *words).data
    assert 0 < near["weeks"]["likely"] < apart["weeks"]["likely"]


MOVE = ("movement", *WALNUT, "--width", "400 mm")
COLD = ("--temp", "-40 C")
WRONG = [
    (("emc", *COLD, "--rh", "50"), "from -20 to 70 C"),
    (("emc", *COLD, "--mc", "8"), "from -20 to 70 C"),
    ((*MOVE, *COLD, "--from-rh", "40", "--to-rh", "60"), "from -20 to 70 C"),
    ((*MOVE, *COLD, "--dry-rh", "30", "--damp-rh", "60"), "from -20 to 70 C"),
    (("cup", *WALNUT, "--width", "400 mm", "--thickness", "22 mm", *COLD, "--from-rh", "40", "--to-rh", "60"),
     "from -20 to 70 C"),
    (("ready", *WALNUT, "--thickness", "27 mm", "--mc", "10", *COLD), "from -20 to 70 C"),
    ((*MOVE, "--from-mc", "8", "--to-mc", "-3"), "does not exist"),
    ((*MOVE, "--from-mc", "nan", "--to-mc", "9"), "not a number"),
    (("emc", "--rh", "101"), "does not exist"),
    (("emc", "--rh", "0.45"), "write 45"),
    (("emc",), "--rh 50"),
    (("emc", "--rh", "fifty"), "Write it as 45"),
    ((*MOVE, "--from-rh", "0.45", "--to-rh", "60"), "write 45"),
    ((*MOVE, "--from-rh", "40"), "--to-rh"),
    (MOVE, "--town Chicago"),
    (("cup", *WALNUT, "--width", "400 mm", "--thickness", "22 mm"), "--dry-rh 30"),
    ((*MOVE, "--from-rh", "40", "--from-mc", "8", "--to-mc", "9"), "--from-rh"),
    ((*MOVE, "--from-mc", "8", "--to-mc", "40"), "fibre saturation"),
    ((*MOVE, "--from-mc", "8", "--to-mc", "9", "--cut", "sideways"), "flat, rift or quarter"),
    ((*MOVE, "--from-mc", "8", "--to-mc", "9", "--core", "cheese"), "plywood"),
    ((*MOVE, "--town", "Atlantis"), "nearest climate"),
    ((*MOVE, "--dry-rh", "60", "--damp-rh", "30"), "--dry-rh 30"),
    ((*MOVE, "--dry-rh", "60"), "--damp-rh"),
    (("movement", "--wood", "unobtainium", "--width", "400 mm", "--from-mc", "8", "--to-mc", "9"), "unobtainium"),
    (("ready", *WALNUT, "--thickness", "27 mm", "--mc", "45"), "fibre saturation"),
    (("ready", *WALNUT, "--thickness", "27 mm", "--mc", "0.1"), "write 10"),
    (("ready", *WALNUT, "--thickness", "27 mm", "--mc", "10", "--home-rh", "40", "--target-mc", "8"), "more than once"),
    (("cup", *WALNUT, "--width", "20 mm", "--thickness", "22 mm", "--from-mc", "8", "--to-mc", "9"), "swap"),
    (("cup", *WALNUT, "--width", "400 mm", "--thickness", "22 mm", "--top", "moonshine x3", "--from-mc", "8",
      "--to-mc", "9"), "moonshine"),
    (("cup", *WALNUT, "--width", "400 mm", "--thickness", "22 mm", "--top", "water dye", "--from-mc", "8",
      "--to-mc", "9"), "damp"),
]  # fmt: skip


@pytest.mark.parametrize(("words", "says"), WRONG, ids=[" ".join(w[0][:1]) + f"-{n}" for n, w in enumerate(WRONG)])
def test_bad_words_are_told_with_what_to_write(run, words, says):
    said = run(*words)
    assert said.code == 2 and says in said.err and not said.out
    assert "Traceback" not in said.err


def test_per_cent_may_be_written_with_its_sign(run):
    bare = run("emc", "--rh", "45", "--json").data
    assert run("emc", "--rh", "45 %", "--json").data == run("emc", "--rh", "45%", "--json").data == bare
    ready = ("ready", *WALNUT, "--thickness", "27 mm", "--json")
    assert run(*ready, "--mc", "10 %", "--home-rh", "45 %").data == run(*ready, "--mc", "10", "--home-rh", "45").data


def test_a_cup_through_the_year_alone_and_beside_one_change_of_air(run):
    ask = ("cup", *WALNUT, "--width", "400 mm", "--thickness", "22 mm", "--top", "shellac x3", "--dry-rh", "30",
           "--damp-rh", "60")  # fmt: skip
    alone = run(*ask, "--json").data
    assert set(alone) >= {"year", "note"} and "peak_mm" not in alone and len(alone["year"]["on_day_mm"]) == 365
    assert alone["year"]["hollow_in"] == "summer" and "No outside truth" in alone["note"]
    both = run(*ask, "--from-rh", "40", "--to-rh", "65", "--json").data
    assert both["peak_mm"]["likely"] > both["year"]["hollow_mm"]["likely"] > 1
    assert "hollow on top in summer" in " ".join(run(*ask).out.split())
    assert run(*ask, "--pith", "200 mm").code == 2  # of one change of air alone


def test_fasteners_are_told_apart_and_a_crack_is_not_filled_in_the_dry_season(run):
    ask = ("movement", "--wood", "red oak", "--width", "18 in", "--from-mc", "7", "--to-mc", "12")
    held = {f["kind"]: f for f in run(*ask, "--json").data["room"]["fasteners"]}
    assert set(held) == {"slot", "button", "clip", "plate"} and held["plate"]["serves"]
    said = " ".join(run(*ask, "--crack", "1/8 in").out.split())
    assert "In the dry season do not fill it" in said and "Pivoting plate" in said and "Bent clip" in said
    assert 0.3 < run(*ask, "--crack", "1/8 in", "--json").data["crushed_share"] < 0.5
    assert run(*ask, "--crack", "4 in").code == 2
