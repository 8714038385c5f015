"""Reads a schedule: its title, sheen and steps, every default of the language filled in."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from difflib import get_close_matches
from itertools import pairwise
from pathlib import Path
from typing import Any

from rakelight.errors import Finding, Severity
from rakelight.facts.load import Facts, load
from rakelight.piece.model import part_words
from rakelight.piece.want import SHEENS as SHEENS
from rakelight.reading import Table, choice, flag, number, read_toml, texts
from rakelight.schedule.laying import Laying, read_abrasive, read_laying, wet_material
from rakelight.schedule.parsers import (
    a_day,
    count,
    date_words,
    duration,
    face_or_role,
    grit_of,
    grits_of,
    words,
)
from rakelight.schedule.steps import READINESSES, VERBS, Count, Schedule, Step
from rakelight.schedule.verbs import EXTRA_ONLY, OWN, OWN_KINDS, OWN_ONLY, RULES, Verb
from rakelight.units import read_minutes
from rakelight.units.numbers import said

KEYS = ("schedule", "sheen", "gloss", "steps")
_STEPS_MEND = 'Write steps = [{ do = "sand", grits = [120, 150, 180] }, ...].'
_MOST_STEPS = 200


def read_schedule(
    source: Path | str | bytes, name: str = "", facts: Facts | None = None
) -> tuple[Schedule | None, list[Finding]]:
    """A schedule from its file, or from the file's content, with everything that is wrong in it.

    Parameters: source, a path, or the content as text or bytes; name, of the file as shown in findings, and
    of the schedule (its last part without ".toml"); facts, the tables (default: those that come with it).
    Returns the schedule, None where no step of it can be used, and the findings, each with its line.
    Raises NotFound where a path leads to no file. Source of every key: language of the files, section 4.
    """
    doc = read_toml(source, name)
    if not doc.ok:
        return None, doc.findings
    called = Path(doc.name).name.removesuffix(".toml")
    schedule = _read_table(doc.root, called, facts or load(), titled=True)
    if schedule:
        schedule = replace(schedule, note=_opening_comment(source))
    return schedule, _by_line(doc.findings)


def read_inline(table: Table, name: str, facts: Facts | None = None) -> tuple[Schedule | None, list[Finding]]:
    """A schedule that stands in the piece's own file as [schedule.NAME]; its title may be left out.

    Returns the schedule and the findings of it alone: the findings of the piece are not touched.
    """
    own = _apart(table)
    schedule = _read_table(own, name, facts or load(), titled=False)
    return schedule, _by_line(own.doc.findings)


def read_steps(
    tables: Iterable[Table], facts: Facts | None = None, extra: bool = False
) -> tuple[tuple[Step, ...], list[Finding]]:
    """Steps from their tables, in order; what cannot be used is left out and stands in the findings.

    Parameters: tables, one a step; extra, whether they are a part's `extra` steps, which may take `before`,
    `after` and `by_date`, and wait `for` an own step of the piece (`lookup.unknown_fors` checks the names).
    """
    steps: list[Step] = []
    findings: list[Finding] = []
    known = facts or load()
    for table in tables:
        own = _apart(table)
        step = read_step(own, known, extra)
        findings += own.doc.findings
        if step:
            steps.append(step)
    return tuple(steps), findings


def read_step(table: Table, facts: Facts, extra: bool = False) -> Step | None:
    """One step with its defaults, None where anything in it is wrong (then the table's findings say what)."""
    before = _errors(table)
    do = _verb(table)
    if do is None:
        return None
    rule = OWN if do == "own" else RULES[do]
    _check_keys(table, do, rule, extra)
    step = _step(table, do, rule, facts, extra)
    _check_sense(table, step, facts)
    return step if _errors(table) == before else None


def _apart(table: Table) -> Table:
    """The same table with findings of its own."""
    return replace(table, doc=replace(table.doc, findings=[]))


def _by_line(findings: list[Finding]) -> list[Finding]:
    return sorted(findings, key=lambda found: found.where.line)


def _errors(table: Table) -> int:
    return sum(f.severity is Severity.ERROR for f in table.doc.findings)


def _opening_comment(source: Path | str | bytes) -> str:
    """The comment at the head of a schedule: what it is for, as a maker reads it."""
    raw = source.read_bytes() if isinstance(source, Path) else source
    written = raw.decode("utf-8-sig", "replace") if isinstance(raw, bytes) else raw
    lines = []
    for line in written.splitlines():
        if not line.startswith("#"):
            break
        lines.append(line.lstrip("# ").rstrip())
    return " ".join(line for line in lines if line)


def _read_table(table: Table, name: str, facts: Facts, titled: bool) -> Schedule | None:
    table.only(KEYS, "a schedule")
    if titled:
        title = table.need("schedule", words(), 'Write its title: schedule = "Oil and wax".')
    else:
        title = table.take("schedule", words())
    sheen, gloss = _sheen(table, facts)
    tables = table.children("steps")
    if not table.data.get("steps"):
        at = ("steps",) if "steps" in table else ()
        table.fault("no-steps", "the schedule has no steps.", _STEPS_MEND, *at)
    elif len(tables) > _MOST_STEPS:
        says = f"{len(tables)} steps are no schedule."
        table.fault("too-many-steps", says, f"Write at most {_MOST_STEPS}.", "steps")
        return None
    steps = [step for each in tables if (step := read_step(each, facts))]
    if not steps:
        return None
    return Schedule(
        name=name,
        title=title or part_words(name),
        steps=tuple(steps),
        sheen=sheen,
        gloss_gu=gloss,
        file=table.doc.name,
    )


def _sheen(table: Table, facts: Facts) -> tuple[str, float | None]:
    """The sheen it is to have: as a word, by the number on the can, or both where they agree."""
    word = table.take("sheen", choice(*SHEENS)) or ""
    gloss = table.take("gloss", number(0, 100, "gloss units at 60 degrees, as the can has them: gloss = 25"))
    if gloss is None:
        return word, None
    rows = facts.sheens.values()
    by_number = next((r.sheen for r in rows if r.gloss_high is None or gloss < r.gloss_high), word)
    if word and word != by_number:
        says = f"sheen says {word}, and gloss {gloss:g} is {by_number}."
        table.fault("two-sheens", says, "Take one of the two out.", "gloss")
        return word, None
    return by_number, gloss


def _verb(table: Table) -> str | None:
    """The verb, or "own"; None with a finding where there is no telling."""
    if "do" in table and "own" in table:
        table.fault("do-and-own", "a step has both do and own.", "Keep one of the two.", "own")
        return None
    if "own" in table:
        return "own" if table.take("own", words()) is not None else None
    if "do" not in table:
        mend = 'Write do = "sand" or another verb, or own = "..." in your own words.'
        table.fault("no-verb", "a step has neither do nor own.", mend)
        return None
    verb = table.take("do", words())
    if verb is None or verb in VERBS:
        return verb
    meant = _MEANT.get(verb.casefold())
    near = [meant] if meant else get_close_matches(verb.casefold(), VERBS, 1, 0.5)
    known = f"Verbs are: {', '.join(VERBS)}. Else write own = {said(verb)}."
    mend = f'Did you mean "{near[0]}"?' if near else known
    table.fault("unknown-verb", f"{said(verb)} is not a verb of a schedule.", mend, "do")
    return None


#: words people write for a verb
_MEANT = {
    "paint": "coat", "varnish": "coat", "lacquer": "coat", "topcoat": "coat", "finish": "coat", "colour": "stain",
    "color": "stain", "polish": "rub", "buff": "rub", "flatten": "level", "cure": "wait", "dry": "wait",
    "wet": "raise grain",
}  # fmt: skip


def _check_keys(table: Table, do: str, rule: Verb, extra: bool) -> None:
    """A finding for every key this step does not take, naming the keys it takes."""
    keys = [*rule.keys, *(EXTRA_ONLY if extra else ())]
    what = "a step of your own" if do == "own" else f'"{do}"'
    for key in table.data:
        if key in keys or key in ("do", "own"):
            continue
        near = get_close_matches(key, keys, 1, 0.6)
        if key in EXTRA_ONLY:
            mend = "It stands only in the extra steps of a part."
        elif key in OWN_ONLY:
            mend = 'It stands only in steps of your own: own = "...".'
        else:
            mend = f"{f'Did you mean {near[0]}? ' if near else ''}It takes: {', '.join(keys)}."
        table.fault("unknown-key", f"{said(key)[1:-1]} is not a key of {what}.", mend, key)


def _step(table: Table, do: str, rule: Verb, facts: Facts, extra: bool) -> Step:
    """The step with its defaults filled in; what a verb does not take is not read."""

    def take(key: str, parse: Any, default: Any = None) -> Any:
        value = table.take(key, parse) if key in rule.keys or key in EXTRA_ONLY else None
        return default if value is None else value

    own = " ".join(table.data["own"].split()) if do == "own" else ""
    laid = read_laying(table, do, facts) if do in RULES else Laying()
    wet = take("wet", words(), "")
    return Step(
        do=do,
        own=own,
        name=take("name", words(), own or do),
        material=laid.material,
        abrasive=read_abrasive(table, facts) if do == "rub" else "",
        wet=wet,
        wet_material=wet_material(wet, facts) if wet else "",
        by=laid.by,
        grits=take("grits", grits_of(facts), ()) or _one(take("grit", grit_of(facts))),
        coats=take("coats", count, Count(1, 1, 1)),
        a_day=take("a_day", a_day),
        scuff=take("scuff", grit_of(facts)),
        cut_lb=laid.cut_lb,
        thin=laid.thin,
        warm=take("warm", flag, False),
        flood=take("flood", flag, False),
        strength_g_per_l=laid.strength_g_per_l,
        opened=laid.opened,
        on=take("on", face_or_role, rule.on),
        when=take("when", choice(*READINESSES), rule.when),
        for_=take("for", words() if extra else choice(*READINESSES), ""),
        at_least=take("at_least", duration),
        at_most=take("at_most", duration),
        wait=take("wait", duration),
        test=take("test", words(300), ""),
        minutes=take("minutes", read_minutes),
        before=take("before", words(), "") if extra else "",
        after=take("after", words(), "") if extra else "",
        work=take("kind", choice(*OWN_KINDS), "dirty" if do == "level" and wet else rule.work),
        tools=take("tools", texts, ()),
        by_date=take("by_date", date_words, "") if extra else "",
        to=take("to", words(), ""),
        line=table.line(),
    )


def _one(grit: Any) -> tuple[Any, ...]:
    return () if grit is None else (grit,)


_NEEDS: dict[str, tuple[str, str]] = {
    "sand": ("grits", "Write grits = [120, 150, 180]."),
    "level": ("grits", "Write grits = [600, 800]."),
    "scuff": ("grit", "Write grit = 320."),
    "move": ("to", 'Write to = "..." and a place of the shop.'),
}


def _check_sense(table: Table, step: Step, facts: Facts) -> None:
    """What must be said, and what may not be said together."""
    needed = _NEEDS.get(step.do)
    if needed and needed[0] not in table:
        table.fault("missing", f"{step.do}: {needed[0]} is missing.", needed[1])
    if step.do == "rub" and "with" not in table and "grits" not in table:
        mend = 'Write with = "0000 wool", or grits.'
        table.fault("missing", "rub: what it is rubbed with is missing.", mend)
    if step.do == "rub" and "with" in table and "grits" in table:
        mend = "Write two steps, the coarser first."
        table.fault("with-and-grits", "rub has both with and grits.", mend, "grits")
    if step.do == "wait" and "for" not in table and "at_least" not in table:
        mend = 'Write for = "rub" or another readiness, or at_least.'
        table.fault("missing", "wait: what for is missing.", mend)
    if step.before and step.after:
        table.fault("before-and-after", "a step has both before and after.", "Keep one of the two.", "after")
    least, most = step.at_least, step.at_most
    if least and most and not least.overnight and not most.overnight and least.hours > most.hours:
        mend = "Make at_most the longer one."
        table.fault("waits-crossed", "at_least is longer than at_most.", mend, "at_most")
    grains = [facts.paper_um(grit.number, grit.us) for grit in step.grits]
    if any(a and b and a < b for a, b in pairwise(grains)):
        says = f"{step.do}: the papers go back to a coarser one."
        mend = "Write them from coarse to fine."
        table.fault("grits-backward", says, mend, "grits", severity=Severity.WARNING)
