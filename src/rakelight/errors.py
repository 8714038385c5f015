"""What can be wrong: findings about the maker's work, and exceptions for a broken call."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from enum import StrEnum


class Severity(StrEnum):
    """How much a finding matters: a note informs, a warning asks, an error stops."""

    NOTE = "note"
    WARNING = "warning"
    ERROR = "error"


class SourceKind(StrEnum):
    """Where a figure comes from; shown beside every figure a person sees."""

    PUBLISHED = "published"
    COMMON = "common practice"
    MEMORY = "from memory"
    COMPUTED = "computed"
    ASSUMPTION = "assumption"
    MEASURED = "measured here"


@dataclass(frozen=True)
class Where:
    """The place a finding speaks of: a line of a file, or a part, face and step of a piece."""

    file: str = ""
    line: int = 0
    part: str = ""
    face: str = ""
    step: str = ""

    def __str__(self) -> str:
        spot = f"{self.file}:{self.line}" if self.line else self.file
        return ", ".join(word for word in (spot, self.part, self.face, self.step) if word)


@dataclass(frozen=True)
class Finding:
    """One thing that is wrong, dangerous or worth knowing: a value, never an exception."""

    id: str
    severity: Severity
    where: Where
    says: str
    mend: str
    source: str = ""
    kind: SourceKind | None = None
    # figures behind the sentence, by name with unit (``wait_h``, ``film_um``), for tests and pages
    figures: dict[str, float] = field(default_factory=dict, compare=False)

    def at(self, **where: str | int) -> Finding:
        """The same finding with parts of its place filled in."""
        return replace(self, where=replace(self.where, **where))  # type: ignore[arg-type]


class RakelightError(Exception):
    """A call that cannot be carried out; the message is one sentence a person can act on."""


class NotFound(RakelightError):
    """A name that no table, file or record holds."""


class Refused(RakelightError):
    """Input so wrong that nothing can be computed; carries the findings that say why."""

    def __init__(self, findings: list[Finding]) -> None:
        self.findings = findings
        super().__init__("; ".join(f"{f.where}: {f.says}" for f in findings[:3]))


class Misread(RakelightError):
    """Words that cannot be read as the quantity asked for: what is wrong, and what to write instead."""

    def __init__(self, says: str, mend: str) -> None:
        self.says = says
        self.mend = mend
        super().__init__(f"{says} {mend}")
