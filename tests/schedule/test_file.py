"""What a schedule says, and what is said of one that is wrong."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest

from rakelight.errors import Finding, NotFound, Severity
from rakelight.facts import load
from rakelight.reading import Table, read_toml
from rakelight.schedule.file import read_inline, read_schedule, read_step, read_steps
from rakelight.schedule.steps import READINESSES, VERBS, Count, Duration, Grit, Step

EXAMPLES = Path(__file__).parents[2] / "examples"

#: one sound step for every verb of the language, section 4
SOUND = {
    "sand": "grits = [120, 150, 180]",
    "raise grain": "",
    "stain": 'with = "gel stain"',
    "dye": 'with = "water-soluble dye", strength = "8 g/l"',
    "oil": 'with = "boiled linseed oil", warm = true',
    "size": 'with = "glue size", by = "brush"',
    "seal": 'with = "dewaxed shellac", cut = 1, by = "brush"',
    "fill": 'with = "water-borne clear grain filler", coats = [3, 4, 5]',
    "coat": 'with = "dewaxed shellac", by = "brush", coats = 6, a_day = 3, scuff = 320',
    "scuff": "grit = 320",
    "level": "grits = [600, 800]",
    "rub": 'with = "pumice FFF", wet = "mineral oil"',
    "wax": 'with = "paste wax"',
    "wait": 'for = "rub"',
    "turn": "",
    "points": "",
    "move": 'to = "house"',
}


def table(inner: str) -> Table:
    return read_toml("x = {" + inner + "}", "test.toml").root.child("x")  # type: ignore[return-value]


def step(inner: str, extra: bool = False) -> Step:
    own = table(inner)
    found = read_step(own, load(), extra)
    assert found is not None and own.doc.findings == []
    return found


def faults(inner: str, extra: bool = False) -> list[Finding]:
    own = table(inner)
    assert read_step(own, load(), extra) is None
    assert own.doc.findings
    return own.doc.findings


def fault(inner: str, extra: bool = False) -> Finding:
    (one,) = faults(inner, extra)
    return one


def of_verb(verb: str, more: str = "") -> str:
    return ", ".join(w for w in (f'do = "{verb}"', SOUND[verb], more) if w)


@pytest.mark.parametrize(
    ("verb", "on", "when", "work"),
    [  # the table of the language, section 4
        ("sand", "all", "sand", "dusty"),
        ("raise grain", "all", "sand", "wet"),
        ("stain", "all", "next coat", "wet"),
        ("dye", "all", "next coat", "wet"),
        ("oil", "all", "next coat", "wet"),
        ("size", "all", "next coat", "wet"),
        ("seal", "all", "next coat", "wet"),
        ("fill", "show", "next coat", "wet"),
        ("coat", "all", "next coat", "wet"),
        ("scuff", "all", "sand", "dusty"),
        ("level", "show", "rub", "dusty"),
        ("rub", "show", "rub", "dirty"),
        ("wax", "show", "wax", "quiet"),
        ("wait", "all", "", "none"),
        ("turn", "all", "turn", "quiet"),
        ("points", "all", "handle", "quiet"),
        ("move", "all", "dust-free", "quiet"),
    ],
)
def test_defaults_of_every_verb(verb: str, on: str, when: str, work: str) -> None:
    found = step(of_verb(verb))
    assert (found.do, found.name, found.on, found.when, found.work) == (verb, verb, on, when, work)


def test_every_verb_is_in_the_list_above() -> None:
    assert set(SOUND) == set(VERBS)


def test_levelling_wet_is_dirty() -> None:
    assert step(of_verb("level", 'wet = "soapy water"')).work == "dirty"


def test_a_step_of_your_own() -> None:
    found = step('own = "level the feet", minutes = 6, kind = "dusty", tools = ["file"], wait = "4 h"')
    assert (found.do, found.own, found.name, found.when) == (
        "own",
        "level the feet",
        "level the feet",
        "handle",
    )
    assert (found.work, found.minutes, found.tools, found.wait) == ("dusty", 6.0, ("file",), Duration(4.0))
    assert step('own = "look at it"').work == "quiet"


def test_what_is_said_beats_the_default() -> None:
    found = step(
        of_verb("coat", 'on = "top", when = "sand", name = "last", thin = "25 %", at_least = "overnight"')
    )
    assert (found.on, found.when, found.name, found.thin) == ("top", "sand", "last", 0.25)
    assert found.at_least == Duration(0.0, True)
    assert (found.coats, found.a_day, found.scuff) == (Count(6, 6, 6), 3, Grit(320))


def test_names_as_people_say_them() -> None:
    assert step('do = "oil", with = "BLO"').material == "linseed_boiled"
    assert step('do = "coat", with = "nitro lacquer", by = "spray"').material == "lacquer_nc"
    assert step('do = "rub", with = "0000 wool", wet = "paste wax"').abrasive == "steel_wool 0000"
    assert step('do = "rub", with = "0000 wool", wet = "paste wax"').wet_material == "wax_paste"
    assert step('do = "rub", with = "0000 wool", wet = "mineral spirits"').wet_material == ""
    assert step('do = "sand", grits = ["US 400"]').grits == (Grit(400, us=True),)


def test_a_name_of_several_meanings_is_narrowed_by_the_verb() -> None:
    """Linseed oil is raw or boiled: asked. Wax is paste wax, for hard-wax oil is not waxed with."""
    assert fault('do = "oil", with = "linseed oil"').id == "ambiguous-material"
    assert step('do = "wax", with = "wax"').material == "wax_paste"


def test_the_way_it_is_laid() -> None:
    """The only way the material has, else it is asked; oil is wiped, wax laid with a pad or a cloth."""
    assert step('do = "coat", with = "CAB-acrylic lacquer"').by == "spray"
    assert step('do = "oil", with = "boiled linseed oil"').by == "wipe"
    assert step('do = "dye", with = "alcohol-soluble dye", by = "spray"').by == "spray"
    assert step('do = "wax", with = "paste wax", by = "white pad"').by == "white pad"
    asked = fault('do = "seal", with = "dewaxed shellac"')
    assert asked.id == "missing" and all(way in asked.mend for way in ("brush", "spray", "pad"))
    assert fault('do = "coat", with = "CAB-acrylic lacquer", by = "brush"').id == "wrong-method"


def test_cut_of_shellac() -> None:
    """Practice P05 and P06: 2 lb to build, 1 lb for a wash coat, where nothing is said."""
    assert step('do = "coat", with = "dewaxed shellac", by = "pad", cut = 1.5').cut_lb == 1.5
    assert step('do = "coat", with = "dewaxed shellac", by = "pad"').cut_lb == 2.0
    assert step('do = "size", with = "dewaxed shellac", by = "brush"').cut_lb == 1.0
    assert step('do = "coat", with = "alkyd varnish", by = "brush"').cut_lb is None


def test_extra_steps_say_where_they_stand() -> None:
    found = step('own = "photograph", when = "show", before = "wax", by_date = "18 March 2027"', extra=True)
    assert (found.before, found.by_date) == ("wax", "18 March 2027")
    assert step('do = "wait", for = "photograph"', extra=True).for_ == "photograph"
    both = [f.id for f in faults('own = "a", before = "sand", after = "wax"', extra=True)]
    assert both == ["before-and-after"]
    for key in ('before = "sand"', 'after = "sand"', 'by_date = "18 March 2027"'):
        assert "extra" in fault(f'own = "a", {key}').mend


def test_extra_lists_and_inline_schedules_keep_the_findings_of_the_piece() -> None:
    doc = read_toml(
        'extra = [{ own = "a" }, { do = "sanding" }]\n[schedule.mine]\nsteps = [{ do = "sand", grit = 320 }]',
        "p.toml",
    )
    steps, found = read_steps(doc.root.children("extra"), extra=True)
    assert [s.own for s in steps] == ["a"] and [f.id for f in found] == ["unknown-verb"]
    below = doc.root.child("schedule")
    assert below is not None
    inline = below.child("mine")
    assert inline is not None
    schedule, found = read_inline(inline, "mine")
    assert schedule is None and [(f.id, f.where.line) for f in found] == [("unknown-key", 3), ("missing", 3)]
    assert doc.findings == []


@pytest.mark.parametrize("piece", ["music-cabinet", "eight-stools"])
def test_the_extra_steps_of_the_examples(piece: str) -> None:
    written = tomllib.loads((EXAMPLES / f"{piece}.toml").read_text())
    doc = read_toml(EXAMPLES / f"{piece}.toml")
    parts = doc.root.child("part")
    assert parts is not None
    met = 0
    for name, part in written["part"].items():
        steps, found = read_steps(parts.child(name).children("extra"), extra=True)  # type: ignore[union-attr]
        assert found == [] and len(steps) == len(part.get("extra", []))
        met += len(steps)
    assert met > 1


@pytest.mark.parametrize(
    ("inner", "id", "mends"),
    [
        ('do = "sanding", grits = [120]', "unknown-verb", "sand"),
        ('do = "sand", own = "x"', "do-and-own", "one of the two"),
        ("minutes = 5", "no-verb", "own"),
        ('do = "sand"', "missing", "grits"),
        ('do = "scuff"', "missing", "grit"),
        ('do = "move"', "missing", "to"),
        ('do = "rub"', "missing", "0000 wool"),
        ('do = "wait"', "missing", "for"),
        ('do = "coat", by = "brush"', "missing", "with"),
        ('do = "sand", grits = [120], coats = 2', "unknown-key", "grits"),
        ('do = "wax", with = "paste wax", kind = "wet"', "unknown-key", "own"),
        ('do = "coat", with = "alkid varnish", by = "brush"', "unknown-material", "alkyd varnish"),
        ('do = "coat", with = "varnish", by = "brush"', "ambiguous-material", "alkyd varnish"),
        ('do = "coat", with = "paste wax"', "wrong-material", "wax"),
        ('do = "oil", with = "nitrocellulose lacquer"', "wrong-material", "coat"),
        ('do = "fill", with = "alkyd varnish"', "wrong-material", "coat"),
        ('do = "seal", with = "hard-wax oil"', "wrong-material", "oil"),
        ('do = "rub", with = "paste wax"', "wrong-material", "wet"),
        ('do = "rub", with = "0000 woll"', "unknown-abrasive", "0000 wool"),
        ('do = "rub", with = "0000 wool", grits = [1500]', "with-and-grits", "two steps"),
        ('do = "coat", with = "alkyd varnish", by = "bruch"', "misread", "brush"),
        ('do = "coat", with = "alkyd varnish", by = "brush", cut = 2', "wrong-key", "thin"),
        ('do = "stain", with = "gel stain", strength = "8 g/l"', "wrong-key", "dye"),
        ('do = "sand", grits = [317]', "misread", "320"),
        ('do = "sand", grits = ["US 410"]', "misread", "US 400"),
        ('do = "sand", grits = [nan]', "misread", "320"),
        ('do = "sand", grits = []', "misread", "120"),
        ('do = "sand", grits = [120], on = "botom"', "misread", "underside"),
        ('do = "sand", grits = [120], on = "drawer-front.insde"', "misread", "inside"),
        ('do = "sand", grits = [120], when = "xyz"', "misread", "dust-free"),
        ('do = "sand", grits = [120], at_least = "3 days", at_most = "1 h"', "waits-crossed", "longer"),
        ('do = "sand", grits = [120], wait = "0 h"', "misread", "4 h"),
        ('do = "sand", grits = [120], minutes = -4', "misread", "35"),
        ('do = "sand", grits = [120], minutes = inf', "misread", "35"),
        ('do = "wait", for = "rubbing"', "misread", "rub"),
        ('do = "coat", with = "alkyd varnish", by = "brush", coats = 0', "misread", "3"),
        ('do = "coat", with = "alkyd varnish", by = "brush", coats = [3, 2, 1]', "misread", "least"),
        ('do = "coat", with = "alkyd varnish", by = "brush", thin = 0.25', "misread", "25 %"),
        ('do = "coat", with = "alkyd varnish", by = "brush", thin = "0 %"', "misread", "out"),
        ('do = "coat", with = "alkyd varnish", by = "brush", scuff = true', "misread", "320"),
        ('own = ""', "misread", "quotes"),
        ('own = "x", kind = "dirty"', "misread", "dusty"),
    ],
)
def test_one_fault_and_what_mends_it(inner: str, id: str, mends: str) -> None:
    found = fault(inner)
    assert (found.id, found.severity) == (id, Severity.ERROR)
    assert mends in found.mend


def test_papers_that_go_back_are_asked_about() -> None:
    own = table('do = "sand", grits = [180, 120]')
    assert read_step(own, load()) is not None
    assert [(f.id, f.severity) for f in own.doc.findings] == [("grits-backward", Severity.WARNING)]


def test_us_400_is_finer_than_p400() -> None:
    """FEPA P400 is 35 um, US 400 is 22 um (abrasives table): the numbers alike, the papers not."""
    step('do = "sand", grits = [400, "US 400"]')
    own = table('do = "sand", grits = ["US 400", 400]')
    read_step(own, load())
    assert [f.id for f in own.doc.findings] == ["grits-backward"]


def test_a_key_names_the_verb_and_what_it_takes() -> None:
    found = fault('do = "level", grits = [600], scuf = 3')
    assert '"level"' in found.says and "grits" in found.mend and "wet" in found.mend


@pytest.mark.parametrize("ready", READINESSES)
def test_every_readiness_may_be_waited_for(ready: str) -> None:
    assert step(f'do = "wait", for = "{ready}"').for_ == ready


def test_all_faults_at_once_each_with_its_line() -> None:
    written = """\
schedule = "Wrong"
shen = "satin"
steps = [
  { do = "sand", grit = 320 },
  { do = "coatt", with = "alkyd varnish" },
  7,
  { do = "coat", with = "alkyd varnish", by = "brush", coats = 3 },
]
"""
    schedule, found = read_schedule(written, "wrong.toml")
    assert [(f.where.line, f.id) for f in found] == [
        (2, "unknown-key"),
        (4, "unknown-key"),
        (4, "missing"),
        (5, "unknown-verb"),
        (6, "misread"),
    ]
    assert all(f.where.file == "wrong.toml" and f.mend for f in found)
    assert schedule is not None and [s.do for s in schedule.steps] == ["coat"]  # as much as can be used


@pytest.mark.parametrize(
    ("written", "id"),
    [
        ("", "not-read"),
        ("  \n# nothing\n", "missing"),
        ("steps = [", "not-read"),
        ("schedule = 'a'\nschedule = 'b'", "not-read"),
        (b"schedule = '\xff'", "not-read"),
        ("schedule = 'a'", "no-steps"),
        ("schedule = 'a'\nsteps = []", "no-steps"),
        ("schedule = 'a'\nsteps = 3", "misread"),
        ("schedule = 3\nsteps = [{ do = 'turn' }]", "misread"),
        ("steps = [{ do = 'turn' }]", "missing"),
        ("schedule = 'a'\n" + "# long\n" * 400_000, "not-read"),
        ("schedule = 'a'\nsteps = [" + "{ do = 'turn' }," * 300 + "]", "too-many-steps"),
    ],
)
def test_files_that_are_no_schedule(written: str | bytes, id: str) -> None:
    _, found = read_schedule(written, "a.toml")
    assert id in {f.id for f in found if f.severity is Severity.ERROR}


def test_a_path_that_leads_to_no_file(tmp_path: Path) -> None:
    with pytest.raises(NotFound):
        read_schedule(tmp_path / "none.toml")


def test_title_sheen_name_and_note(tmp_path: Path) -> None:
    path = tmp_path / "my-own.toml"
    path.write_text("# For boxes.\n# Quick.\nschedule = 'Mine'\nsheen = 'satin'\nsteps = [{ do = 'turn' }]\n")
    schedule, found = read_schedule(path)
    assert schedule is not None and found == []
    assert (schedule.name, schedule.title, schedule.sheen, schedule.note) == (
        "my-own",
        "Mine",
        "satin",
        "For boxes. Quick.",
    )
    assert schedule.steps[0].line == 5
