"""The commands film, sheen and cutting, as they are typed."""

from __future__ import annotations

import json
import re
from functools import cache
from itertools import pairwise
from pathlib import Path

import click
import pytest
import typer
from click.testing import CliRunner

from rakelight.cli.app import app
from rakelight.errors import Misread, NotFound, RakelightError

ROOT = Path(__file__).parents[2]
CABINET = str(ROOT / "examples" / "music-cabinet.toml")
RUNNER = CliRunner()


@cache
def command() -> click.Command:
    """All commands, made ready once."""
    return typer.main.get_command(app)


def run(*words: str) -> str:
    result = RUNNER.invoke(command(), list(words), catch_exceptions=False)
    assert result.exit_code == 0, result.output
    return result.output


def test_film_as_data() -> None:
    found = json.loads(run("film", CABINET, "--part", "Case", "--json"))
    assert found["schema"] == 1 and found["part"] == "case"
    held = {"name", "dry_um", "arris_um", "last_coat_um", "floor_um", "ceiling_um", "cut_through", "coats_more",
            "filler_coats", "sheen"}  # fmt: skip
    for face in found["faces"]:
        assert held <= set(face)
        assert face["dry_um"]["low"] <= face["dry_um"]["likely"] <= face["dry_um"]["high"]
        assert set(face["cut_through"]) == {"flat", "arris"}
    back = next(f for f in found["faces"] if f["name"] == "back")
    assert back["sheen"]["word"] == "satin" and set(back["sheen"]["gu"]) == {"low", "likely", "high"}
    assert back["dry_um"]["likely"] < back["floor_um"] < back["ceiling_um"] == 75


def test_film_for_people_tells_alike_faces_once() -> None:
    said = run("film", CABINET)
    assert "back, left, right, rims: 2.0 mil" in said and "Lay one more coat before you level." in said
    assert said.count("Case\n") == 1


def test_a_wanted_film_and_an_old_one() -> None:
    more = json.loads(run("film", CABINET, "--part", "drawer-side", "--want", "40 um", "--json"))["faces"][0]
    assert more["coats_more"] == more["coats_more_for"]["film"] == 3
    old = json.loads(run("film", CABINET, "--part", "case", "--old", "2 mil", "--json"))
    assert "film-over-ceiling" in {f["id"] for f in old["findings"]}


def test_a_film_above_its_ceiling_is_told_with_the_nearest() -> None:
    told = json.loads(run("film", CABINET, "--part", "shelf", "--want", "200 um", "--json"))["findings"]
    (found,) = {(f["says"], f["mend"]) for f in told if f["id"] == "film-wanted-not-reached"}
    assert "4.9 mil cracks" in found[0] and "nearest that may be had is 20 more coats" in found[1]
    said = run("film", CABINET, "--part", "drawer-side", "--want", "40 um")
    assert "Three more coats come to" in said


@pytest.mark.parametrize("narrow", [[], ["--narrow"]])
def test_a_picture_is_written(tmp_path: Path, narrow: list[str]) -> None:
    svg = tmp_path / "out.svg"
    run("film", CABINET, "--part", "shelf", "--svg", str(svg), "--face", "underside", *narrow)
    assert svg.read_text("utf-8").startswith("<svg") and "shelf, underside" in svg.read_text("utf-8")


def test_sheen_both_ways() -> None:
    found = json.loads(run("sheen", "--finish", "dewaxed shellac", "--last", "pumice FFF", "--json"))
    assert found["word"] == "satin" and found["gu"]["low"] < 20 < found["gu"]["likely"] < 35 < found["gu"]["high"]
    assert "a class either way" not in found["says"]  # 20 to 35 reaches past the classes beside it: the ends say so
    assert f"it may come out {found['words'][0]} or {found['words'][1]}" in found["says"]
    back = json.loads(run("sheen", "--want", "satin", "--json"))
    assert {"0000 wool", "pumice FFF"} & {row["last"] for row in back["stop_with"][:3]}
    like = json.loads(run("sheen", "--want", "48 GU", "--json"))
    assert like["stop_with"][0]["last"] == "P2000"


def test_a_part_is_matched_by_what_its_last_rub_leaves() -> None:
    film = json.loads(run("film", CABINET, "--part", "case", "--json"))["faces"]
    case = next(f["sheen"] for f in film if f["name"] == "back")
    found = json.loads(run("sheen", "--match", CABINET, "--part", "case", "--json"))
    assert found["match"]["gu"] == case["gu"] and found["match"]["because"] == "0000 wool"
    assert found["wanted_gu"]["likely"] == round(case["gu"]["likely"]) and found["reached"]
    assert found["says"].startswith("Case is satin")
    assert "Stop with" in run("sheen", "--match", CABINET, "--part", "shelf", "--finish", "nitrocellulose lacquer")


def test_wax_lowers_the_shine_and_one_reading_refits() -> None:
    bare, waxed = (json.loads(run("sheen", "--last", "rottenstone", *w, "--json")) for w in ([], ["--wax"]))
    assert waxed["gu"]["likely"] < bare["gu"]["likely"] and waxed["most_gu"] < 82
    own = json.loads(run("sheen", "--last", "pumice FFF", "--reading", "38", "--json"))
    assert own["measured"] and own["gu"]["likely"] == 38
    assert own["gu"]["low"] < 25 and own["gu"]["high"] > 50  # one panel, one hand: it still may be otherwise
    assert own["words"][0] != own["words"][1]
    coarser = json.loads(run("sheen", "--want", "38", "--last", "pumice FFF", "--reading", "38", "--json"))
    assert coarser["stop_with"][0]["last"] == "pumice FFF"


def test_more_shine_than_the_film_can_give_names_the_nearest() -> None:
    found = json.loads(run("sheen", "--want", "95", "--json"))
    assert not found["reached"] and found["stop_with"][0]["last"] == "polishing compound"
    assert "not to be had" in found["says"]


def test_less_shine_than_any_film_has_is_not_to_be_had_either() -> None:
    found = json.loads(run("sheen", "--want", "0", "--json"))
    assert not found["reached"] and "not to be had" in found["says"] and "2 GU at least" in found["says"]
    assert json.loads(run("sheen", "--want", "2", "--json"))["reached"]


def test_one_reading_still_leaves_a_class_either_way() -> None:
    words = ("sheen", "--want", "38", "--last", "pumice FFF", "--reading", "38", "--json")
    gu = json.loads(run(*words))["stop_with"][0]["gu"]
    assert gu["low"] < 35 < gu["likely"] == 38 < 55 < gu["high"]  # satin, semi-gloss, and a class higher or its top


def test_odds_at_the_ends_are_said_in_words() -> None:
    assert "hardly ever" in run("cutting", "--film", "50 um", "--removal", "2 um")
    assert "nearly always" in run("cutting", "--film", "20 um", "--removal", "60 um", "--spots", "12")
    assert "4 times in 100" in run("cutting", "--film", "50 um", "--removal", "26 um")


def test_a_piece_with_no_film_says_so() -> None:
    piece = ROOT / "examples" / "one-board.toml"  # oil and wax
    with pytest.raises(Misread) as bad:
        RUNNER.invoke(command(), ["film", str(piece)], catch_exceptions=False, standalone_mode=False)
    assert "Walnut wall shelf gets no film" in str(bad.value)


def test_cutting() -> None:
    found = json.loads(run("cutting", "--film", "50 um", "--removal", "26 um", "--json"))
    assert found["cut_through"] == pytest.approx(0.0409, abs=1e-4)
    assert found["by_normal"] == pytest.approx(0.0517, abs=1e-4)
    many = json.loads(run("cutting", "--film", "2 mil", "--removal", "1 mil", "--spots", "12", "--json"))
    assert many["film_um"] == pytest.approx(50.8) and many["anywhere"] > 8 * many["cut_through"]
    in_mil = run("cutting", "--film", "2 mil", "--removal", "1 mil")
    assert "(1.0 mil off 2.0 mil)" in in_mil and "have 2.4 mil" in in_mil and " um" not in in_mil
    sprayed = json.loads(run("cutting", "--film", "50 um", "--removal", "26 um", "--by", "spray", "--json"))
    assert sprayed["cut_through"] < found["cut_through"]


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("film", CABINET, "--part", "cas"), "case"),
        (("film", CABINET, "--part", "plinth"), "no film"),
        (("film", CABINET, "--svg", "x.svg"), "one part"),
        (("film", CABINET, "--part", "case", "--svg", "x.svg", "--face", "lid"), "back"),
        (("film", CABINET, "--want", "thick"), "2 mil"),
        (("film", CABINET, "--odds", "0 %"), "1 %"),
        (("sheen", "--last", "P99999"), "nearest"),
        (("sheen", "--last", "moss"), "abrasive"),
        (("sheen", "--finish", "boiled lindseed", "--last", "P1000"), "boiled linseed oil"),
        (("sheen", "--want", "dazzling"), "satin"),
        (("sheen", "--last", "P1000", "--reading", "91.7"), "fixes nothing"),
        (("sheen",), "last rubbed"),
        (("sheen", "--match", CABINET), "--part with one of"),
        (("sheen", "--match", CABINET, "--part", "plinth"), "Nothing tells the sheen"),
        (("sheen", "--match", CABINET, "--part", "case", "--want", "satin"), "Leave one out"),
        (("cutting", "--film", "50", "--removal", "26 um"), "50 um"),
        (("cutting", "--film", "50 miles", "--removal", "26 um"), "2 mil"),
        (("cutting", "--film", "50 um", "--removal", "26 um", "--by", "broom"), "brush"),
        (("cutting", "--film", "50 um", "--removal", "26 um", "--spots", "nan"), "spots"),
        (("cutting", "--film", "50 um", "--removal", "26 um", "--odds", "100 %"), "1 %"),
    ],
)  # fmt: skip
def test_bad_words_are_told_with_what_to_write(words: tuple[str, ...], says: str) -> None:
    with pytest.raises((Misread, NotFound, RakelightError)) as bad:
        RUNNER.invoke(command(), list(words), catch_exceptions=False, standalone_mode=False)
    assert says in str(bad.value)


def test_grits_put_the_papers_between_that_a_step_lacks() -> None:
    found = json.loads(run("grits", "120, 320", "--json"))
    assert found["papers"][0]["paper"] == "P120" and found["papers"][-1]["paper"] == "P320"
    grains = [p["grain_um"] for p in found["papers"]]
    assert all(a / b <= found["most_step"] for a, b in pairwise(grains))
    assert found["papers"][1]["takes_um"] == pytest.approx(12.5)  # a tenth of P120's 125 um
    kept = json.loads(run("grits", "120, 180, 240", "--json"))
    assert [p["paper"] for p in kept["papers"]] == ["P120", "P180", "P240"] and not kept["too_wide"]
    wide = json.loads(run("grits", "80, 180, 400", "--json"))
    assert wide["too_wide"] == ["P80 to P180", "P180 to P400"]
    three = json.loads(run("grits", "120, 180, 320", "--json"))
    assert three["too_wide"] == ["P180 to P320"] and "widest step is 1.52 to 1" in three["says"]
    assert [p["paper"] for p in three["papers"]] == ["P120", "P180", "P240", "P320"]  # as a maker does
    paces = re.findall(r"(\d+) min a square metre .*?(\d+) a square foot", three["says"])
    a_metre, a_foot = (int(n) for n in paces[0])
    assert a_foot == round(a_metre * 0.3048**2)
    assert wide["drop_back_min_per_m2"]["likely"] > 0


def test_grits_on_a_film_and_from_the_fault() -> None:
    film = json.loads(run("grits", "P600, P3000", "--film", "--json"))
    assert film["on"] == "film" and len(film["papers"]) > 2 and film["minutes_per_m2"] is None
    assert all(a / b <= 1.8 for a, b in pairwise(p["grain_um"] for p in film["papers"]))
    near = json.loads(run("grits", "P600, P1000, P2000", "--film", "--json"))  # 1.41 and 1.78: on wood too wide
    assert not near["too_wide"] and len(near["papers"]) == 3 and "1.78 to 1" in near["says"]
    assert "US 400" in run("grits", "US 400, US 600", "--film")
    peel = json.loads(run("grits", "--fault", "orange peel", "--json"))
    assert peel["first"] == "P600" and peel["film_um"] > 40
    runs = json.loads(run("grits", "--fault", "runs", "--json"))
    assert "scraper" in runs["first_do"] and runs["film_um"] is None


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("grits", "320, 120"), "coarse to fine"),
        (("grits", ", ,"), "120, 180"),
        (("grits", "0000 wool"), ""),
        (("grits", "--fault", "oragne peel"), "orange peel"),
        (("grits",), "Which papers"),
    ],
)
def test_grits_misread(words: tuple[str, ...], says: str) -> None:
    with pytest.raises(Misread) as bad:
        RUNNER.invoke(command(), list(words), catch_exceptions=False, standalone_mode=False)
    assert says in str(bad.value)


def test_what_is_only_rubbed_with_wool_asks_no_film_to_level(tmp_path: Path) -> None:
    """The floor before the rub-out is one for levelling: without it, none is advised; with it, one is."""
    coat = '{do = "coat", with = "dewaxed shellac", by = "brush", coats = 2, cut = 2}'
    steps = coat + ', %s{do = "rub", with = "0000 wool"}'
    board = 'piece = "B"\n'
    board += 'unit = "in"\n[part.top]\nwood = "sugar maple"\nlong = 20\nwide = 10\nthick = 0.75\nfinish = "r"\n'
    for level, floor in (("", False), ('{do = "level", grits = [400, 600], wet = "mineral spirits"}, ', True)):
        file = tmp_path / "b.toml"
        file.write_text(board + f"[schedule.r]\nsteps = [{steps % level}]\n")
        said = run("film", str(file))
        assert "rubbing takes" in said and (" first" in said) == floor, said
        faces = json.loads(run("film", str(file), "--part", "top", "--json"))["faces"]
        assert (faces[0]["floor_um"] is not None) == floor


def test_no_steel_wool_is_told_for_a_water_borne_film() -> None:
    """A rule of the trade: shreds of wool rust in it; a pad or a powder takes its place (common practice)."""
    watery = json.loads(run("sheen", "--want", "satin", "--finish", "water-borne acrylic-urethane", "--json"))
    assert not [row for row in watery["stop_with"] if "wool" in row["last"]]
    assert "No steel wool" in watery["says"] and "light grey pad" in watery["says"]
    other = json.loads(run("sheen", "--want", "satin", "--finish", "shellac", "--json"))
    assert other["stop_with"][0]["last"] == "0000 wool" and "No steel wool" not in other["says"]


@pytest.mark.parametrize(("piece", "to"), [("music-cabinet", "to the wood"), ("eight-stools", "to the coat beneath")])
def test_through_to_what_is_said_with_every_chance(piece: str, to: str) -> None:
    """Shellac melts together, so all of it is gone through; varnish shows a line at the coat beneath."""
    shop = {"music-cabinet": "shop-winter", "eight-stools": "shop-evenings"}[piece]
    said = " ".join(run("film", f"examples/{piece}.toml", "--shop", f"examples/{shop}.toml").split())
    assert f"cut through {to}, one spot" in said and f"arris is cut through {to}:" in said
