"""Words over the blocks of a row: what each is called, and where it fits without lying on another."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from rakelight.papers.pictures.canvas import words_width

_GAP = 7.0


@dataclass(frozen=True)
class Called:
    """A block that wants a name: its place along the row, px, and what it is called."""

    at: float
    end: float
    base: str  # "coat", "to the house"
    number: int = 0  # of several; 0 the only one
    weight: int = 1  # the lesser goes first where there is no room


@dataclass(frozen=True)
class Label:
    """Words placed: from and to along the row, on a tier above it (0 nearest)."""

    words: str
    left: float
    right: float
    tier: int
    at: float  # the block they belong to
    ends: bool = False  # set flush with their right end


def runs(called: Sequence[Called]) -> list[list[Called]]:
    """Blocks of one name in a row together."""
    found: list[list[Called]] = []
    for one in called:
        if found and found[-1][-1].base == one.base and (one.number or not found[-1][-1].number):
            found[-1].append(one)
        else:
            found.append([one])
    return found


def run_words(run: Sequence[Called]) -> str:
    """A run in words: "coats 1 to 3", "oil 1 and 2", "sand".

    >>> run_words([Called(0, 0, "coat", n) for n in (1, 2, 3)])
    'coats 1 to 3'
    """
    numbers = sorted({c.number for c in run if c.number})
    base = run[0].base
    if not numbers:
        return base
    if len(numbers) == 1:
        return f"{base} {numbers[0]}"
    base = "coats" if base == "coat" else base
    return f"{base} {numbers[0]} {'and' if numbers[1] == numbers[-1] else 'to'} {numbers[-1]}"


def placed(called: Sequence[Called], left: float, right: float, tiers: int = 2) -> list[Label]:
    """Names that fit between `left` and `right`, in order of weight; those that do not are left out."""
    wanted: list[tuple[int, float, list[str], Called]] = []
    for run in runs(called):
        for group in _apart(run):
            words = run_words(group)
            wanted.append((group[0].weight, group[0].at, [words], replace(group[0], end=group[-1].end)))
    labels: list[Label] = []
    for _, _, choices, one in sorted(wanted, key=lambda w: (-w[0], w[1])):
        label = next((x for words in choices if (x := _fit(words, one, labels, left, right, tiers))), None)
        if label:
            labels.append(label)
    return sorted(labels, key=lambda label: label.left)


def _apart(run: list[Called]) -> list[list[Called]]:
    """Each block of a run by itself where its own name fits before the next, else the run as one."""
    firsts: dict[int, Called] = {}
    for one in run:
        firsts.setdefault(one.number, one)
    alone = list(firsts.values())
    fits = all(
        b.at - a.at > words_width(run_words([a])) + _GAP for a, b in zip(alone, alone[1:], strict=False)
    )
    return [[one] for one in alone] if fits else [run]


def _fit(words: str, one: Called, taken: list[Label], left: float, right: float, tiers: int) -> Label | None:
    wide = words_width(words)
    for tier in range(tiers):
        for ends in (False, True):
            start = one.end - wide if ends else one.at
            if start < left or start + wide > right:
                continue
            free = all(
                t.tier != tier or start + wide + _GAP <= t.left or t.right + _GAP <= start for t in taken
            )
            clear = tier == 0 or all(t.tier >= tier or not (t.left - 2 < one.at + 1 < t.right + 2) for t in taken)
            if free and clear:
                return Label(words, start, start + wide, tier, one.at, ends)
    return None
