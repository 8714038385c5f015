"""What the model is made of: steps, segments, and variables that bring their hint along."""

from __future__ import annotations

from dataclasses import dataclass, field

from ortools.sat.python import cp_model

Var = cp_model.IntVar
Lin = cp_model.LinearExpr | int


@dataclass
class Segment:
    """A stretch of work of one step."""

    start: Var
    size: Lin
    end: Var
    interval: cp_model.IntervalVar


@dataclass
class Step:
    """One step in the model."""

    start: Lin
    end: Lin  # cleaning included
    on: Lin  # when the coat is on; else the end
    segments: list[Segment] = field(default_factory=list)
    day: Var | None = None
    opens: Lin = 0  # 1 where it brings setting up and cleaning along


class Variables:
    """Variables of one model and a complete hint."""

    def __init__(self) -> None:
        self.cp = cp_model.CpModel()
        self.hints: dict[int, tuple[Var, int]] = {}

    def hint(self, var: Var, value: int) -> None:
        """Say what a variable is in the plan it starts from."""
        self.hints[var.index] = (var, value)

    def number(self, low: int, high: int, hint: int, name: str = "") -> Var:
        """A whole number with its hint."""
        var = self.cp.new_int_var(low, high, name)
        self.hint(var, min(max(hint, low), high))
        return var

    def yes(self, hint: bool, name: str = "") -> Var:
        """A yes or no with its hint."""
        var = self.cp.new_bool_var(name)
        self.hint(var, int(hint))
        return var

    def span(self, start: Lin, size: Lin, end: Lin, here: Var | None = None) -> cp_model.IntervalVar:
        """An interval whose end is its start and size: the solver must be told so."""
        told = self.cp.add(start + size == end)
        if here is None:
            return self.cp.new_interval_var(start, size, end, "")
        told.only_enforce_if(here)
        return self.cp.new_optional_interval_var(start, size, end, here, "")
