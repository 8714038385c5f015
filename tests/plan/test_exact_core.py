"""The plain core against brute force on hand-made shops, and what must follow when a shop is changed."""

from __future__ import annotations

import random
from dataclasses import replace
from itertools import product

import pytest

from rakelight.plan.exact.core import Activity, Lag, Project, shortest

UNITS = 5.0


def a_shop(seed: int) -> Project:
    """Four steps of one maker: two of one part and two of another; coats, dust, waits, short days."""
    draw = random.Random(seed)
    names = ("a1", "a2", "b1", "b2")
    work = {}
    for name in names:
        wet = draw.choice((0, 0, 2, 3))
        work[name] = Activity(draw.randint(1, 3), {"maker": 1}, True, wet, dusty=not wet and draw.random() < 0.7)
    lags = [Lag(a, b, work[a].length + draw.randint(0, 3)) for a, b in (("a1", "a2"), ("b1", "b2"))]
    if draw.random() < 0.5:
        lags[0] = replace(lags[0], most=(lags[0].least or 0) + draw.randint(0, 4))
    windows = [(start, start + 4) for start in range(0, 24, 6)]
    return Project(work, {"maker": 1}, lags, windows, settle=draw.choice((0, 1)), horizon=24)


def by_trying(project: Project) -> int | None:
    """The shortest length over all starts; None where no starts will do."""
    names = list(project.activities)
    windows = project.windows or [(0, project.horizon)]
    allowed = [
        [s for s in range(project.horizon) if any(a <= s and s + project.activities[n].length <= b for a, b in windows)]
        for n in names
    ]
    best = None
    for starts in product(*allowed):
        at = dict(zip(names, starts, strict=True))
        end = max(at[n] + project.activities[n].length for n in names)
        if (best is None or end < best) and sound(project, at):
            best = end
    return best


def sound(project: Project, at: dict[str, int]) -> bool:
    """Whether starts keep every rule: written apart from the model."""
    for lag in project.lags:
        apart = at[lag.after] - at[lag.before]
        if (lag.least is not None and apart < lag.least) or (lag.most is not None and apart > lag.most):
            return False
    work = project.activities
    for minute in range(project.horizon):
        under_way = [n for n in at if at[n] <= minute < at[n] + work[n].length]
        if len(under_way) > project.resources["maker"]:
            return False
    for coat, dust in product(at, at):
        if work[coat].wet and work[dust].dusty:
            dry = at[coat] + work[coat].length + work[coat].wet
            if at[dust] < dry and at[dust] + work[dust].length > at[coat] - project.settle:
                return False
    return True


@pytest.mark.parametrize("seed", range(12))
def test_brute_force_agrees_on_shops_of_four_steps(seed: int) -> None:
    project = a_shop(seed)
    best = by_trying(project)
    found = shortest(project, units=UNITS)
    if best is None:
        assert found.status == "infeasible"
    else:
        assert (found.status, found.length) == ("optimal", best)
        assert sound(project, dict(found.starts))


def test_some_of_these_shops_are_hard_and_some_impossible() -> None:
    lengths = {by_trying(a_shop(seed)) for seed in range(12)}
    assert len(lengths) > 4


@pytest.mark.parametrize("seed", range(6))
def test_hours_always_open_are_as_none(seed: int) -> None:
    project = a_shop(seed)
    open_ = replace(project, windows=[(0, 60)], horizon=60)
    none = replace(project, windows=None, horizon=60)
    assert shortest(open_, units=UNITS).length == shortest(none, units=UNITS).length


@pytest.mark.parametrize("seed", range(6))
def test_taking_a_most_away_never_worsens_it(seed: int) -> None:
    project = a_shop(seed)
    freed = replace(project, lags=[replace(g, most=None) for g in project.lags])
    with_it, without = shortest(project, units=UNITS), shortest(freed, units=UNITS)
    assert without.status == "optimal" or with_it.status == "infeasible"
    assert with_it.status == "infeasible" or without.length <= with_it.length


@pytest.mark.parametrize("seed", range(6))
def test_a_second_maker_never_worsens_it(seed: int) -> None:
    project = a_shop(seed)
    one, two = shortest(project, units=UNITS), shortest(replace(project, resources={"maker": 2}), units=UNITS)
    assert one.status == "infeasible" or two.length <= one.length


@pytest.mark.parametrize("seed", range(6))
def test_windows_shifted_shift_the_plan(seed: int) -> None:
    project = a_shop(seed)
    later = replace(project, windows=[(a + 100, b + 100) for a, b in project.windows or ()], horizon=124)
    now, then = shortest(project, units=UNITS), shortest(later, units=UNITS)
    assert now.status == then.status
    assert now.status == "infeasible" or then.length == now.length + 100


@pytest.mark.parametrize("k", (2, 5))
def test_all_times_longer_make_it_as_much_longer(k: int) -> None:
    project = a_shop(3)
    work = {n: replace(w, length=w.length * k, wet=w.wet * k) for n, w in project.activities.items()}
    lags = [replace(g, least=(g.least or 0) * k, most=None if g.most is None else g.most * k) for g in project.lags]
    windows = [(a * k, b * k) for a, b in project.windows or ()]
    longer = Project(work, project.resources, lags, windows, project.settle * k, project.horizon * k)
    assert shortest(longer, units=UNITS).length == k * shortest(project, units=UNITS).length


def test_work_longer_than_any_window_is_impossible() -> None:
    project = a_shop(0)
    long_ = {**project.activities, "b2": Activity(5, {"maker": 1}, True)}
    assert shortest(replace(project, activities=long_), units=UNITS).status == "infeasible"
