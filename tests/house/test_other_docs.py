"""The pages on modelling choices and on plain data: figures stand where they say, references lead somewhere."""

from __future__ import annotations

import json
import re
import shlex
import shutil
import sys
from pathlib import Path
from typing import Any

import pytest

from rakelight.cli import main
from rakelight.errors import SourceKind
from rakelight.facts import load

ROOT = Path(__file__).parents[2]
SRC = ROOT / "src" / "rakelight"
CHOICES = (ROOT / "docs" / "decisions.md").read_text("utf-8")
DATA = (ROOT / "docs" / "json.md").read_text("utf-8")


def _grounds() -> list[tuple[str, list[str]]]:
    """Kind of ground and figures of every line that names any: "- assumption: `a`, `b`; `plan/waits.py`"."""
    kinds = "|".join(SourceKind)
    lines = re.findall(rf"^- ({kinds}): (.*(?:\n  .*)*)", CHOICES, re.MULTILINE)
    return [(kind, re.findall(r"`([a-z0-9_]+)`", rest)) for kind, rest in lines]


def test_every_figure_is_explained_under_its_own_kind() -> None:
    figures = load().figures
    named = {id: kind for kind, ids in _grounds() for id in ids}
    assert sorted(named) == sorted(figures)
    assert named == {id: figures[id].source.kind.value for id in named}


def test_modules_tables_and_rules_of_thumb_exist() -> None:
    named = re.findall(r"`([a-z_]+(?:/[a-z_]+)*\.(?:py|csv|toml))`", CHOICES)
    assert len(named) > 20
    for path in named:
        assert (SRC / path).exists() or (SRC / "facts" / "tables" / path).exists(), path
    for id in re.findall(r"\bP\d\d\b", CHOICES):
        assert id in load().practice


def test_every_figure_is_read_somewhere() -> None:
    """A row that nothing reads is no figure of the tool's: read it where its literal stands, or drop it."""
    code = "".join(p.read_text("utf-8") for p in SRC.rglob("*.py") if "facts" not in p.relative_to(SRC).parts)
    unread = [id for id in load().figures if not re.search(rf"[\"']{id}[\"']", code)]
    assert not unread


def test_references_in_the_code_name_a_heading_of_the_page() -> None:
    headings = {line.lstrip("# ").strip().lower() for line in CHOICES.splitlines() if line.startswith("#")}
    found = 0
    for path in [*SRC.rglob("*.py"), *(ROOT / "tests").rglob("*.py")]:
        if path == Path(__file__):
            continue
        text = re.sub(r"\s*\n\s*(?:#:? )?", " ", path.read_text("utf-8"))
        assert "DECISIONS" not in text, f"{path.name} names a page that is not here"
        for heading in re.findall(r"docs/decisions\.md, \"([^\"]+)\"", text):
            found += 1
            assert heading.lower() in headings, f"{path.name}: {heading}"
        assert text.count("docs/decisions.md") == len(re.findall(r"docs/decisions\.md, \"", text)), path.name
    assert found > 10


TITLES = re.findall(r"^## (.*)$", DATA, re.MULTILINE)


def _shown(title: str) -> tuple[list[str], Any]:
    """The commands and the answer under a heading of the page on plain data."""
    part = DATA.split(f"\n## {title}\n")[1].split("\n## ")[0]
    commands, answer = re.findall(r"```(?:json)?\n(.*?)```", part, re.DOTALL)[:2]
    return commands.splitlines(), json.loads(answer)


def _has_shape(shown: Any, real: Any) -> bool:
    """Whether an answer has the keys and kinds of value of an example that is cut short where "..." stands."""
    if shown == "..." or shown is None or real is None:
        return True
    if isinstance(shown, dict) and isinstance(real, dict):
        whole = "..." in shown or set(shown) == set(real)
        return whole and all(k == "..." or (k in real and _has_shape(v, real[k])) for k, v in shown.items())
    if isinstance(shown, list) and isinstance(real, list):
        return all(any(_has_shape(s, r) for r in real) for s in shown)
    if isinstance(shown, int | float) and isinstance(real, int | float):
        return isinstance(shown, bool) == isinstance(real, bool)
    return type(shown) is type(real)


def test_what_has_the_shape_of_an_example() -> None:
    assert _has_shape({"a": ["x", {"b": 1, "...": "..."}]}, {"a": ["w", {"b": 2.5, "c": 3}]})
    assert not _has_shape({"a": ["x"]}, {"a": []})
    assert not _has_shape({"a": 1}, {"a": 1, "b": 2})
    assert not _has_shape({"a": 1, "b": 2}, {"a": 1})
    assert not _has_shape({"a": 1}, {"a": "1"})


@pytest.mark.parametrize("title", TITLES)
def test_commands_answer_in_the_shape_of_their_examples(
    title: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """The commands of the page, run as printed: the same keys; the figures are held elsewhere."""
    commands, shown = _shown(title)
    shutil.copytree(ROOT / "examples", tmp_path / "examples", ignore=shutil.ignore_patterns("*.jsonl"))
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("RAKELIGHT_SHOP", str(tmp_path / "shop.rakelight"))
    out = ""
    for command in commands:
        words = shlex.split(command)
        assert words[0] == "rakelight"
        monkeypatch.setattr(sys, "argv", words)
        with pytest.raises(SystemExit) as stop:
            main()
        said = capsys.readouterr()
        assert stop.value.code in (None, 0, 1), said.err
        out = said.out
    real = json.loads(out)
    assert real["schema"] == 1
    assert _has_shape(shown, real)
