"""Names as people say them, matched to the one spelling of the tables."""

from __future__ import annotations

import difflib
import re
from dataclasses import dataclass, field
from functools import lru_cache

from rakelight.facts.load import Facts

_SPELLINGS = (
    (re.compile(r"\bgray\b"), "grey"),
    (re.compile(r"\bcolor(ed)?\b"), r"colour\1"),
    (re.compile(r"\bwater ?(?:borne|based|bourne|base)\b"), "water borne"),
    (re.compile(r"catalyz"), "catalys"),
    (re.compile(r"polymeriz"), "polymeris"),
    (re.compile(r"\bodorless\b"), "odourless"),
    (re.compile(r"\b2 part\b|\btwo component\b|\b2 component\b"), "two part"),
)
_KINDS = ("material", "wood", "abrasive", "lubricant", "solvent")
_NEAR = 3
_CHOICES = 6
_LONGEST = 60


@dataclass(frozen=True)
class Match:
    """What a name was found to mean: exactly one id, several (ask), or none (the nearest names)."""

    said: str
    ids: tuple[str, ...] = ()
    near: tuple[str, ...] = ()  # nearest names, where nothing matches
    choices: tuple[str, ...] = ()  # what to write for each id
    kind: str = "material"
    note: str = ""  # a remark of the table on this name

    @property
    def one(self) -> str | None:
        """The id, where there is exactly one."""
        return self.ids[0] if len(self.ids) == 1 else None

    @property
    def says(self) -> str:
        """What is wrong, as one sentence; empty where nothing is."""
        if self.one:
            return ""
        if self.ids:
            return f'"{self.said}" can mean more than one {self.kind}.'
        return f'No {self.kind} here is called "{self.said}".'

    @property
    def ask(self) -> str:
        """What to write instead, as one sentence; empty where the name is clear."""
        if self.one:
            return ""
        if self.ids:
            more = " (or another)" if len(self.choices) > _CHOICES else ""
            remark = f" ({self.note})" if self.note else ""
            return f"Write {_either(self.choices[:_CHOICES])}{more}{remark}."
        if self.near:
            names = "names are" if len(self.near) > 1 else "name is"
            return f"The nearest {names} {_either(self.near, 'and')}."
        return f"`rakelight facts` with a part of the name shows what is known of each {self.kind}."


def _either(words: tuple[str, ...], joint: str = "or") -> str:
    quoted = [f'"{word}"' for word in words]
    return quoted[0] if len(quoted) == 1 else f"{', '.join(quoted[:-1])} {joint} {quoted[-1]}"


def plain(words: str) -> str:
    """A name without case, hyphens, brackets, plural and spelling.

    >>> plain("Water-based  Lacquers")
    'water borne lacquer'
    """
    text = re.sub(r"[\s\-_/(),.\"'#]+", " ", words.casefold()).strip()
    for pattern, instead in _SPELLINGS:
        text = pattern.sub(instead, text)
    return " ".join(_singular(word) for word in text.split())


def _singular(word: str) -> str:
    if len(word) <= 3 or not word.endswith("s") or word.endswith(("ss", "us", "is")):
        return word
    if word.endswith("ies"):
        return word[:-3] + "y"
    if word.endswith(("shes", "ches", "xes", "sses")):
        return word[:-2]
    return word[:-1]


@dataclass
class _Index:
    kind: str
    exact: dict[str, tuple[str, ...]] = field(default_factory=dict)
    names: dict[str, str] = field(default_factory=dict)  # id -> the name to write
    notes: dict[str, str] = field(default_factory=dict)
    joined: dict[str, str] = field(default_factory=dict)  # written together -> plain words

    def add(self, say: str, ids: tuple[str, ...], over: bool = False) -> None:
        key = plain(say)
        known = () if over else self.exact.get(key, ())
        self.exact[key] = tuple(dict.fromkeys((*known, *ids)))
        self.joined.setdefault(key.replace(" ", ""), key)

    def partial(self, key: str) -> tuple[str, ...]:
        """Ids of which every said word stands in one of their names."""
        said = set(key.split())
        found: dict[str, None] = {}
        for known, ids in self.exact.items():
            if len(ids) == 1 and said <= set(known.split()):
                found[ids[0]] = None
        return tuple(found)

    def known(self, key: str) -> tuple[str, ...]:
        """Ids of a name, also where its words are written together or apart."""
        return self.exact.get(key) or self.exact.get(self.joined.get(key.replace(" ", ""), ""), ())

    def has_head(self, key: str, id: str) -> bool:
        """Whether the said words hold the last word of the name, the noun."""
        return plain(self.names[id]).split()[-1] in key.split()

    def match(self, said: str) -> Match:
        key = plain(said)
        ids = self.known(key)
        if not ids and key:
            part = self.partial(key)
            if len(part) > 1 or (part and self.has_head(key, part[0])):
                ids = part
            elif part:
                return Match(said, near=(self.names[part[0]],), kind=self.kind)
        if not ids:
            close = difflib.get_close_matches(key[:_LONGEST], list(self.exact), n=_NEAR * 3, cutoff=0.6)
            near = dict.fromkeys(self.names[id] for word in close for id in self.exact[word])
            return Match(said, near=tuple(near)[:_NEAR], kind=self.kind)
        return Match(said, ids, (), tuple(self.names[id] for id in ids), self.kind, self.notes.get(key, ""))


@lru_cache(maxsize=8)
def _index(facts: Facts, kind: str) -> _Index:
    index = _Index(kind)
    if kind == "material":
        for id, material in facts.materials.items():
            index.names[id] = material.name
            index.add(material.name, (id,))
            index.add(id, (id,))
    elif kind == "wood":
        for wood in facts.woods.values():
            index.names[wood.name] = wood.name
        for wood in facts.woods.values():
            for say in (*wood.aliases, wood.botanical):
                index.add(say, (wood.name,))
        for name in facts.woods:
            index.add(name, (name,), over=True)
    elif kind == "abrasive":
        for id in facts.abrasives:
            index.names[id] = say_abrasive(id)
            index.add(say_abrasive(id), (id,))
    elif kind == "lubricant":
        for thing in facts.lubricants.values():
            index.names[thing.name] = thing.name
            for say in (thing.name, *thing.aliases):
                index.add(say, (thing.name,))
    elif kind == "solvent":
        for name in facts.solvents:
            index.names[name] = name
            index.add(name, (name,))
    named = {plain(name) for name in index.names.values()}
    for alias in facts.aliases:
        if alias.kind == kind:
            key = plain(alias.say)
            index.add(alias.say, alias.means, over=key not in named)
            index.notes[key] = alias.note
    return index


def find_material(facts: Facts, words: str) -> Match:
    """What material a maker means.

    >>> from rakelight.facts import load
    >>> find_material(load(), "Boiled Linseed Oil").one
    'linseed_boiled'
    >>> find_material(load(), "brushing varnish").ask
    'Write "alkyd varnish" or "brushing urethane varnish".'
    """
    return _index(facts, "material").match(words)


def find_wood(facts: Facts, words: str) -> Match:
    """What wood a maker means, by the one spelling of the tables.

    >>> from rakelight.facts import load
    >>> find_wood(load(), "hard maple").one
    'sugar maple'
    """
    return _index(facts, "wood").match(words)


def find_lubricant(facts: Facts, words: str) -> Match:
    """What is meant by the liquid or wax something is rubbed with."""
    return _index(facts, "lubricant").match(words)


def find_solvent(facts: Facts, words: str) -> Match:
    """What solvent is meant."""
    return _index(facts, "solvent").match(words)


_US = re.compile(
    r"^(?:us|cami|ansi)\s*(\d{1,6})(?:\s*(?:grit|paper))?$|^(\d{1,6})(?:\s*grit)?\s*(?:us|cami)$"
)
_P = re.compile(r"^(?:fepa\s*)?(?:grit\s*)?p?\s*(\d{1,6})(?:\s*(?:grit|paper|sandpaper))?$")
_WOOL = re.compile(r"^(?:grade\s*)?(?:(0{1,4}|1|[234] 0)\s*(?:(?:steel|wire)\s*)?wool|(0{2,4}))$")
_PUMICE = re.compile(r"^(?:pumice\s*)?(?:(\d)\s*f|(f{1,4}))(?:\s*pumice)?$")


def find_abrasive(facts: Facts, words: str) -> Match:
    """What paper, wool, pad or powder is meant; a grit without a letter is FEPA P.

    >>> from rakelight.facts import load
    >>> [find_abrasive(load(), said).one for said in ("320", "US 400", "0000", "Pumice FFF")]
    ['FEPA_P P320', 'CAMI 400', 'steel_wool 0000', 'powder pumice FFF']
    """
    key = plain(words)
    index = _index(facts, "abrasive")
    if found := _US.match(key):
        return _grade(facts, index, words, "CAMI", "", int(found.group(1) or found.group(2)))
    if found := _WOOL.match(key):
        grade = found.group(1) or found.group(2)
        grade = "0" * int(grade[0]) if " " in grade else grade
        return _known(facts, index, words, f"steel_wool {grade}")
    if found := _P.match(key):
        return _grade(facts, index, words, "FEPA_P", "P", int(found.group(1)))
    if found := _PUMICE.match(key):
        fineness = int(found.group(1) or len(found.group(2)))
        return _known(facts, index, words, f"powder pumice {'F' * fineness}")
    return index.match(words)


def _known(facts: Facts, index: _Index, said: str, id: str) -> Match:
    if id in facts.abrasives:
        return Match(said, (id,), (), (index.names[id],), "abrasive")
    return index.match(said)


def _grade(facts: Facts, index: _Index, said: str, kind: str, letter: str, number: int) -> Match:
    id = f"{kind} {letter}{number}"
    if id in facts.abrasives:
        return Match(said, (id,), (), (index.names[id],), "abrasive")
    grades = sorted(
        (one for one in facts.abrasives.values() if one.kind == kind),
        key=lambda one: abs(int(one.grade.lstrip("P")) - number),
    )
    return Match(said, near=tuple(say_abrasive(f"{kind} {one.grade}") for one in grades[:2]), kind="abrasive")


def say_abrasive(id: str) -> str:
    """An abrasive as a maker writes it.

    >>> say_abrasive("steel_wool 0000"), say_abrasive("CAMI 400"), say_abrasive("pad white")
    ('0000 wool', 'US 400', 'white pad')
    """
    kind, _, grade = id.partition(" ")
    if kind == "CAMI":
        return f"US {grade}"
    if kind == "steel_wool":
        return f"{grade} wool"
    if kind == "pad":
        return f"{grade} pad"
    return grade


def find_anything(facts: Facts, words: str) -> Match:
    """Every material, wood, abrasive, lubricant or solvent of that name, each id as "kind:id"."""
    ids: list[str] = []
    choices: list[str] = []
    near: list[str] = []
    for kind in _KINDS:
        match = find_abrasive(facts, words) if kind == "abrasive" else _index(facts, kind).match(words)
        ids += [f"{kind}:{id}" for id in match.ids]
        choices += match.choices
        near += match.near
    return Match(words, tuple(ids), () if ids else tuple(dict.fromkeys(near)), tuple(choices), "thing")
