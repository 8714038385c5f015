"""The house test of words: nothing of the program's own speech stands in what a maker reads."""

from __future__ import annotations

import re

import pytest

#: words of code; a maker has other ones
CODE = re.compile(
    r"\b(?:tasks?|states?|doses?|findings?|nodes?|spread|severity|None|True|False|nan|inf|null|enum|dataclass|Traceback)\b"
    r"|<[a-z_.]+[ >]|\bdatetime\b|\w+_(?:um|ml|mm|m2|pct|h|c|g)\b|\b[a-z]+_[a-z_]+\b"
)
#: keys of the files, which a maker writes as they stand
KEYS = {
    "both_faces", "must_stand", "cures_in", "test_board", "veneer_on", "wide_at", "turned_at", "a_day", "by_date",
    "set_up", "air_changes", "at_least",
}  # fmt: skip

SHOPS = {
    "music-cabinet": ("shop-winter", "8 Feb 2027 8:00", "25 Feb 2027 12:00"),
    "eight-stools": ("shop-evenings", "8 Feb 2027 8:00", "20 Feb 2027 13:00"),
    "one-board": ("shop-fair", "8 Feb 2027 8:00", "9 Feb 2027 16:00"),
    "walnut-table": ("shop-summer", "30 Aug 2027 7:30", "10 Sept 2027 12:00"),
    "rosewood-box": ("shop-cellar", "3 May 2027 9:00", "20 May 2027 12:00"),
}


def _code_in(text: str) -> list[str]:
    return [found for found in CODE.findall(re.sub(r"\S+\.toml(:\d+)?|https?://\S+", "", text)) if found not in KEYS]


def _finds_code(text: str) -> None:
    assert not (found := _code_in(text)), (sorted(set(found)), text[:200])


def test_the_test_itself_finds_words_of_code():
    assert _code_in("The task is done") and _code_in("x_um") and _code_in("likely None") and _code_in("nan ml")
    assert not _code_in("stated, a definite statement, must_stand, nodal, in fine wool")


@pytest.mark.parametrize("piece", SHOPS)
def test_plans(at_bench, piece):
    shop, now, late = SHOPS[piece]
    on = {"piece": piece, "shop": shop, "now": now}
    _finds_code(at_bench("plan", "--keep", "--odds", **on).out)
    said = at_bench("replan", "--by", late, **{**on, "now": late})
    _finds_code(said.out + said.err)


@pytest.mark.parametrize("piece", ["one-board", "rosewood-box"])
def test_days(at_bench, piece):
    shop, now, late = SHOPS[piece]
    on = {"piece": piece, "shop": shop, "now": now}
    _finds_code(at_bench("check", **on).out)
    _finds_code(at_bench("plan", "--keep", **on).out)
    _finds_code(at_bench("today", **on).out)
    for words in ("today", "replan", "catch-up", "undo"):
        said = at_bench(words, **{**on, "now": late})
        _finds_code(said.out + said.err)


@pytest.mark.parametrize(
    "words",
    [
        ("mix", "shellac", "--alcohol", "16 fl oz"),
        ("mix", "shellac", "--cut", "two", "--alcohol", "16 fl oz"),
        ("thin", "shellac", "--from", "3", "--to", "1"),
        ("thin", "wiping varnish", "--by", "25 %"),
        ("over", "water-borne acrylic", "boiled linseed oil"),
        ("over", "nitrocellulose lacquer", "paste wax"),
        ("book",),
        ("book", "filled-shellac"),
        ("book", "oily-exotic"),
        ("plan", "no-such.toml"),
        ("--help",),
        ("plan", "--help"),
        ("done", "--help"),
    ],
)
def test_answers(run, words):
    said = run(*words)
    _finds_code(said.out + said.err)


def test_a_share_of_a_batch_is_told_in_spoons(run):
    """Case C73: colour added in steps of 2 per cent, measured in teaspoons of 4.93 ml."""
    said = run("mix", "black dye", "--share", "2 %", "--make", "1 cup")
    assert said.code == 0 and "0.96 teaspoons" in said.out
    asked = run("mix", "black dye", "--share", "2 %")
    assert asked.code == 2 and '--make "1 cup"' in asked.err
