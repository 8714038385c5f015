"""The registry of rules: one rule, one function, one id, and what each of them reads."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field

from rakelight.errors import Finding, Severity
from rakelight.facts.records import Source
from rakelight.rules.case import Case

NOTE, WARNING, ERROR = Severity.NOTE, Severity.WARNING, Severity.ERROR
_ORDER = {ERROR: 0, WARNING: 1, NOTE: 2}


@dataclass(frozen=True)
class Hit:
    """What a rule found, before its faces are joined and its place is looked up."""

    severity: Severity
    says: str
    mend: str
    source: Source | None = None
    part: str = ""
    face: str = ""
    task: str = ""
    figures: dict[str, float] = field(default_factory=dict)


Run = Callable[[Case], Iterable[Hit]]


@dataclass(frozen=True)
class Rule:
    """One rule: `reads` is piece, layers or plan (a rule of the plan is silent without one)."""

    id: str
    reads: str
    doc: str
    run: Run


_RULES: dict[str, Rule] = {}


def rule(id: str, reads: str, doc: str) -> Callable[[Run], Run]:
    """Register a function as the rule of an id."""

    def register(run: Run) -> Run:
        if id in _RULES:
            raise ValueError(f"two rules are called {id}")
        _RULES[id] = Rule(id, reads, doc, run)
        return run

    return register


def rules() -> tuple[Rule, ...]:
    """Every rule, by id."""
    return tuple(_RULES[id] for id in sorted(_RULES))


def run_all(case: Case) -> list[Finding]:
    """What every rule finds, the severest first; one finding a part and cause, its faces joined."""
    found: list[Finding] = []
    for one in rules():
        if one.reads == "plan" and case.plan is None:
            continue
        found += _joined(case, one.id, one.run(case))
    return sorted(found, key=lambda f: (_ORDER[f.severity], f.where.part, f.id))


def _joined(case: Case, id: str, hits: Iterable[Hit]) -> Iterator[Finding]:
    groups: dict[tuple[str, str, str], list[Hit]] = {}
    for hit in hits:
        groups.setdefault((hit.part, hit.says, hit.severity), []).append(hit)
    for same in groups.values():
        first = same[0]
        faces = list(dict.fromkeys(h.face for h in same if h.face))
        where = case.where(first.part, faces, first.task)
        source = first.source
        yield Finding(
            id,
            first.severity,
            where,
            first.says,
            first.mend,
            source.text if source else "",
            source.kind if source else None,
            dict(first.figures),
        )
