"""Cautions on a bench sheet: the sentence that matters most at its step, all of them once at the end under a letter."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field

from rakelight.papers.wrapping import and_words
from rakelight.schedule.cautions import BEFORE, StepCaution

_WHEN = {BEFORE: "Before you begin"}
AT_ONCE = "At once after"
_LETTERS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"


@dataclass(frozen=True)
class SheetCaution:
    """Cautions of one moment of a step: before the can is opened, or at once after."""

    when: str
    text: tuple[str, ...]
    defers: str  # whose word comes first, where it does not stand at the head of the day


@dataclass(frozen=True)
class MindCard:
    """All sentences of one caution, told once for all steps that point to it."""

    letter: str
    text: tuple[str, ...]
    defers: str


@dataclass
class Minding:
    """The cautions of one file: which letter each has got, in the order in which they are needed."""

    _rows: dict[str, StepCaution] = field(default_factory=dict)

    def told(self, days: Iterable[Iterable[StepCaution]]) -> list[tuple[SheetCaution, ...]]:
        """What stands at each step of one day or part: the leading sentence, and where the rest stands.

        Parameters: days, the cautions of each step in order.
        """
        seen: dict[str, int] = {}
        return [tuple(self._step(number, rows, seen)) for number, rows in enumerate(days, 1)]

    def _step(self, number: int, rows: Iterable[StepCaution], seen: dict[str, int]) -> Iterator[SheetCaution]:
        by_when: dict[str, list[StepCaution]] = {}
        for row in rows:
            by_when.setdefault(when_words(row), []).append(row)
        for when, some in by_when.items():
            fresh = [row for row in some if row.id not in seen]
            before = sorted({seen[row.id] for row in some if row.id in seen})
            seen |= {row.id: number for row in fresh}
            text = [row.text[0] for row in fresh]
            if before:
                text.append(f"As at step{'s' * (len(before) > 1)} {and_words([str(n) for n in before])}.")
            letters = [self._letter(row) for row in fresh if len(row.text) > 1]
            if letters:
                text.append(f"More at the end, under {and_words(letters)}.")
            yield SheetCaution(when, tuple(text), "")

    def _letter(self, row: StepCaution) -> str:
        self._rows.setdefault(row.id, row)
        return _nth(list(self._rows).index(row.id))

    def cards(self) -> tuple[MindCard, ...]:
        """All that was pointed to, in full."""
        return tuple(MindCard(_nth(n), row.text, row.defers) for n, row in enumerate(self._rows.values()))


def when_words(row: StepCaution) -> str:
    """The moment of a caution: "Before you begin", "At once after"."""
    return _WHEN.get(row.when, AT_ONCE)


def _nth(n: int) -> str:
    """The letter of a place: A to Z, then A2, B2.

    >>> _nth(0), _nth(25), _nth(26)
    ('A', 'Z', 'A2')
    """
    turn, at = divmod(n, len(_LETTERS))
    return _LETTERS[at] + (str(turn + 1) if turn else "")
