"""How hard the solver tries."""

from __future__ import annotations

from dataclasses import dataclass

from ortools.sat.python import cp_model

#: with fewer CP-SAT runs no neighbourhood search, whatever the cores: measured
LEAST_WORKERS = 8


@dataclass(frozen=True)
class Effort:
    """How long to try. Work (`units`, deterministic) instead of seconds is for tests: one worker then."""

    seconds: float = 10.0
    workers: int = LEAST_WORKERS
    units: float | None = None

    def solver(self, seconds: float) -> cp_model.CpSolver:
        """A solver that tries so long."""
        solver = cp_model.CpSolver()
        solver.parameters.random_seed = 0
        if self.units is None:
            solver.parameters.num_workers = max(LEAST_WORKERS, self.workers)
            solver.parameters.max_time_in_seconds = seconds
        else:
            solver.parameters.num_workers = 1
            solver.parameters.max_deterministic_time = self.units
        return solver
