"""Makers' cases of film, pores and filling, each with a sound twin: C10, C11, C12, C14, C15, C41, C43.

Source: cases.md of the shared folder, by case id. Twins change one thing and stay silent.
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from rakelight.errors import Severity
from rakelight.facts import Facts, load
from rakelight.physics import film
from rakelight.piece.file import read_piece
from rakelight.schedule.book import Book
from rakelight.schedule.filling_ways import filling_ways
from rakelight.schedule.film_answers import FaceAnswer, Limits, part_film
from rakelight.schedule.unroll import unroll
from rakelight.shop.file import read_shop
from rakelight.spread import Spread
from rakelight.units import UM_PER_MIL

FACTS = load()
SAND = 'do = "sand", grits = [120, 150, 180]'
LACQUER = 'do = "coat", with = "nitrocellulose lacquer", by = "spray", coats = {}'
PRECAT = 'do = "coat", with = "pre-catalyzed lacquer", by = "spray", coats = {}'
BRUSHED = 'do = "coat", with = "brushing urethane varnish", by = "brush", coats = {}, scuff = 320'
WIPED = 'do = "coat", with = "wiping urethane varnish", by = "wipe", coats = 6, scuff = 400'
RUB = ('do = "level", grits = [600], wet = "soapy water"', 'do = "rub", with = "pumice FFF", wet = "mineral oil"')
SHOP = """
shop = "Bench"
zone = "America/Chicago"
hours = { mon-fri = "8:00-17:00" }
[place.shop]
size = "20 ft x 20 ft x 9 ft"
air = [{ open = "70 F, 50 %", closed = "70 F, 50 %" }]
[gear]
gun = { set_up = 10, clean = 15 }
"""


def top(text: str, old_um: float = 0.0, facts: Facts = FACTS, limits: Limits | None = None) -> FaceAnswer:
    piece, found = read_piece(text, "case.toml", facts=facts)
    shop, wrong = read_shop(SHOP, "shop.toml")
    assert piece and shop and not [f for f in (*found, *wrong) if f.severity is Severity.ERROR], found
    work = unroll(piece, Book(inline=piece.schedules, facts=facts), shop, facts)
    assert not [f for f in work.findings if f.severity is Severity.ERROR], work.findings
    old = Spread.exact(old_um) if old_um else None
    return next(a for a in part_film(work, "board", facts, limits, old) if a.film.face in ("top", "front"))


def ids(answer: FaceAnswer) -> dict[str, str]:
    return {f.id: f"{f.says} {f.mend}" for f in answer.findings}


def test_c10_two_mils_of_two_coats_leave_room_for_two_more(board) -> None:
    """1 mil dry from 4 to 5 mil wet is a fifth to a quarter solids; 2 mil against 4 to 5: two more fit."""
    assert film.dry_um(4.0, 0.25) == film.dry_um(5.0, 0.20) == pytest.approx(1.0)
    answer = top(board(SAND, PRECAT.format(2)))
    assert "film-over-ceiling" not in ids(answer)
    assert answer.more.room >= 2
    assert 3.5 * UM_PER_MIL < answer.ceiling_um < 5 * UM_PER_MIL


def test_c10_twin_far_too_many(board) -> None:
    assert "cracks" in ids(top(board(SAND, PRECAT.format(9))))["film-over-ceiling"]


def _sprayed(board, coats: int, scuff: str, thin: str = "") -> list[FaceAnswer]:
    """3 mil wet at 30 % of solids, a scuff takes 0.3 mil; asked how many more coats to 3 and to 4 mil."""
    row = replace(
        FACTS.materials["lacquer_precat"],
        solids_volume=Spread.exact(0.30),
        wet_film_um={"spray": Spread.exact(3 * UM_PER_MIL)},
    )
    off = replace(FACTS.figures["scuff_um"], value=Spread.exact(0.3 * UM_PER_MIL))
    facts = replace(
        FACTS,
        materials=FACTS.materials | {"lacquer_precat": row},
        figures=FACTS.figures | {"scuff_um": off},
    )
    text = board(SAND, PRECAT.format(coats) + scuff + thin)
    limits = Limits.of(facts)
    return [top(text, facts=facts, limits=replace(limits, film_um=mil * UM_PER_MIL)) for mil in (3, 4)]


@pytest.mark.parametrize(("coats", "mil"), [(1, 0.9), (2, 1.5), (3, 2.1), (7, 4.5)])
def test_c11_coats_counted_with_scuffs_between(board, coats: int, mil: float) -> None:
    """0.9, scuffed to 0.6, 1.5 after the second, and so on."""
    first, _ = _sprayed(board, coats, ", scuff = 320")
    assert first.film.dry_um.likely == pytest.approx(mil * UM_PER_MIL)


def test_c11_five_coats_for_three_mil_and_seven_for_four(board) -> None:
    assert [2 + a.more.film for a in _sprayed(board, 2, ", scuff = 320")] == [5, 7]


def test_c11_thinned_a_tenth_each_coat_leaves_less(board) -> None:
    """30 of 110: 0.82 mil a coat."""
    thinned, _ = _sprayed(board, 1, "", ', thin = "10 %"')
    assert thinned.film.dry_um.likely == pytest.approx(0.82 * UM_PER_MIL, abs=0.005 * UM_PER_MIL)


def test_c11_twin_without_the_scuffs_four_and_five_do(board) -> None:
    assert [2 + a.more.film for a in _sprayed(board, 2, "")] == [4, 5]


LEVELLED = 'do = "level", grits = [320, 400, 600, 800, 1000], wet = "soapy water"'


def test_c12_the_edge_goes_first_and_it_is_told_what_to_do(board) -> None:
    """Levelling takes 1 to 1.4 mil off the flat with poor spray; a sharp arris of a 3 mil film has no margin."""
    answer = top(board(SAND, LACQUER.format(4), LEVELLED, part='arris = "sharp"'))
    assert answer.cut.arris > 0.5 > answer.cut.flat
    said = ids(answer)["cut-through-arris"]
    assert "3/8 in off the edge" in said and "P600" in said
    assert 0.5 * UM_PER_MIL < answer.film.rub_um.likely < 1.4 * UM_PER_MIL


def test_c12_twin_with_the_arris_rounded(board) -> None:
    answer = top(board(SAND, LACQUER.format(4), LEVELLED, part='arris = "3 mm"'))
    assert not ids(answer)


def test_c14_a_wiped_last_coat_is_always_cut_and_no_coats_mend_it(board) -> None:
    answer = top(board(SAND, WIPED, *RUB))
    assert answer.cut.flat > 0.9
    assert answer.more.flat is None
    said = ids(answer)["cut-through-last-coat"]
    assert "do not melt together" in said and "contour line" in said
    assert answer.film.last_um.likely == pytest.approx(0.25 * UM_PER_MIL, abs=2.5)


def test_c14_twin_lacquer_melts_into_one(board) -> None:
    answer = top(board(SAND, LACQUER.format(4), *RUB))
    assert answer.cut.flat < 0.001 and not ids(answer)


def test_c14_a_brushed_last_coat_carries_most_of_a_careful_rub(board) -> None:
    wiped, brushed = (top(board(SAND, steps, *RUB)) for steps in (WIPED, BRUSHED.format(3)))
    assert brushed.cut.flat < wiped.cut.flat / 4
    assert brushed.film.last_um.likely == pytest.approx(1.4 * UM_PER_MIL, rel=0.2)  # told: 1.4 to 1.8 mil


def test_c15_old_film_counts_when_it_is_laid_over(board) -> None:
    """2 mil left of the first and 5 mil again: 7 mil against 4 to 5."""
    text = board(SAND, BRUSHED.format(4))
    answer = top(text, old_um=2 * UM_PER_MIL)
    said = ids(answer)["film-over-ceiling"]
    assert "old film" in said and "Strip" in said
    assert not ids(top(text))  # sound twin: the old film taken down


def over_old(board, *steps: str, old: str) -> str:
    return board(*steps, part=f"old = {{ {old} }}")


def test_c15_the_piece_itself_tells_of_the_old_film(board, check) -> None:
    """The same as a key of the piece: counted by the film, by the rule before planning, on the faces it stays on."""
    steps = SAND, BRUSHED.format(3)
    text = over_old(board, *steps, old='film = "2 mil", with = "brushing urethane varnish", on = "top"')
    assert "old film" in ids(top(text))["film-over-ceiling"]
    told = [f for f in check(text) if f.id == "film-over-ceiling"]
    assert [f.where.face for f in told] == ["top"] and "2.0 mil of it old" in told[0].says
    thin = over_old(board, *steps, old='film = "0.5 mil", with = "brushing urethane varnish", on = "top"')
    assert not [f for f in check(thin) if f.id == "film-over-ceiling"]  # sound twin: taken down first


def test_old_film_seals_the_wood_and_asks_what_holds_on_it(board, check) -> None:
    oak = {"wood": "red oak", "sheen": "gloss"}
    open_ = top(board(SAND, LACQUER.format(3), **oak))
    closed = top(board(SAND, LACQUER.format(3), **oak, part='old = { film = "1 mil" }'))
    assert open_.filler and open_.filler.high > 0 and closed.filler is None
    over = over_old(board, SAND, LACQUER.format(3), old='film = "1 mil", with = "alkyd varnish"')
    assert any("lacquer over alkyd varnish" in f.says for f in check(over))
    same = over_old(board, SAND, LACQUER.format(3), old='film = "1 mil", with = "nitrocellulose lacquer"')
    assert not [f.says for f in check(same) if f.id.startswith("over-")]


@pytest.mark.parametrize(
    ("old", "says"),
    [
        ('film = "0 mil"', "nothing to count"),
        ('film = "4 mm"', "no film that stays"),
        ('with = "shellac"', "Write how thick"),
        ('film = "1 mil", with = "boiled linseed oil"', "leaves no film"),
        ('film = "1 mil", on = "tpo"', "Did you mean top"),
        ('film = "1 mil", thick = 3', "thick"),
    ],
)
def test_old_film_misread(board, old: str, says: str) -> None:
    _, found = read_piece(over_old(board, SAND, old=old), "case.toml", facts=FACTS)
    assert any(says in f"{f.says} {f.mend}" for f in found), found


PUMICE = ('do = "seal", with = "dewaxed shellac", cut = 1, by = "pad"',
          'do = "fill", with = "pumice fill", by = "pad", coats = 3')  # fmt: skip


def test_c41_three_coats_of_lacquer_leave_khaya_open(board) -> None:
    answer = top(board(SAND, *PUMICE, LACQUER.format(3), wood="African mahogany (khaya)", sheen="gloss"))
    assert answer.dip_um is not None and answer.dip_um > 5 * 2  # five times what passes in gloss
    said = ids(answer)["open-pores-show"]
    assert "coats of plaster" in said and "half filled" in said and "weeks" in said


@pytest.mark.parametrize(("wood", "sheen"), [("hard maple", "gloss"), ("African mahogany (khaya)", "flat")])
def test_c41_twins_closed_wood_or_open_on_purpose(board, wood: str, sheen: str) -> None:
    assert not ids(top(board(SAND, *PUMICE, LACQUER.format(3), wood=wood, sheen=sheen)))


@pytest.mark.parametrize(("wood", "sheen"), [("hard maple", "satin"), ("African mahogany (khaya)", "flat")])
def test_closed_wood_or_pores_open_on_purpose_ask_no_filler(board, wood: str, sheen: str) -> None:
    answer = top(board(SAND, LACQUER.format(3), wood=wood, sheen=sheen))
    assert answer.filler and answer.filler.high == 0 and not ids(answer)


def test_c43_paste_takes_fewer_fillings_than_clear_and_film_alone_never_gets_there(board) -> None:
    """Two water-borne fillings against one of paste; film alone takes five coats and more."""
    fills = [f'do = "fill", with = "{name}", by = "trowel", coats = 1'
             for name in ("oil-based paste filler", "water-borne clear grain filler")]  # fmt: skip
    paste, clear = (
        top(board(SAND, 'do = "seal", with = "dewaxed shellac", cut = 1, by = "brush"', fill, LACQUER.format(4),
                  wood="walnut", sheen="semi-gloss"))
        for fill in fills
    )  # fmt: skip
    assert paste.filler and clear.filler
    assert paste.filler.likely < clear.filler.likely
    alone = top(board(SAND, LACQUER.format(4), wood="walnut", sheen="semi-gloss"))
    assert alone.dip_um and alone.dip_um > 5 * 5  # five times what passes
    assert "open-pores-show" in ids(alone)


def test_c43_the_three_ways_lie_side_by_side_in_days_and_hours(board) -> None:
    """Water-borne in hours, oil-based 2 to 7 days a filling, film alone five coats and more (as told)."""
    answer = top(board(SAND, BRUSHED.format(2), wood="walnut", sheen="satin"))
    ways = {way.name: way for way in filling_ways(answer, FACTS)}
    film_alone = next(way for way in ways.values() if way.alone)
    paste, clear = ways["oil-based paste filler"], ways["water-borne clear grain filler"]
    assert paste.coats and clear.coats and film_alone.coats and paste.wait_h and clear.wait_h
    assert film_alone.coats.likely + 2 >= 5 and film_alone.work_min and film_alone.work_min.likely > 0
    assert paste.coats.likely < clear.coats.likely
    assert 48 <= paste.wait_h.likely / paste.coats.likely <= 168 and clear.wait_h.likely < paste.wait_h.likely
    assert clear.work_min and paste.work_min and clear.work_min.likely > paste.work_min.likely


def test_c43_twins_a_closed_wood_and_open_pores_on_purpose_ask_no_way(board) -> None:
    assert not filling_ways(top(board(SAND, BRUSHED.format(2), wood="hard maple", sheen="satin")), FACTS)
    open_ = board(SAND, BRUSHED.format(2), wood="walnut", sheen="satin", part='want = { grain = "open" }')
    assert not filling_ways(top(open_), FACTS)
