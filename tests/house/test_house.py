"""The rules of the house, held by looking at the source."""

from __future__ import annotations

import ast
import re
import subprocess
import sys
from functools import cache
from pathlib import Path

ROOT = Path(__file__).parents[2]
SRC = ROOT / "src" / "rakelight"
FILES = sorted(SRC.rglob("*.py"))

#: left to right: nothing imports to its right
ORDER = [
    "errors", "units", "spread", "toml_lines", "reading", "facts", "physics", "piece", "shop", "schedule", "state",
    "plan", "rules", "choice", "log", "papers", "store", "desk", "as_json", "today_json", "stock_json", "again_json",
    "fault_json", "cli", "web", "__main__",
]  # fmt: skip


def _room(path: Path) -> str:
    return path.relative_to(SRC).parts[0].removesuffix(".py")


def _name(path: Path) -> str:
    return path.relative_to(ROOT).as_posix()


@cache
def _nodes(path: Path) -> tuple[ast.AST, ...]:
    return tuple(ast.walk(ast.parse(path.read_text("utf-8"))))


def _imports(path: Path) -> set[str]:
    found = set()
    for node in _nodes(path):
        if isinstance(node, ast.ImportFrom) and node.module and node.module.startswith("rakelight"):
            parts = node.module.split(".")
            found |= {parts[1]} if len(parts) > 1 else {a.name for a in node.names}
        elif isinstance(node, ast.Import):
            found |= {a.name.split(".")[1] for a in node.names if a.name.startswith("rakelight.")}
    return found


def test_imports_run_one_way() -> None:
    """`facts` never imports `plan`, `physics` never imports `piece`, and so on."""
    assert not [
        f"{_name(path)} imports {other} to its right"
        for path in FILES
        if (room := _room(path)) != "__init__"
        for other in _imports(path) - {room, "__version__"} - _LAZY.get(_name(path), set())
        if ORDER.index(other) >= ORDER.index(room)
    ]


#: the one command that opens the pages, inside its function
_LAZY = {"src/rakelight/cli/serve.py": {"web"}}


def test_files_and_functions_stay_small() -> None:
    """No file over 400 lines, no function over 60."""
    long = [f"{_name(path)}: {lines} lines" for path in FILES if (lines := path.read_text("utf-8").count("\n")) > 400]
    functions = (ast.FunctionDef, ast.AsyncFunctionDef)
    for path in FILES:
        for node in _nodes(path):
            if isinstance(node, functions) and (length := (node.end_lineno or 0) - node.lineno + 1) > 60:
                long.append(f"{_name(path)}: {node.name} has {length} lines")
    assert not long


def test_test_files_stay_small_too() -> None:
    """The same for tests."""
    for path in (ROOT / "tests").rglob("*.py"):
        assert path.read_text("utf-8").count("\n") <= 400, _name(path)


def test_no_file_of_tests_leans_on_another() -> None:
    """What several need stands in a fixture or in a module of its own."""
    leans = re.compile(r"^\s*(?:from|import)\s+[\w.]*\btest_\w+", re.MULTILINE)
    assert not [_name(p) for p in (ROOT / "tests").rglob("*.py") if leans.search(p.read_text("utf-8"))]


def test_no_catch_all_modules() -> None:
    """One obvious room for each thing."""
    assert not [p for p in FILES if p.stem in ("utils", "helpers", "common", "misc")]


def test_init_files_only_re_export() -> None:
    """No logic hides in `__init__`."""
    for path in FILES:
        if path.name != "__init__.py":
            continue
        for node in ast.parse(path.read_text("utf-8")).body:
            plain = isinstance(node, ast.Import | ast.ImportFrom | ast.Assign | ast.Expr)
            assert plain, f"{_name(path)}: {type(node).__name__}"


def test_conversion_factors_stand_in_units_alone() -> None:
    """25.4, 3785.4, 453.6, 28.3, 29.57, 10.76, 0.3048 and their kin are written once."""
    factor = re.compile(
        r"(?<![\d.])(25\.4|304\.8|0\.3048|3785\.\d+|3\.785\d*|453\.59\d*|0\.45359\d*|28\.349\d*|29\.57\d*|0\.0929\d*|10\.76\d*)(?!\d)"
    )
    for path in FILES:
        if path.parent.name == "units":
            continue
        for node in _nodes(path):
            if isinstance(node, ast.Constant) and isinstance(node.value, float):
                assert not factor.fullmatch(str(node.value)) or (path.name, node.value) in _DEFAULTS, (
                    f"{_name(path)}:{node.lineno}: {node.value} belongs in units.py"
                )


#: sizes that only look like a factor: the default test board is 12 inches long
_DEFAULTS = {("model.py", 304.8)}


def test_nothing_reaches_for_the_network() -> None:
    """The tool works without internet: no client is imported anywhere."""
    clients = {"urllib", "http", "requests", "httpx", "socket", "aiohttp", "ftplib"}
    for path in FILES:
        for node in _nodes(path):
            names = []
            if isinstance(node, ast.Import):
                names = [a.name for a in node.names]
            elif isinstance(node, ast.ImportFrom):
                names = [node.module or ""]
            asked = {n.split(".")[0] for n in names if n != "urllib.parse"}
            assert not asked & clients, _name(path)


def modules_after(*words: str) -> set[str]:
    """Top-level modules loaded once a command has run, in a process of its own."""
    script = """
import sys
try:
    from rakelight.cli import main
    main()
except SystemExit:
    pass
print("\\nLOADED", *sorted({m.split(".")[0] for m in sys.modules}))
"""
    line = [sys.executable, "-c", script, *words]
    out = subprocess.run(line, capture_output=True, text=True, cwd=ROOT, check=True).stdout
    return set(out.splitlines()[-1].split())


def test_help_loads_nothing_heavy() -> None:
    """`--help` needs no arithmetic."""
    heavy = {"numpy", "scipy", "ortools", "pint", "psychrolib", "holidays", "sqlalchemy", "rich", "pandas"}
    assert not modules_after("--help") & heavy


def test_a_plan_loads_no_solver_and_no_statistics() -> None:
    """The default planner stands on numpy and the psychrometric library alone."""
    words = ("plan", "examples/one-board.toml", "--shop", "examples/shop-fair.toml", "--now", "8 Feb 2027 8:00")
    loaded = modules_after(*words, "--log", "never-written.jsonl")
    assert "numpy" in loaded
    assert not loaded & {"scipy", "ortools", "pint", "pandas", "holidays", "sqlalchemy"}


def test_no_words_that_promise() -> None:
    """Nothing shown to a person says that something is safe."""
    for path in [*FILES, *SRC.rglob("*.toml"), *SRC.rglob("*.csv")]:
        text = path.read_text("utf-8").lower()
        for hit in re.finditer(r"\b(is|are|perfectly|completely|quite) safe\b", text):
            raise AssertionError(f"{_name(path)}: {text[max(0, hit.start() - 40) : hit.end()]!r}")


def test_lock_files_name_no_host() -> None:
    """Hashes, no addresses."""
    for path in (ROOT / "requirements").glob("*.lock"):
        text = path.read_text("utf-8")
        assert "--hash=sha256:" in text
        assert not re.search(r"https?://|--index-url|--find-links|file://", text), path.name
