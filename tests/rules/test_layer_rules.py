"""Each rule on a board that breaks it, and on the same board with one thing changed, where it is silent."""

from dataclasses import dataclass, field

import pytest

from rakelight.errors import Severity

SAND = 'do = "sand", grits = [120, 150, 180]'
SCUFF = 'do = "scuff", grit = 320'
OIL = 'do = "oil", with = "boiled linseed oil"'
STAIN = 'do = "stain", with = "pigmented wiping stain"'
GEL = 'do = "stain", with = "gel stain"'
SEAL = 'do = "seal", with = "dewaxed shellac", cut = 2, by = "brush"'
WASH = 'do = "size", with = "dewaxed shellac", cut = 1, by = "brush"'
WAXY = 'do = "seal", with = "waxy shellac", cut = 2, by = "brush"'
SHELLAC = 'do = "coat", with = "dewaxed shellac", cut = 2, by = "brush", coats = 6'
VARNISH = 'do = "coat", with = "brushing urethane varnish", by = "brush", coats = 3, scuff = 320'
ALKYD = 'do = "coat", with = "alkyd varnish", by = "brush"'
LACQUER = 'do = "coat", with = "nitrocellulose lacquer", by = "spray", coats = 3'
WATER = 'do = "coat", with = "water-borne acrylic", by = "spray", coats = 2, scuff = 400'
WAX = 'do = "wax", with = "paste wax", on = "all"'
LEVEL = 'do = "level", grits = [600, 800], wet = "mineral spirits"'
WOOL = 'do = "rub", with = "0000 wool"'
WIDE = 'wide = 18\nthick = "7/8"'
ONE_FACE = 'faces = { underside = "bare" }'


@dataclass(frozen=True)
class Pair:
    """A board that breaks a rule, and the same with one thing changed."""

    id: str
    severity: str
    bad: tuple[str, ...]
    sound: tuple[str, ...] | None = None
    keys: dict[str, str] = field(default_factory=dict)
    sound_keys: dict[str, str] | None = None


PAIRS = [
    Pair("over-never", "error", (SAND, ALKYD, LACQUER), (SAND, ALKYD, SCUFF, ALKYD)),
    Pair("over-never", "error", (SAND, ALKYD, SCUFF, SEAL, LACQUER), (SAND, SEAL, LACQUER)),
    Pair("over-never", "error", (SAND, SEAL, WAX, SHELLAC), (SAND, SEAL, SHELLAC, WAX)),
    Pair("over-needs-barrier", "warning", (SAND, OIL, LACQUER), (SAND, OIL, SEAL, LACQUER)),
    Pair(
        "over-needs-abrading",
        "warning",
        (SAND, LACQUER, SEAL),
        (SAND, LACQUER, SCUFF, SEAL),
    ),
    Pair(
        "over-unknown",
        "note",
        (SAND, 'do = "size", with = "glue size", by = "brush"', OIL),
        (SAND, 'do = "size", with = "glue size", by = "brush"', SHELLAC),
    ),
    Pair(
        "alcohol-dye-over-shellac",
        "error",
        (SAND, 'do = "dye", with = "alcohol-soluble dye", by = "wipe"', SEAL),
        (SAND, 'do = "dye", with = "alcohol-soluble dye", by = "wipe"', SEAL.replace("brush", "spray")),
    ),
    Pair("no-barrier-oil-water-borne", "warning", (SAND, OIL, WATER), (SAND, OIL, SEAL, SCUFF, WATER)),
    Pair("waxed-shellac-under-urethane", "warning", (SAND, WAXY, VARNISH), (SAND, SEAL, VARNISH)),
    Pair("waxed-shellac-under-urethane", "warning", (SAND, WAXY, WATER), (SAND, WAXY, SEAL, SCUFF, WATER)),
    Pair(
        "coats-not-abraded",
        "warning",
        (SAND, VARNISH.replace(", scuff = 320", "")),
        (SAND, VARNISH),
    ),
    Pair(
        "oily-wood-unsealed",
        "warning",
        (SAND, VARNISH),
        (SAND, SEAL, VARNISH),
        {"wood": "cocobolo"},
        {"wood": "cocobolo"},
    ),
    Pair("oily-wood-unsealed", "warning", (SAND, OIL), None, {"wood": "teak"}, {"wood": "white oak"}),
    Pair("oily-wood-unsealed", "note", (SAND, OIL), None, {"wood": "ebony"}, {"wood": "white oak"}),
    Pair(
        "blotch-prone-stain-no-wash",
        "warning",
        (SAND, STAIN, SEAL),
        (SAND, WASH, STAIN, SEAL),
        {"wood": "black cherry"},
        {"wood": "black cherry"},
    ),
    Pair(
        "blotch-prone-stain-no-wash",
        "warning",
        (SAND, STAIN, SEAL),
        None,
        {"wood": "black cherry"},
        {"wood": "white oak"},
    ),
    Pair(
        "open-pores-show",
        "warning",
        (SAND, SHELLAC),
        None,
        {"wood": "black walnut", "sheen": "gloss"},
        {"wood": "black walnut", "sheen": "eggshell"},
    ),
    Pair(
        "open-pores-show",
        "note",
        (SAND, SHELLAC),
        None,
        {"wood": "black walnut", "sheen": "satin"},
        {"wood": "hard maple", "sheen": "satin"},
    ),
    Pair(
        "unequal-faces",
        "warning",
        (SAND, SHELLAC),
        None,
        {"sizes": WIDE, "part": ONE_FACE},
        {"sizes": WIDE, "part": 'faces = { underside = "sliding" }'},
    ),
    Pair("unequal-faces", "note", (SAND, f'{SHELLAC}, on = "top"'), None, {}, {"part": ONE_FACE}),
    Pair("unequal-faces", "note", (SAND, f'{SHELLAC}, on = "top"'), (SAND, SHELLAC)),
    Pair(
        "unequal-faces",
        "note",
        (SAND, f'{SHELLAC}, on = "top"'),
        None,
        {"sizes": 'wide = 18\nthick = "1/2"'},
        {"sizes": WIDE, "part": 'veneer_on = "plywood"'},
    ),
    Pair(
        "use-not-stood",
        "warning",
        (SAND, SHELLAC),
        (SAND, VARNISH),
        {"top": 'must_stand = ["alcohol"]'},
        {"top": 'must_stand = ["alcohol"]'},
    ),
    Pair(
        "use-not-stood",
        "error",
        (SAND, SHELLAC),
        (SAND, VARNISH),
        {"top": 'must_stand = ["alcohol", "heat"]'},
        {"top": 'must_stand = ["alcohol", "heat"]'},
    ),
    Pair("use-not-stood", "warning", (SAND, OIL), None, {"top": 'lives = "outdoors"'}, {}),
    Pair("sands-through", "warning", (SAND, SHELLAC.replace("6", "1"), LEVEL), (SAND, SHELLAC, LEVEL)),
    Pair(
        "sands-through",
        "warning",
        (SAND, 'do = "coat", with = "dewaxed shellac", cut = 1.5, by = "pad", coats = 4, scuff = 400'),
        (SAND, 'do = "coat", with = "dewaxed shellac", cut = 1.5, by = "pad", coats = 4'),
    ),
    Pair("film-over-ceiling", "warning", (SAND, SHELLAC.replace("6", "9")), (SAND, SHELLAC)),
    Pair("film-over-ceiling", "error", (SAND, LACQUER.replace("3", "8")), (SAND, LACQUER)),
    Pair("film-too-thin-to-rub", "warning", (SAND, SHELLAC.replace("6", "3"), LEVEL), (SAND, SHELLAC, LEVEL)),
    Pair(
        "wool-or-wax-or-silicone-before-coat",
        "error",
        (SAND, SHELLAC, 'do = "rub", with = "0000 wool", wet = "paste wax"', SHELLAC.replace("6", "1")),
        (SAND, SHELLAC, 'do = "rub", with = "0000 wool", wet = "paste wax"', WAX),
    ),
    Pair(
        "wool-or-wax-or-silicone-before-coat",
        "warning",
        (SAND, SHELLAC, 'do = "rub", with = "pumice FFF", wet = "mineral oil"', SHELLAC.replace("6", "1")),
        (
            SAND,
            SHELLAC,
            'do = "rub", with = "pumice FFF", wet = "mineral oil"',
            'own = "clean off the oil with naphtha"',
            SHELLAC.replace("6", "1"),
        ),
    ),
    Pair(
        "steel-wool-tannin",
        "warning",
        (SAND, SHELLAC, 'do = "rub", with = "0000 wool", wet = "soapy water"'),
        None,
        {"wood": "red oak"},
        {"wood": "hard maple"},
    ),
    Pair(
        "steel-wool-tannin",
        "warning",
        (SAND, SHELLAC, 'do = "rub", with = "0000 wool", wet = "soapy water"'),
        (SAND, SHELLAC, 'do = "rub", with = "0000 wool", wet = "paste wax"'),
        {"wood": "red oak"},
        {"wood": "red oak"},
    ),
    Pair("steel-wool-water-borne", "warning", (SAND, WATER, WOOL, WATER), (SAND, WATER, SCUFF, WATER)),
    Pair(
        "oil-left-wet",
        "warning",
        (SAND, OIL, 'own = "wipe off the surplus", at_least = "overnight"'),
        (SAND, OIL, 'own = "wipe off the surplus", at_least = "20 min"'),
    ),
    Pair("coat-too-heavy", "warning", (SAND, f"{WATER}, flood = true"), (SAND, WATER)),
    Pair(
        "recoat-too-soon",
        "warning",
        (SAND, GEL, ALKYD + ', at_most = "8 h"'),
        (SAND, GEL, ALKYD + ', at_most = "40 h"'),
    ),
    Pair(
        "recoat-window-missed-unabraded",
        "warning",
        (SAND, VARNISH.replace(", scuff = 320", ', at_least = "4 days"')),
        (SAND, VARNISH.replace(", scuff = 320", ', at_least = "10 h"')),
    ),
    Pair(
        "end-grain-darker",
        "note",
        (SAND, STAIN, SEAL),
        (SAND, STAIN + ', on = "top"', SEAL),
    ),
    Pair("rags", "note", (SAND, OIL), (SAND, SHELLAC)),
]


@pytest.mark.parametrize("pair", PAIRS, ids=lambda p: p.id)
def test_a_rule_speaks_where_it_is_broken_and_is_silent_where_not(pair, check, board):
    met = [f for f in check(board(*pair.bad, **pair.keys)) if f.id == pair.id]
    assert met and met[0].severity == pair.severity, [(f.severity, f.says) for f in met]
    one = met[0]
    assert one.says.endswith(".") and one.mend and one.where.line > 0
    keys = pair.keys if pair.sound_keys is None else pair.sound_keys
    silent = [f for f in check(board(*(pair.sound or pair.bad), **keys)) if f.id == pair.id]
    bad = [f for f in silent if f.severity is not Severity.NOTE or pair.severity == "note"]
    assert not bad, [(f.severity, f.says) for f in bad]


def test_every_finding_with_a_figure_from_a_table_names_its_source(check, board):
    for pair in PAIRS:
        for one in check(board(*pair.bad, **pair.keys)):
            without = ("over-unknown", "wool-or-wax-or-silicone-before-coat")
            assert (one.source and one.kind) or one.id in without, one


def test_one_finding_a_part_and_cause_with_its_faces_joined(check, board):
    met = [f for f in check(board(SAND, ALKYD, LACQUER)) if f.id == "over-never"]
    assert len(met) == 1 and met[0].where.face == "top, underside, edges, ends"


def test_findings_come_severest_first(check, board):
    order = [f.severity for f in check(board(SAND, OIL, WATER, WOOL, LACQUER))]
    assert order == sorted(order, key=["error", "warning", "note"].index)


def test_where_makers_disagree_both_opinions_are_told(check, board):
    for steps, id, words in (
        ((SAND, WAXY, VARNISH), "waxed-shellac-under-urethane", ("Labels", "a few")),
        ((SAND, OIL, WATER), "no-barrier-oil-water-borne", ("Some makers", "others")),
        ((SAND, VARNISH.replace(", scuff = 320", "")), "coats-not-abraded", ("Labels", "makers")),
    ):
        says = next(f.says for f in check(board(*steps)) if f.id == id)
        assert all(word in says for word in words)
    one_face = check(board(SAND, SHELLAC, sizes=WIDE, part=ONE_FACE))
    assert "another says" in next(f.says for f in one_face if f.id == "unequal-faces")


def test_a_part_of_two_woods_takes_the_worse_of_the_two(check, board):
    text = board(SAND, OIL).replace('wood = "hard maple"', 'wood = ["hard maple", "teak"]')
    assert "oily-wood-unsealed" in {f.id for f in check(text)}
