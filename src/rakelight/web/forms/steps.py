"""A schedule as rows of fields: read from its table, changed by buttons, written back as the language has it."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from rakelight.errors import Finding, Where
from rakelight.facts.load import Facts
from rakelight.piece.write import replaced, write_toml
from rakelight.reading import read_toml
from rakelight.schedule.book import SHIPPED, Book
from rakelight.schedule.file import SHEENS, read_schedule, read_step
from rakelight.schedule.steps import VERBS
from rakelight.schedule.verbs import METHODS, OWN, RULES
from rakelight.schedule.words import step_line
from rakelight.toml_lines import index_lines

MOST_STEPS = 60
#: keys answered by yes or no
YES_NO = ("warm", "flood")
#: keys that hold lists of numbers
LISTS = ("grits", "coats")
#: how each key is asked, and what may be typed
ASKED = {
    "own": ("In your own words", "look along it against a lamp"), "with": ("With", "dewaxed shellac"),
    "by": ("Laid by", ""), "cut": ("Cut, lb", "2"), "thin": ("Thinned by", "25 %"), "coats": ("Coats", "3, or 2 to 4"),
    "a_day": ("Most in a day", "3"), "scuff": ("Scuffed between, paper", "320"), "strength": ("Strength", "8 g/l"),
    "warm": ("Warmed", ""), "flood": ("Laid wet and wiped off", ""), "opened": ("Can opened", "3 Feb 2027"),
    "grits": ("Papers", "120, 150, 180"), "grit": ("Paper", "320"), "wet": ("Wet with", "mineral spirits"),
    "for": ("Until it is ready to", ""), "to": ("Carried to", "house"), "on": ("On", "all"),
    "when": ("Begins when ready to", ""), "at_least": ("At least, after the step before", "overnight"),
    "at_most": ("At most, after the step before", "3 days"), "wait": ("Then left", "4 h"),
    "test": ("Hand test", "a thumbnail leaves no mark"), "minutes": ("Minutes for one", "35"),
    "name": ("Called", ""), "kind": ("Kind of work", ""), "tools": ("Tools", "lamp"),
}  # fmt: skip
#: keys shown at once; the others stand behind "More"
FIRST = (
    "own",
    "with",
    "by",
    "cut",
    "grits",
    "grit",
    "coats",
    "scuff",
    "a_day",
    "for",
    "to",
    "wet",
    "test",
    "warm",
)
_RANGE = re.compile(r"(\d+)\s*(?:to|-|–)\s*(\d+)")
_WHOLE = re.compile(r"\d{1,6}")


@dataclass
class StepFields:
    """One step: its verb, what stands in its fields, and what is wrong with it."""

    do: str
    typed: dict[str, str] = field(default_factory=dict)
    says: str = ""
    faults: list[Finding] = field(default_factory=list)
    open: bool = False  # its fields are shown

    @property
    def keys(self) -> list[str]:
        """The keys its verb takes, and any other that stands there."""
        rule = OWN if self.do == "own" else RULES.get(self.do)
        known = [*(("own",) if self.do == "own" else ()), *(rule.keys if rule else ())]
        return [*known, *(k for k in self.typed if k not in known and self.typed[k])]

    @property
    def first(self) -> list[str]:
        """Those shown at once."""
        return [k for k in self.keys if k in FIRST and (k != "test" or self.do == "wait")]

    @property
    def more(self) -> list[str]:
        """Those behind "More"."""
        return [k for k in self.keys if k not in self.first]


@dataclass
class ScheduleFields:
    """A whole schedule."""

    title: str
    sheen: str
    gloss: str
    steps: list[StepFields]
    faults: list[Finding] = field(default_factory=list)  # of no one step

    @property
    def wrong(self) -> bool:
        """Whether anything must be mended first."""
        return any(f.severity == "error" for f in [*self.faults, *(f for s in self.steps for f in s.faults)])


# -- from the file ------------------------------------------------------------------------------------


def table_of(piece_text: str, book: Book, name: str) -> dict[str, Any] | None:
    """The table of a schedule as written, in the piece, the shop's book, or as it comes; None: there is none."""
    inline = tomllib.loads(piece_text).get("schedule", {}).get(name) if piece_text else None
    if isinstance(inline, dict):
        return inline
    stands = book.text_of(name)
    if stands:
        return tomllib.loads(stands[1])
    path = SHIPPED / f"{name}.toml"
    if book.find(name) is None or not path.is_file():
        return None
    return tomllib.loads(path.read_text("utf-8"))


def fields_of(table: Mapping[str, Any]) -> ScheduleFields:
    """A schedule's table as fields."""
    steps = [_step_fields(step) for step in table.get("steps", []) if isinstance(step, dict)]
    title, sheen, gloss = (str(table.get(key, "")) for key in ("schedule", "sheen", "gloss"))
    return ScheduleFields(title, sheen, gloss, steps)


def _step_fields(step: Mapping[str, Any]) -> StepFields:
    do = "own" if "own" in step else str(step.get("do", ""))
    return StepFields(do, {key: _words(value) for key, value in step.items() if key != "do"})


def _words(value: Any) -> str:
    if isinstance(value, bool):
        return "yes" if value else ""
    if isinstance(value, list):
        return ", ".join(_words(v) for v in value)
    return str(value)


# -- from the page ------------------------------------------------------------------------------------


def read_steps(said: Mapping[str, Sequence[str]]) -> ScheduleFields:
    """A schedule as a form sends it, `step-1-with` and so on, with what a button asks of it done.

    Buttons: up, down, off (with the number of a step), add (a number; `verb-N` says what).
    """

    def one(key: str) -> str:
        return (said.get(key) or [""])[0].strip()[:300]

    numbers = sorted({int(k.split("-")[1]) for k in said if re.fullmatch(r"step-\d{1,3}-\w+", k)})[
        :MOST_STEPS
    ]
    steps = [
        StepFields(one(f"step-{n}-do"), {key: one(f"step-{n}-{key}") for key in ASKED if f"step-{n}-{key}" in said},
                   open=bool(one(f"step-{n}-open")))
        for n in numbers
    ]  # fmt: skip
    at = {number: index for index, number in enumerate(numbers)}
    form = ScheduleFields(one("title"), one("sheen"), one("gloss"), steps)
    for button in ("up", "down", "off", "add"):
        asked = one(button)
        if asked.isdigit():
            _press(form.steps, button, at.get(int(asked), -1), one(f"verb-{asked}"))
    return form


def _press(steps: list[StepFields], button: str, at: int, verb: str) -> None:
    if button == "add" and len(steps) < MOST_STEPS:
        steps.insert(at + 1, StepFields(verb if verb in (*VERBS, "own") else "wait", open=True))
    elif at < 0:
        return
    elif button == "off":
        del steps[at]
    elif button == "up" and at > 0:
        steps[at - 1], steps[at] = steps[at], steps[at - 1]
    elif button == "down" and at < len(steps) - 1:
        steps[at + 1], steps[at] = steps[at], steps[at + 1]


# -- to the file --------------------------------------------------------------------------------------


def as_table(form: ScheduleFields) -> dict[str, Any]:
    """The schedule as a table of the language."""
    data: dict[str, Any] = {"schedule": form.title} if form.title else {}
    if form.sheen in SHEENS:
        data["sheen"] = form.sheen
    if form.gloss:
        data["gloss"] = _number(form.gloss)
    data["steps"] = [_step_table(step) for step in form.steps]
    return data


def _number(typed: str) -> Any:
    """A number as the file has it; what is none stays as typed, and is told of."""
    try:
        value = float(typed.replace(",", "."))
    except ValueError:
        return typed
    return int(value) if value.is_integer() else value


def _step_table(step: StepFields) -> dict[str, Any]:
    row: dict[str, Any] = {"own": step.typed.get("own", "")} if step.do == "own" else {"do": step.do}
    for key in step.keys:
        typed = step.typed.get(key, "").strip()
        if key != "own" and typed:
            row[key] = _value(key, typed)
    return row


def _value(key: str, typed: str) -> Any:
    if key in YES_NO:
        return typed == "yes"
    found = _RANGE.fullmatch(typed)
    if key == "coats" and found:
        least, most = int(found[1]), int(found[2])
        return [least, (least + most) // 2, most]
    if key in LISTS or key == "tools":
        many = [_one(word.strip()) for word in re.split(r"[,;]", typed) if word.strip()]
        return many if len(many) > 1 or key != "coats" else many[0] if many else typed
    return _one(typed)


def _one(word: str) -> Any:
    if _WHOLE.fullmatch(word):
        return int(word)
    return float(word) if re.fullmatch(r"\d{1,6}\.\d{1,3}", word) else word


def check(form: ScheduleFields, name: str, facts: Facts) -> None:
    """Say each step in words, and put what is wrong beside the step it is of."""
    form.faults = []
    for step in form.steps:
        step.faults, step.says = _said(step, facts)
        step.open = step.open or bool(step.faults)
    text = write_toml({"schedule": form.title or name, **as_table(form)})
    lines = index_lines(text)
    firsts = {lines.get(("steps", n), 0): n for n in range(len(form.steps))}
    for found in read_schedule(text, f"{name}.toml", facts)[1]:
        number = firsts.get(found.where.line) if len(form.steps) > 1 else 0 if form.steps else None
        if number is None:
            form.faults.append(found)
        elif not any(f.says == found.says for f in form.steps[number].faults):
            form.steps[number].faults.append(found)


def _said(step: StepFields, facts: Facts) -> tuple[list[Finding], str]:
    doc = read_toml(write_toml({"steps": [_step_table(step)]}), "schedule")
    tables = doc.root.children("steps")
    read = read_step(tables[0], facts) if tables else None
    faults = [Finding(f.id, f.severity, Where(), f.says, f.mend) for f in doc.findings]
    head = step.typed.get("own") or step.do
    return faults, step_line(read, facts) if read else f"{head[:1].upper()}{head[1:]}"


def into_piece(piece_text: str, name: str, form: ScheduleFields) -> str:
    """The piece's file with this schedule as its own [schedule.NAME]; all else as it stands."""
    return replaced(piece_text, ("schedule", name), as_table(form))


#: what may be chosen where a key knows only certain words
CHOICES = {
    "by": METHODS, "on": ("", "all", "show", "hidden"), "kind": ("", "quiet", "dusty", "wet"),
}  # fmt: skip
