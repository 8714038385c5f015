"""Areas against textbook solids and against curves whose area and length are known in closed form."""

from __future__ import annotations

import math

import pytest

from rakelight.piece import geometry


def test_cone_frustum_of_a_school_book() -> None:
    """Perimeters 24 cm and 12 cm, slant height 6 cm: curved surface 108 cm2 (a class X exercise, read)."""
    top, foot = 240 / math.pi, 120 / math.pi
    high = math.sqrt(60**2 - ((top - foot) / 2) ** 2)
    middle = (top + foot) / 2
    for stations in ((top, middle, foot), (top, (top + middle) / 2, middle, (middle + foot) / 2, foot)):
        assert geometry.turned_leg(high, stations).area_m2["sides"] == pytest.approx(0.0108, rel=1e-9)


def test_cone_frustum_by_its_radii() -> None:
    """Radii 5 m and 8 m, slant 5 m: 204.28 m2 (a class X exercise, read; pi as 22/7, so 0.04 % high)."""
    high = math.sqrt(5**2 - 3**2)
    area = geometry.turned_leg(high * 1000, (16_000, 13_000, 10_000)).area_m2["sides"]
    assert area == pytest.approx(204.28, rel=5e-4)


def test_cylinder_and_circle() -> None:
    """Lateral surface pi d h, circle pi d2 / 4 (any textbook; from memory)."""
    leg = geometry.turned_leg(400, (50, 50, 50, 50)).area_m2
    assert leg["sides"] == pytest.approx(math.pi * 0.05 * 0.4)
    disc = geometry.round_panel(1000, 20).area_m2
    assert disc["top"] == pytest.approx(math.pi / 4)
    assert disc["edges"] == pytest.approx(math.pi * 0.02)


def test_pyramid_frustum() -> None:
    """Lateral surface: half the sum of the perimeters times the slant height (textbook, from memory)."""
    # bases 6 and 4 squares, slant 5: (24 + 16) / 2 x 5 = 100; high = sqrt(25 - 1)
    area = geometry.square_leg(math.sqrt(24), 6, 6, 4).area_m2["sides"] * 1e6
    assert area == pytest.approx(100)


def test_sphere_zone() -> None:
    """Archimedes: a zone of a sphere is as large as the cylinder about it, 2 pi r h; 9 stations, 1 %."""
    r, high = 60.0, 80.0
    stations = [2 * math.sqrt(r**2 - (-high / 2 + high * n / 8) ** 2) for n in range(9)]
    zone = geometry.turned_leg(high, stations).area_m2["sides"] * 1e6
    assert zone == pytest.approx(2 * math.pi * r * high, rel=0.01)


def test_parabola_is_exact_with_simpson() -> None:
    """A slab under a parabola: two thirds of base by height (Archimedes), exact with odd stations."""
    for count in (3, 9):
        at = [400 * (1 - (2 * n / (count - 1) - 1) ** 2) + 1e-9 for n in range(count)]
        assert geometry.slab(1000, at, 30).area_m2["top"] == pytest.approx(2 / 3 * 0.4, rel=1e-6)


def test_sine_edged_slab() -> None:
    """Width 400 + 60 sin(x pi / 500) over 1.5 waves, 9 stations: area within 1 % of the integral.

    Over 1500 mm the sine leaves 60 x 500 / pi x 2 = 19 099 mm2 above 400 x 1500.
    """
    at = [400 + 60 * math.sin(math.pi * 1500 * n / 8 / 500) for n in range(9)]
    exact = 400 * 1500 + 60 * 500 / math.pi * 2
    assert geometry.slab(1500, at, 30).area_m2["top"] * 1e6 == pytest.approx(exact, rel=0.01)


def test_length_of_a_circular_edge() -> None:
    """Both edges arcs of radius 1 m over a chord of 1 m: each pi / 3 m (60 degrees); 9 stations, 1 %."""
    at = [
        400 + 2 * (math.sqrt(1000**2 - (1000 * n / 8 - 500) ** 2) - 1000 * math.cos(math.pi / 6))
        for n in range(9)
    ]
    edges = geometry.slab(1000, at, 1000).area_m2["edges"]
    assert edges == pytest.approx(2 * math.pi / 3, rel=0.01)
    one = [(w - 400) / 2 + 400 for w in at]  # the same arc on the left edge alone, the right one straight
    assert geometry.slab(1000, one, 1000, "left").area_m2["edges"] == pytest.approx(math.pi / 3 + 1, rel=0.01)


def test_outline_of_a_regular_hexagon() -> None:
    """Area 3 sqrt(3) / 2 s2, perimeter 6 s (any textbook; from memory)."""
    s = 300.0
    points = [(s * math.cos(math.pi / 3 * n), s * math.sin(math.pi / 3 * n)) for n in range(6)]
    area = geometry.outlined_slab(points, 20).area_m2
    assert area["top"] * 1e6 == pytest.approx(3 * math.sqrt(3) / 2 * s**2)
    assert area["edges"] + area["ends"] == pytest.approx(6 * s * 20 / 1e6)


def test_outline_turned_round_keeps_its_area() -> None:
    """The order of points, either way round, does not matter (shoelace formula; from memory)."""
    square = [(0, 0), (3, 0), (3, 4), (0, 4)]
    for points in (square, square[::-1], square[2:] + square[:2]):
        found = geometry.outlined_slab(points, 10).area_m2
        assert found["top"] * 1e6 == pytest.approx(12)
        assert (found["edges"] * 1e6, found["ends"] * 1e6) == (pytest.approx(60), pytest.approx(80))


def test_walls_of_a_box_close_up() -> None:
    """A cube of 100 with walls of 10, top off: inside floor 80 x 80, sides 80 x 90; rim 100^2 - 80^2."""
    cube = geometry.box(100, 100, 100, 10, ["top"]).area_m2
    assert cube["inside"] * 1e6 == pytest.approx(80 * 80 + 4 * 80 * 90)
    assert cube["rims"] * 1e6 == pytest.approx(100 * 100 - 80 * 80)
    assert "top" not in cube
    closed = geometry.box(100, 100, 100, 10).area_m2
    assert closed["inside"] * 1e6 == pytest.approx(6 * 80 * 80)
    assert sum(closed[s] for s in geometry.BOX_SIDES) * 1e6 == pytest.approx(6 * 100 * 100)


def test_surface_of_an_open_box_adds_up() -> None:
    """A tray is its outside, inside and rim: cut from one sheet folded, thickness 1, corners checked by hand.

    10 x 10 x 5, walls 1, top and front off: outside 10x10 + 2 x 10x5 + 10x5 = 250; inside floor 8 x 9 = 72,
    two sides 9 x 4 = 72, back 8 x 4 = 32: 176; rims top 10x10 - 8x9 = 28, front 10x5 - 8x4 = 18: 46.
    """
    tray = geometry.box(10, 10, 5, 1, ["top", "front"]).area_m2
    assert sum(tray.get(s, 0) for s in geometry.BOX_SIDES) * 1e6 == pytest.approx(250)
    assert tray["inside"] * 1e6 == pytest.approx(176)
    assert tray["rims"] * 1e6 == pytest.approx(46)
