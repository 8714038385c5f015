"""The plain core of a calendar: work on resources of a capacity, with least and most lags, in open hours.

Published scheduling problems are solved with it, so that what the piece's model builds on (start domains, lags,
capacities, wet and dusty work) is held against optima that others have proven.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from ortools.sat.python import cp_model

from rakelight.plan.exact.days import Starts

Span = tuple[int, int]


@dataclass(frozen=True)
class Activity:
    """One piece of work: how long, how much of each resource, and whether it keeps to the open hours."""

    length: int
    uses: Mapping[str, int] = field(default_factory=dict)
    in_hours: bool = False
    wet: int = 0  # time after its end in which it is wet
    dusty: bool = False


@dataclass(frozen=True)
class Lag:
    """Time from start to start: at least, and at most where that is told."""

    before: str
    after: str
    least: int | None = None
    most: int | None = None


@dataclass(frozen=True)
class Project:
    """Activities by name, resources by name, lags; windows None: always open."""

    activities: Mapping[str, Activity]
    resources: Mapping[str, int] = field(default_factory=dict)
    lags: Sequence[Lag] = ()
    windows: Sequence[Span] | None = None
    settle: int = 0  # time for dust to settle before anything is wet
    horizon: int = 0  # 0: the sum of all lengths and least lags


@dataclass(frozen=True)
class Outcome:
    """What was found: "optimal", "feasible", "infeasible" (proven) or "unknown"."""

    status: str
    length: int = 0  # from 0 to the end of the last
    least: int = 0  # proven: no shorter
    starts: Mapping[str, int] = field(default_factory=dict)


_WORDS = {
    cp_model.OPTIMAL: "optimal",
    cp_model.FEASIBLE: "feasible",
    cp_model.INFEASIBLE: "infeasible",
}


def shortest(project: Project, seconds: float = 10.0, workers: int = 8, units: float | None = None) -> Outcome:
    """The shortest project.

    Args: seconds to try; workers, at least 8 whatever the cores; units, deterministic work instead of seconds,
    with one worker, for tests.
    """
    cp = cp_model.CpModel()
    horizon = project.horizon or _horizon(project)
    windows = [(0, horizon)] if project.windows is None else project.windows
    open_ = Starts(windows, 0, horizon)
    starts: dict[str, cp_model.IntVar] = {}
    spans: dict[str, cp_model.IntervalVar] = {}
    end = cp.new_int_var(0, horizon, "end")
    for name, work in project.activities.items():
        free = cp_model.Domain(0, max(0, horizon - work.length))
        domain = open_.of(work.length) if work.in_hours and work.length else free
        if domain.is_empty():
            return Outcome("infeasible")
        start = starts[name] = cp.new_int_var_from_domain(domain, name)
        spans[name] = cp.new_fixed_size_interval_var(start, work.length, name)
        cp.add(end >= start + work.length)
    for lag in project.lags:
        apart = starts[lag.after] - starts[lag.before]
        if lag.least is not None:
            cp.add(apart >= lag.least)
        if lag.most is not None:
            cp.add(apart <= lag.most)
    for resource, capacity in project.resources.items():
        users = [(n, w.uses[resource]) for n, w in project.activities.items() if w.uses.get(resource)]
        if capacity == 1:
            cp.add_no_overlap([spans[n] for n, _ in users])
        else:
            cp.add_cumulative([spans[n] for n, _ in users], [u for _, u in users], capacity)
    _keep_dust_out(cp, project, starts, spans)
    cp.minimize(end)
    return _solved(cp, starts, seconds, workers, units)


def _horizon(project: Project) -> int:
    lags = sum(max(0, lag.least or 0) for lag in project.lags)
    work = sum(w.length + w.wet + project.settle for w in project.activities.values()) + lags
    if project.windows is None:
        return work
    return max((b for _, b in project.windows), default=0)


def _keep_dust_out(
    cp: cp_model.CpModel,
    project: Project,
    starts: Mapping[str, cp_model.IntVar],
    spans: Mapping[str, cp_model.IntervalVar],
) -> None:
    """Each wet activity, from settling before it to dry, against each dusty one."""
    for name, coat in project.activities.items():
        if not coat.wet:
            continue
        size = project.settle + coat.length + coat.wet
        wet = cp.new_fixed_size_interval_var(starts[name] - project.settle, size, "")
        for other, work in project.activities.items():
            if work.dusty and other != name:
                cp.add_no_overlap([wet, spans[other]])


def _solved(
    cp: cp_model.CpModel, starts: Mapping[str, cp_model.IntVar], seconds: float, workers: int, units: float | None
) -> Outcome:
    solver = cp_model.CpSolver()
    solver.parameters.random_seed = 0
    if units is None:
        solver.parameters.num_workers = max(8, workers)
        solver.parameters.max_time_in_seconds = seconds
    else:
        solver.parameters.num_workers = 1
        solver.parameters.max_deterministic_time = units
    status = _WORDS.get(solver.solve(cp), "unknown")
    if status not in ("optimal", "feasible"):
        return Outcome(status)
    found = {name: solver.value(var) for name, var in starts.items()}
    return Outcome(status, round(solver.objective_value), round(solver.best_objective_bound), found)
