"""Words over the blocks of a row: what each is called, and where it fits without lying on another."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from rakelight.papers.pictures.canvas import words_width

_GAP = 7.0
#: the faces of phones are narrower than what words are measured by
_PHONE = 0.88


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
    """Names that fit between `left` and `right`: each block's own, else its run's, else neighbours' joined.

    What matters least (weight 0) is named only where room is left over.
    """
    heavy = [[run] for run in runs([c for c in called if c.weight])]  # groups of neighbouring runs
    apart = {id(run[0]): True for group in heavy for run in group}
    while True:
        labels, failed = _tried(heavy, apart, left, right, tiers)
        if failed is None:
            break
        group = heavy[failed]
        if len(group) == 1 and apart[id(group[0][0])]:
            apart[id(group[0][0])] = False
        elif len(heavy) > 1:
            with_ = _nearer(heavy, failed)
            heavy[with_ : with_ + 2] = [[*heavy[with_], *heavy[with_ + 1]]]
        else:
            break
    for one in [c for c in called if not c.weight]:
        label = _fit(one.base, one, labels, left, right, 1)
        if label:
            labels.append(label)
    return sorted(labels, key=lambda label: label.left)


def _tried(
    groups: Sequence[list[list[Called]]], apart: dict[int, bool], left: float, right: float, tiers: int
) -> tuple[list[Label], int | None]:
    """Labels of groups, and the first that found no room.

    The last comes first: where two lie on another, the earlier goes up, and its line down meets no words.
    """
    labels: list[Label] = []
    for n, group in reversed(list(enumerate(groups))):
        alone = len(group) == 1 and apart[id(group[0][0])]
        for part in reversed(_apart(group[0]) if alone else [[c for run in group for c in run]]):
            words = ", ".join(run_words(run) for run in runs(part))
            label = _fit(words, replace(part[0], end=part[-1].end), labels, left, right, tiers)
            if label is None:
                return labels, n
            labels.append(label)
    return labels, None


def _nearer(groups: Sequence[list[list[Called]]], n: int) -> int:
    """The group before the nearer of a group's two neighbours: which pair to join."""
    if n == 0 or n == len(groups) - 1:
        return max(0, n - 1)
    left = groups[n][0][0].at - groups[n - 1][-1][-1].end
    right = groups[n + 1][0][0].at - groups[n][-1][-1].end
    return n - 1 if left <= right else n


def _apart(run: list[Called]) -> list[list[Called]]:
    """Each block of a run by itself where its own name fits before the next, else the run as one."""
    firsts: dict[int, Called] = {}
    for one in run:
        firsts.setdefault(one.number, one)
    alone = list(firsts.values())
    fits = all(b.at - a.at > words_width(run_words([a])) + _GAP for a, b in pairwise(alone))
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


def beside(called: Sequence[Called], room: float, first: float, last: float, step: float = 17.0) -> list[Label]:
    """Names beside blocks that run downward: one to a line, shortened to the room, moved a little if need be."""
    labels: list[Label] = []
    groups = [g for run in runs(called) for g in _near(run, step)]
    for group in sorted(groups, key=lambda g: (-g[0].weight, g[0].at)):
        mid = (group[0].at + group[-1].end) / 2 if len(group) > 1 else (group[0].at + group[0].end) / 2
        words = next((w for w in _shorter(group) if words_width(w) * _PHONE <= room), "")
        spots = (mid, *(mid + way * far for far in (4, 8, 12) for way in (-1, 1)))
        at = next((y for y in spots if first <= y <= last and all(abs(y - t.at) >= step for t in labels)), None)
        if words and at is not None:
            labels.append(Label(words, at - step / 2, at + step / 2, 0, at))
    return sorted(labels, key=lambda label: label.at)


def _near(run: list[Called], step: float) -> list[list[Called]]:
    """A run broken wherever there is a line's room between blocks."""
    groups = [[run[0]]]
    for one in run[1:]:
        if one.at - groups[-1][0].at >= step:
            groups.append([one])
        else:
            groups[-1].append(one)
    return groups


def _shorter(group: Sequence[Called]) -> list[str]:
    """What a group may be called, the fullest first."""
    full = run_words(group)
    numbers = sorted({c.number for c in group if c.number})
    choices = [full] if group[0].base == "coat" else [full, group[0].base]
    if len(numbers) == 1:
        choices.append(str(numbers[0]))
    elif numbers:
        choices += [f"{numbers[0]} to {numbers[-1]}", f"{numbers[0]}–{numbers[-1]}"]
    if full.startswith("to the "):
        choices.append(full.removeprefix("to the "))
    return choices
