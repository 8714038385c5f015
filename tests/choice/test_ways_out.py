"""Ways out of a finish that is late: a batch split, one part in another finish, and what each brings is said first."""

from __future__ import annotations

from collections.abc import Callable

from rakelight.choice.alone import look_alone, wished_make
from rakelight.choice.costs import Rates
from rakelight.choice.deciding import choose
from rakelight.choice.judging import judged
from rakelight.choice.model import Alone, Change, Make, Option, Rescue
from rakelight.choice.rescues import otherwise
from rakelight.choice.splitting import kept_of, split
from rakelight.choice.trying import Trying
from rakelight.desk import Desk
from rakelight.desk.choosing import rates_of, trying_of
from rakelight.papers.choice_text import changes_words, rescue_lines

SHOP = """
shop = "Garage"
zone = "America/Chicago"
hours = { mon-sun = "8:00-12:00, 13:00-18:00" }
[place.garage]
size = "24 ft x 20 ft x 9 ft"
air_changes = 4
heater = "electric"
drying_places = 12
air = [{ open = "70 F, 50 %", closed = "70 F, 50 %" }]
[gear]
brush = true
pad = true
gun = { set_up = "10 min", clean = "15 min" }
"""
PART = """
[part.{name}]
wood = "cherry"
long = 24
wide = 12
thick = "3/4"
finish = "{finish}"
both_faces = "on points"
{more}
"""


def piece(by: str, *parts: str) -> str:
    return f'piece = "P"\nunit = "in"\nstart = "8 Feb 2027"\nwanted = [{{ by = "{by}" }}]\n{"".join(parts)}'


def wished(desk: Desk) -> tuple[Trying, Option]:
    trying = trying_of(desk)
    return trying, judged(trying, {s.name: wished_make(trying, s) for s in trying.slots}, rates_of(desk))


def two(on_desk: Callable[..., Desk], other: str) -> tuple[Rescue, ...]:
    """A top in slow varnish that may be had in another finish, and a shelf in a quick one."""
    rows = (("top", "varnish-rubbed"), ("shelf", "water-borne-over-shellac"))
    parts = [PART.format(name=name, finish=finish, more="") for name, finish in rows]
    trying, before = wished(on_desk(piece("20 Feb 2027", *parts), SHOP))
    schedule = trying.book.find(other)
    assert schedule is not None
    make = Make(schedule, other)
    look = look_alone(trying, trying.slots[0], make)[2]
    assert look is not None
    return otherwise(trying, before, {"top": [Alone(make, look, 0.0)]}, (), Rates())


def test_one_part_in_a_finish_with_a_worse_solvent_says_so_first(on_desk: Callable[..., Desk]) -> None:
    """Lacquer's solvents light at room warmth, mineral spirits do not (flash points of the table of solvents)."""
    (way,) = two(on_desk, "sprayed-lacquer")
    assert any("worse solvent" in warns and "lights more easily" in warns for warns in way.warns)
    assert any("mist" in warns for warns in way.warns)
    lines = " ".join(" ".join(rescue_lines((way,))).split())
    assert lines.index("mist") < lines.index("worse solvent") < lines.index(way.says[1:])


def test_twin_one_part_in_a_finish_of_water_says_nothing_of_the_kind(on_desk: Callable[..., Desk]) -> None:
    (way,) = two(on_desk, "sprayed-water-borne")
    assert not any("lights more easily" in warns or "more solvent" in warns for warns in way.warns)
    assert any("mist" in warns for warns in way.warns), "sprayed all the same"


def test_a_batch_too_large_for_the_date_is_split(on_desk: Callable[..., Desk]) -> None:
    """Six parts on two drying places are three lots; so many as dry at once are ready sooner, the rest later."""
    shop = SHOP.replace("drying_places = 12", "drying_places = 2")
    many = PART.format(name="rack", finish="padded-shellac", more="count = 6")
    trying, whole = wished(on_desk(piece("19 Feb 2027 12:00", many), shop))
    assert not whole.fits and whole.likely is not None
    way = split(trying, whole, whole, Rates())
    assert way is not None and way.fits and way.kind == "batch" and not way.warns
    first = int(way.says.removeprefix("Rack, ").split(" of 6 first")[0])
    assert 1 <= first < 6 and way.likely is not None and way.likely < whole.plan.due[0].by < whole.likely
    assert f"the others by about {whole.likely:%a}" in way.says


def test_twin_what_is_no_batch_is_not_split(on_desk: Callable[..., Desk]) -> None:
    top, leg = (PART.format(name=n, finish="tung-oil", more=more) for n, more in (("top", ""), ("leg", "count = 4")))
    trying, whole = wished(on_desk(piece("16 Feb 2027", top, leg), SHOP))
    assert not whole.fits and split(trying, whole, whole, Rates()) is None


def test_members_go_with_what_they_are_joined_into(on_desk: Callable[..., Desk]) -> None:
    stool = '[part.stool]\ncount = 6\nof = { seat = 1, leg = 4 }\n'
    desk = on_desk(
        piece("1 April 2027", PART.format(name="seat", finish="tung-oil", more="count = 6"),
              PART.format(name="leg", finish="tung-oil", more="count = 24"), stool)
    )  # fmt: skip
    kept = kept_of(desk.piece, {"stool": 2})
    assert kept is not None
    assert {name: part.count for name, part in kept.parts.items()} == {"seat": 2, "leg": 8, "stool": 2}


def test_where_few_pass_and_none_fits_the_nearest_three_are_told_with_what_they_fail_by(
    on_desk: Callable[..., Desk],
) -> None:
    """In damp air only what is borne by water may be laid, and that is late: two others make up the three."""
    damp = SHOP.replace("70 F, 50 %", "66 F, 72 %")
    shelf = PART.format(name="shelf", finish="padded-shellac", more="")
    desk = on_desk(piece("9 Feb 2027 17:00", shelf), damp, book=("padded-shellac", "water-borne-over-shellac"))
    choice = choose(trying_of(desk), rates_of(desk), planned=2, asked=4, kept=3)
    assert not choice.options and len(choice.nearest) == 3
    assert len({option.key for option in choice.nearest}) == 3
    for option in choice.nearest:
        assert option.fails and all(fail.by > 0 for fail in option.fails)


def test_what_parts_lose_alike_is_said_in_one_breath() -> None:
    lost = [
        Change("days", False, by=-3.0),
        Change("grain", False, "full", "open", slot="panel-3"),
        Change("wear", False, "3", "2", slot="panel-3"),
        Change("grain", False, "full", "open", slot="panel-4"),
        Change("wear", False, "3", "2", slot="panel-4"),
        Change("warmth", False, "warm", "slight", slot="base"),
    ]
    assert changes_words(lost) == (
        "ready 3 days later",
        "panel 3 and panel 4: pores open instead of full, stands wear 2 of 5 instead of 3",
        "base: warmth slight instead of warm",
    )
