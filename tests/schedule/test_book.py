"""The book: where a schedule is looked for, and whether those that come with it are sound."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from rakelight.errors import Severity, Where
from rakelight.facts import load
from rakelight.piece.model import Piece
from rakelight.reading import read_toml
from rakelight.schedule.book import SHIPPED, Book
from rakelight.schedule.file import read_schedule
from rakelight.schedule.steps import Schedule, Step
from rakelight.schedule.words import schedule_lines

SHIPPED_NAMES = sorted(path.stem for path in SHIPPED.glob("*.toml"))
#: what a furniture maker would look for (issue 2, item 4), and the words of the seven examples
ASKED_FOR = [
    "oil-and-wax", "filled-shellac", "padded-shellac", "wiped-varnish", "varnish-rubbed",
    "lacquer-filled-rubbed", "sprayed-water-borne", "water-borne-over-shellac", "hard-wax-oil",
    "dyed-and-sealed", "blotch-prone-stained", "oily-exotic", "seal-only", "shellac-and-wax",
]  # fmt: skip
TURN = "schedule = '{}'\nsteps = [{{ do = 'turn' }}]\n"


def shipped(name: str) -> Schedule:
    found = Book(facts=load()).find(name)
    assert found is not None
    return found


def of_material(schedule: Schedule, role: str = "show") -> list[Step]:
    return [s for s in schedule.steps if s.on in ("all", role)]


def test_what_was_asked_for_is_there() -> None:
    assert set(ASKED_FOR) <= set(SHIPPED_NAMES)


@pytest.mark.parametrize("name", SHIPPED_NAMES)
def test_every_schedule_reads_without_a_word(name: str) -> None:
    path = SHIPPED / f"{name}.toml"
    schedule, found = read_schedule(path)
    assert found == [] and schedule is not None
    lines = path.read_text().splitlines()
    assert lines[0].startswith("# ") and not lines[1].startswith("#")
    assert schedule.note == lines[0][2:]
    assert len(schedule.steps) == sum(line.startswith("  {") for line in lines)


@pytest.mark.parametrize("name", SHIPPED_NAMES)
def test_nothing_lies_over_what_it_may_not_lie_over(name: str) -> None:
    """Every pair of the table, face by face; filler scraped flush leaves what is under it in sight."""
    facts = load()
    for role in ("show", "hidden"):
        under: list[str] = []
        for step in of_material(shipped(name), role):
            if not step.material:
                continue
            way = step.by if step.by == "spray" else "hand"
            for lower in under:
                pair = facts.pair(lower, step.material, way)
                assert pair is not None and pair.verdict in ("ok", "ok-after-cure"), (lower, step.material)
            flush = "filler" in facts.materials[step.material].roles
            under = [*under, step.material] if flush else [step.material]


@pytest.mark.parametrize("name", SHIPPED_NAMES)
def test_nothing_waxy_or_woolly_comes_before_a_coat(name: str) -> None:
    """Wool leaves strands, wax and oil leave what no coat holds on."""
    steps = shipped(name).steps
    last = max((at for at, s in enumerate(steps) if s.material and s.do != "wax"), default=-1)
    for step in steps[:last]:
        assert step.do not in ("wax", "rub") and not step.abrasive.startswith("steel_wool")
        assert step.wet_material == ""


@pytest.mark.parametrize("name", SHIPPED_NAMES)
def test_coats_that_do_not_melt_together_are_scuffed(name: str) -> None:
    """Case C34: coats laid on each other without abrading peel. Three coats of varnish need a scuff."""
    facts = load()
    for step in shipped(name).steps:
        if step.do == "coat" and step.coats.most > 1 and facts.materials[step.material].coats_join != "fuse":
            assert step.scuff is not None and step.a_day is None


@pytest.mark.parametrize("name", SHIPPED_NAMES)
def test_the_film_stays_under_its_ceiling_and_bears_rubbing(name: str) -> None:
    """Likely films, 3 um a scuff (P68): under the ceiling of the table, 60 um before a rub (P54)."""
    facts = load()
    for role in ("show", "hidden"):
        film, last = 0.0, ""
        for step in of_material(shipped(name), role):
            if step.do == "level":
                assert film >= 60
            if step.do not in ("coat", "seal"):
                continue
            material = facts.materials[step.material]
            solids = material.solids_volume.likely
            if step.cut_lb is not None:
                solids = 0.0999 * step.cut_lb / (1 + 0.0999 * step.cut_lb)  # reference/materials/shellac.md
            wet = material.wet_film_um[step.by].likely
            one = wet * solids / (1 + (step.thin or 0))
            number = step.coats.likely
            scuffs = (number - 1) // (step.a_day or 1) if step.scuff else 0
            film = (film if step.material == last else 0.0) + number * one - 3 * scuffs
            last = step.material
            if material.max_film_um and solids >= 0.10:
                assert film <= material.max_film_um, f"{film:.0f} um of {material.name}"


@pytest.mark.parametrize("name", SHIPPED_NAMES)
def test_water_meets_raised_or_sealed_grain(name: str) -> None:
    """P15: the grain is raised and cut back, or sealed, before a water-borne coat or a water dye."""
    facts = load()
    met: list[str] = []
    for step in shipped(name).steps:
        if step.material and facts.materials[step.material].carrier.startswith("water"):
            assert {"raise grain", "seal"} & set(met)
        met.append(step.do)


@pytest.mark.parametrize("name", SHIPPED_NAMES)
def test_papers_step_by_no_more_than_double(name: str) -> None:
    """P14: grit numbers do not jump by more than 2 within one step."""
    for step in shipped(name).steps:
        for coarse, fine in zip(step.grits, step.grits[1:], strict=False):
            assert fine.number / coarse.number <= 2.0


@pytest.mark.parametrize("name", SHIPPED_NAMES)
def test_each_step_is_one_line_of_trade_words(name: str) -> None:
    schedule = shipped(name)
    lines = schedule_lines(schedule, load())
    assert len(lines) == len(schedule.steps)
    for line in lines:
        assert re.match(r"[A-Z]", line) and "_" not in line and "None" not in line and len(line) < 130


def test_a_line_of_the_example() -> None:
    lines = schedule_lines(shipped("filled-shellac"), load())
    assert "Coat: dewaxed shellac, 2 lb cut, brushed, 6 coats, 3 a day, scuffed P320 between days" in lines
    assert "Rub: 0000 wool, wet with paste wax" in lines


def test_where_a_schedule_is_looked_for(tmp_path: Path) -> None:
    beside, own = tmp_path / "piece", tmp_path / "own"
    beside.mkdir()
    own.mkdir()
    (own / "seal-only.toml").write_text(TURN.format("from my book"))
    (own / "mine.toml").write_text(TURN.format("mine"))
    book = Book(own, facts=load(), beside=beside)
    assert [(s.title, s.book) for s in (book.find("seal-only"), book.find("mine")) if s] == [
        ("from my book", "own"),
        ("mine", "own"),
    ]
    assert shipped("seal-only").book == "shipped"
    (beside / "mine.toml").write_text(TURN.format("beside"))
    doc = read_toml("[schedule.seal-only]\nsteps = [{ do = 'turn' }]", "p.toml")
    inline = doc.root.child("schedule").child("seal-only")  # type: ignore[union-attr]
    assert inline is not None
    nearer = Book(own, facts=load(), beside=beside, inline={"seal-only": inline})
    mine, seal = nearer.find("mine"), nearer.find("seal-only")
    assert mine is not None and (mine.title, mine.book) == ("beside", "piece")
    assert seal is not None and (seal.title, seal.book) == ("Seal only", "piece")
    assert nearer.names()[:2] == ["seal-only", "mine"]
    assert len(nearer.names()) == len(set(nearer.names())) == len(SHIPPED_NAMES) + 1


def test_a_piece_of_the_same_name_is_no_schedule(tmp_path: Path) -> None:
    path = tmp_path / "oil-and-wax.toml"
    path.write_text("piece = 'Oil and wax'\n[schedule.a]\nschedule = 'x'\n")
    book = Book(facts=load(), beside=tmp_path)
    found = book.find("oil-and-wax")
    assert found is not None and found.book == "shipped"
    assert Piece("Oil and wax", "in", {}).schedules == {}


def test_an_unknown_name_is_answered_with_the_nearest() -> None:
    book = Book(facts=load())
    assert book.find("varnish-rubed") is None
    (why,) = book.why("varnish-rubed", Where(file="p.toml", line=9))
    assert why.id == "unknown-schedule" and '"varnish-rubbed"' in why.mend and why.where.line == 9
    assert "oil-and-wax" in book.why("qqqq")[0].mend
    assert book.findings == []


@pytest.mark.parametrize(
    "name", ["../book/seal-only", "/etc/passwd", "", ".", "a\0b", "x" * 5000, "seal-only.toml"]
)
def test_a_name_never_leads_out_of_the_book(name: str) -> None:
    assert Book(facts=load(), beside=SHIPPED).find(name) is None


def test_a_faulty_schedule_says_why_and_is_not_replaced(tmp_path: Path) -> None:
    (tmp_path / "seal-only.toml").write_text("schedule = 'x'\nsteps = [{ do = 'sanding' }, { do = 'turn' }]")
    (tmp_path / "wax-only.toml").write_text("")
    book = Book(tmp_path, facts=load())
    assert book.find("seal-only") is None and book.find("wax-only") is None
    assert [f.id for f in book.why("seal-only")] == ["unknown-verb"]
    assert [f.id for f in book.why("wax-only")] == ["not-read"]
    assert all(f.severity is Severity.ERROR for f in book.findings) and len(book.findings) == 2


def test_a_book_that_is_not_there() -> None:
    assert Book(Path("no such folder"), facts=load()).names() == SHIPPED_NAMES


def test_only_what_is_asked_for_is_read(monkeypatch: pytest.MonkeyPatch) -> None:
    read: list[str] = []

    def spy(path: Path, **more: object) -> object:
        read.append(path.stem)
        return read_schedule(path, facts=load())

    monkeypatch.setattr("rakelight.schedule.book.read_schedule", spy)
    book = Book(facts=load())
    book.names()
    assert read == []
    assert book.find("oil-and-wax") is book.find("oil-and-wax")
    assert read == ["oil-and-wax"]
    assert [s.name for s in book.all()] == SHIPPED_NAMES
    assert sorted(read) == SHIPPED_NAMES


def test_a_finish_for_a_schedule_points_to_the_schedules_that_lay_it() -> None:
    found = Book().unknown("polyurethane")
    assert "'polyurethane' is a finish, not a schedule" in found.says
    assert "varnish-rubbed" in found.mend and "oil-and-wax" not in found.mend
    assert Book().unknown("shelac-and-wax").mend == 'Did you mean "shellac-and-wax"?'
    assert Book().unknown("zzzz").mend.startswith("Schedules here")
