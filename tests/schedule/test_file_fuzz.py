"""Any text at all as a schedule: findings, never a traceback. RAKELIGHT_SOAK=1 tries many more."""

from __future__ import annotations

import os

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from rakelight.errors import Severity
from rakelight.facts import load
from rakelight.schedule.book import SHIPPED
from rakelight.schedule.file import read_schedule
from rakelight.schedule.lookup import find_step, nearest_step
from rakelight.schedule.steps import VERBS
from rakelight.schedule.verbs import EXTRA_ONLY, OWN, RULES
from rakelight.schedule.words import schedule_lines

MANY = 5000 if os.environ.get("RAKELIGHT_SOAK") else 80
BOOK = [path.read_text() for path in sorted(SHIPPED.glob("*.toml"))]
KEYS = sorted({key for rule in (*RULES.values(), OWN) for key in rule.keys} | {*EXTRA_ONLY, "do", "own"})
FACTS = load()

words = st.text(st.characters(exclude_characters='"\\', exclude_categories=["Cc", "Cs"]), max_size=20)
scalars = st.one_of(
    st.sampled_from(
        [
            "nan", "inf", "-inf", "0", "-1", "1e400", "true", "[]", "{}", '""', "[[[]]]", "[1, 2, 3]",
            "{ a = 1 }", "1979-05-27T07:32:00Z", "07:32:00", '"overnight"', '"1 day"', '"25 %"', '"8 g/l"',
            '"US 400"', '"²"', '"٣"', '"\\u0000"', f'"{"9" * 5000}"', f"0x{'F' * 6000}", '"shellac"', '"oil"',
            '"wool"', '"show"', '"0000"', '"P"', '"' + "x" * 3000 + '"',
        ]
    ),
    st.integers().map(str),
    st.floats().map(repr),
    words.map('"{}"'.format),
    st.sampled_from(VERBS).map('"{}"'.format),
)  # fmt: skip
steps = st.dictionaries(st.sampled_from(KEYS), scalars, max_size=6).map(
    lambda step: "{ " + ", ".join(f"{k} = {v}" for k, v in step.items()) + " }"
)


@st.composite
def mangled(draw: st.DrawFn) -> str:
    """A schedule of the book with lines dropped, doubled, moved, cut short, or with another value in them."""
    lines = draw(st.sampled_from(BOOK)).splitlines()
    for _ in range(draw(st.integers(1, 4))):
        at = draw(st.integers(0, max(0, len(lines) - 1)))
        change = draw(st.sampled_from(["drop", "double", "value", "move", "cut", "step"]))
        if not lines:
            break
        if change == "drop":
            del lines[at]
        elif change == "double":
            lines.insert(at, lines[at])
        elif change == "move":
            lines.append(lines.pop(at))
        elif change == "cut":
            lines[at] = lines[at][: draw(st.integers(0, len(lines[at])))]
        elif change == "step":
            lines.insert(at, f"  {draw(steps)},")
        else:
            parts = lines[at].split("=")
            n = draw(st.integers(1, max(1, len(parts) - 1)))
            if n < len(parts):
                _, comma, rest = parts[n].partition(",")
                parts[n] = f" {draw(scalars)}{comma or ' }, '}{rest}"
            lines[at] = "=".join(parts)
    return "\n".join(lines)


def judge(text: str | bytes) -> None:
    schedule, findings = read_schedule(text, "mine.toml", FACTS)
    for found in findings:
        assert found.says and found.mend and found.where.line >= 0
        assert len(found.says) < 400
    if schedule is None:
        assert any(f.severity is Severity.ERROR for f in findings)
        return
    assert len(schedule_lines(schedule, FACTS)) == len(schedule.steps) > 0
    for name in ("coat 3", "sand", schedule.steps[-1].name):
        spot = find_step(schedule.steps, name, last=True)
        assert spot is None or 0 <= spot.index < len(schedule.steps)
        nearest_step(schedule.steps, name)
    for step in schedule.steps:
        rule = RULES.get(step.do, OWN)
        assert bool(step.material) == bool(rule.roles)
        assert 1 <= step.coats.least <= step.coats.likely <= step.coats.most


@settings(max_examples=MANY, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(mangled())
def test_a_mangled_schedule(text: str) -> None:
    judge(text)


@settings(max_examples=MANY, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(st.lists(steps, max_size=5), scalars)
def test_any_keys_and_any_values(written: list[str], title: str) -> None:
    judge(f"schedule = {title}\nsteps = [{', '.join(written)}]")


@settings(max_examples=MANY, deadline=None)
@given(st.one_of(st.text(max_size=200), st.binary(max_size=200)))
def test_any_text_and_any_bytes(raw: str | bytes) -> None:
    judge(raw)
