"""The ledger of film: the likely figures of the layers, spreads by cause, and the order of things."""

from __future__ import annotations

import math
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rakelight.errors import Severity
from rakelight.facts import load
from rakelight.piece.file import read_piece
from rakelight.schedule.book import Book
from rakelight.schedule.film_answers import Limits, part_film, piece_film
from rakelight.schedule.film_ledger import CutOdds, FaceFilm, ledger, spot_odds
from rakelight.schedule.tasks import Work
from rakelight.schedule.unroll import unroll
from rakelight.shop.file import read_shop
from rakelight.spread import Spread

ROOT = Path(__file__).parents[2]
FACTS = load()
SHOP, _ = read_shop(ROOT / "examples" / "shop-fair.toml")
SHELLAC = 'do = "coat", with = "dewaxed shellac", cut = {cut}, by = "brush", coats = {coats}{scuff}'
VARNISH = 'do = "coat", with = "brushing urethane varnish", by = "brush", coats = {coats}, scuff = 320'
LEVEL = 'do = "level", grits = [{grit}, 800], wet = "mineral spirits"'
RUB = 'do = "rub", with = "pumice FFF", wet = "mineral oil"'


def work_of(*steps: str, arris: str = "1 mm", wood: str = "hard maple", sheen: str = "") -> Work:
    """A board with its steps."""
    lines = "\n".join(f"  {{ {s} }}," for s in ('do = "sand", grits = [120, 180]', *steps))
    text = f"""
piece = "Board"
unit = "mm"
[part.board]
wood = "{wood}"
long = 500
wide = 300
thick = 20
arris = "{arris}"
finish = "own-way"
[schedule.own-way]
{f'sheen = "{sheen}"' if sheen else ""}
steps = [
{lines}
]
"""
    piece, found = read_piece(text, "piece.toml", facts=FACTS)
    assert piece and SHOP and not [f for f in found if f.severity is Severity.ERROR], found
    work = unroll(piece, Book(inline=piece.schedules, facts=FACTS), SHOP, FACTS)
    assert not [f for f in work.findings if f.severity is Severity.ERROR], work.findings
    return work


def cut_odds(film: FaceFilm) -> CutOdds:
    """Chances that its rub-out goes through, 1600 mm of arrises about it."""
    return spot_odds(film, FACTS).over(film.area_m2, 1600, FACTS)


def top_of(*steps: str, old: Spread | None = None, **more: str) -> FaceFilm:
    """The film of the board's top."""
    return next(f for f in ledger(work_of(*steps, **more), FACTS, old)["board"] if f.face == "top")


def shellac(coats: int = 6, cut: float = 2, scuff: str = "") -> str:
    return SHELLAC.format(coats=coats, cut=cut, scuff=scuff)


@pytest.mark.parametrize("example", ["music-cabinet.toml", "one-board.toml", "eight-stools.toml"])
def test_likely_figures_are_those_the_layers_fold_to(example: str) -> None:
    """Two folds, written apart: layer by layer in the rules' room, in columns here."""
    piece, _ = read_piece(ROOT / "examples" / example, facts=FACTS)
    assert piece and SHOP
    work = unroll(piece, Book(inline=piece.schedules, facts=FACTS), SHOP, FACTS)
    seen = 0
    for films in ledger(work, FACTS).values():
        for film in films:
            assert film.left_um.likely == pytest.approx(film.stack.film_um, abs=1e-9)
            assert film.arris_left_um.likely == pytest.approx(sum(la.arris_um for la in film.stack.layers), abs=1e-9)
            seen += 1
    assert example != "music-cabinet.toml" or seen > 20


def test_coats_of_one_material_err_together() -> None:
    """Six coats vary by six times one coat's range; were they independent it would be the root of six."""
    one, six = top_of(shellac(1)), top_of(shellac(6))
    for end in ("low", "high"):
        off = [abs(getattr(f.dry_um, end) - f.dry_um.likely) for f in (one, six)]
        assert off[1] == pytest.approx(6 * off[0])
    assert six.dry_um.likely == pytest.approx(6 * 70 * 0.1665, abs=0.1)


def test_causes_add_in_square() -> None:
    """Wet film and solids vary by themselves: the range is the root of their squares, not their sum."""
    film = top_of(shellac(1))
    material = FACTS.materials["shellac_dewaxed"].wet_film_um["brush"]
    solids = 0.1665
    by_wet = (material.high - material.likely) * solids
    up = film.dry_um.high - film.dry_um.likely
    assert by_wet < up < by_wet * 1.2
    assert film.last_um == film.dry_um


def test_what_is_not_there_is_not_taken() -> None:
    wash = top_of(shellac(1, 1.5), LEVEL.format(grit=400))
    assert wash.left_um.likely == 0 and wash.left_um.low == 0
    assert wash.rub_um.likely > wash.dry_um.likely


@settings(max_examples=15, deadline=None)
@given(st.integers(1, 7), st.sampled_from([1.5, 2, 2.5, 3]))
def test_more_coats_and_more_solids_are_never_thinner_nor_likelier_to_be_cut(coats: int, cut: float) -> None:
    rub = (LEVEL.format(grit=600), RUB)
    a, b, c = (top_of(shellac(n, k), *rub) for n, k in ((coats, cut), (coats + 1, cut), (coats, cut + 0.5)))
    for more in (b, c):
        assert all(x >= y for x, y in zip(more.dry_um, a.dry_um, strict=True))
        before, after = cut_odds(a), cut_odds(more)
        assert after.flat <= before.flat and after.arris <= before.arris
        assert after.flat_anywhere <= before.flat_anywhere and after.arris_anywhere <= before.arris_anywhere


@settings(max_examples=10, deadline=None)
@given(st.integers(2, 7))
def test_an_extra_scuff_is_never_thicker(coats: int) -> None:
    plain, scuffed = top_of(shellac(coats)), top_of(shellac(coats, scuff=", scuff = 320"))
    assert scuffed.dry_um.likely < plain.dry_um.likely
    assert scuffed.dry_um.low <= plain.dry_um.low and scuffed.arris_um.likely <= plain.arris_um.likely


def test_a_sharper_arris_carries_less_and_is_cut_more() -> None:
    films = [top_of(shellac(), LEVEL.format(grit=600), arris=a) for a in ("3 mm", "1 mm", "sharp")]
    shares = [f.arris_um.likely / f.dry_um.likely for f in films]
    assert shares == pytest.approx([0.8, 0.6, 1 / 3], abs=0.001)
    odds = [cut_odds(f).arris for f in films]
    assert odds == sorted(odds) and odds[0] < odds[-1]


def test_where_coats_do_not_melt_the_last_alone_is_at_stake() -> None:
    four, six = (top_of(VARNISH.format(coats=n), LEVEL.format(grit=600), RUB) for n in (4, 6))
    assert cut_odds(four).flat == pytest.approx(cut_odds(six).flat)
    assert six.dry_um.likely > four.dry_um.likely


def test_old_film_counts_towards_the_ceiling_alone() -> None:
    bare, over = top_of(shellac(4), RUB), top_of(shellac(4), RUB, old=Spread(30, 40, 60))
    assert over.dry_um.likely == pytest.approx(bare.dry_um.likely + 40)
    assert cut_odds(over) == cut_odds(bare)


def test_coats_more_reach_what_they_promise_and_one_less_does_not() -> None:
    answers = part_film(work_of(shellac(3), LEVEL.format(grit=600), RUB, arris="3 mm"), "board", FACTS)
    top = next(a for a in answers if a.film.face == "top")
    n = top.more.floor
    assert n and top.floor_um and n <= top.more.room
    for coats, enough in ((3 + n, True), (3 + n - 1, False)):
        film = top_of(shellac(coats), LEVEL.format(grit=600), RUB, arris="3 mm")
        assert (film.dry_um.likely >= top.floor_um - 1e-6) is enough
    advice = next(f for f in top.findings if f.id == "film-too-thin-to-rub")
    assert "more coat" in advice.mend


def test_coats_for_a_wanted_film() -> None:
    limits = Limits(0.01, 0.05, film_um=60)
    top = part_film(work_of(shellac(2)), "board", FACTS, limits)[0]
    assert top.more.film == math.ceil((60 - 2 * 11.655) / 11.655)
    assert top.more.number == top.more.film


def test_forty_parts_have_a_film_each() -> None:
    """A 40-part piece (timed in `bench.rooms`)."""
    steps = (shellac(6, scuff=", scuff = 320"), LEVEL.format(grit=600), RUB)
    lines = "\n".join(f"  {{ {s} }}," for s in ('do = "sand", grits = [120, 180]', *steps))
    parts = "\n".join(
        f'[part.board-{n}]\nwood = "sapele"\nlong = 500\nwide = {200 + n}\nthick = 20\nfinish = "own-way"'
        for n in range(40)
    )
    text = f'piece = "Forty"\nunit = "mm"\n{parts}\n[schedule.own-way]\nsheen = "satin"\nsteps = [\n{lines}\n]\n'
    piece, _ = read_piece(text, "forty.toml", facts=FACTS)
    assert piece and SHOP
    work = unroll(piece, Book(inline=piece.schedules, facts=FACTS), SHOP, FACTS)
    found = piece_film(work, FACTS)
    assert sum(map(len, found.values())) >= 160
