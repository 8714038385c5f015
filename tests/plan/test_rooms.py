"""Wet surfaces keep dust out; dust must settle before a coat; parts need a place to stand."""

from math import inf

from rakelight.plan.rooms import Room


def test_a_coat_waits_for_the_dust_to_settle() -> None:
    room = Room("shop", 4, settle=60)
    room.raise_dust((0, 100))
    assert room.dust_in_the_way(120, 200) == 160
    assert room.dust_in_the_way(160, 200) is None


def test_dust_that_would_fall_on_a_wet_coat_is_in_the_way() -> None:
    room = Room("shop", 4, settle=60)
    room.raise_dust((300, 400))
    assert room.dust_in_the_way(100, 301) == 460
    assert room.dust_in_the_way(100, 300) is None


def test_no_dust_is_made_while_something_is_wet_or_just_before() -> None:
    room = Room("shop", 4, settle=60)
    room.lay(100, 300)
    assert room.shut.rows == [(40, 300)]


def test_a_full_rack_is_waited_for() -> None:
    room = Room("shop", 2, settle=60)
    room.stand("a", 0, 100, 1)
    room.stand("b", 0, 200, 1)
    assert room.full(50, 80, 1, "c") == 100
    assert room.full(100, 150, 1, "c") is None
    assert room.full(50, 80, 1, "a") is None  # the same part stands where it stood


def test_a_part_that_is_taken_away_leaves_its_place() -> None:
    room = Room("shop", 1, settle=60)
    room.stand("a", 0, 1000, 1)
    room.leave("a", 30)
    assert room.full(30, 60, 1, "b") is None


def test_a_part_larger_than_the_rack_stands_alone() -> None:
    room = Room("shop", 1, settle=60)
    assert room.full(0, 10, 3, "a") is None
    room.stand("a", 0, 100, 3)
    assert room.full(10, 20, 1, "b") == 100


def test_a_coat_that_never_dries_there_is_no_choice_among_hours() -> None:
    room = Room("shop", 4, settle=60)
    assert room.newly_blocked(100, inf, None) == inf
    assert Room("house", 4, settle=60, dusty_work=False).newly_blocked(100, inf, None) == 0
