"""What other programs make of the papers: a reader of QR codes, and a checker of PDF files."""

from __future__ import annotations

import shutil
import subprocess
from collections.abc import Callable
from pathlib import Path

import pytest

from rakelight.desk import Answer
from rakelight.facts import load
from rakelight.papers.bundle import Source, papers
from rakelight.papers.render.press import press

#: pdfinfo says so of a file whose mark "Suspects" is false; ISO 32000-1, table 321
#: (from memory, not looked up), has it a boolean: no fault of ours
_KNOWN = "Syntax Error: Suspects object is wrong type (boolean)"


def source(answer: Answer, address: str = "") -> Source:
    return Source(answer.work, answer.plan, answer.amounts, answer.shop, answer.state, load(), address)


def pixels(path: Path, folder: Path) -> list[Path]:
    if not shutil.which("pdftoppm"):
        pytest.skip("pdftoppm is not here: the pages cannot be looked at as pictures.")
    subprocess.run(["pdftoppm", "-r", "150", "-gray", "-png", str(path), str(folder / "page")], check=True)
    return sorted(folder.glob("page*.png"))


def test_codes_on_the_printed_sheet_open_their_steps(planned: Callable[..., Answer], tmp_path: Path) -> None:
    """Every code of the sheet, drawn as pixels and read by zxing-cpp, is the address of a step and none is missing."""
    zxingcpp = pytest.importorskip("zxingcpp")
    image = pytest.importorskip("PIL.Image")
    paper, _ = papers(source(planned("one-board"), "http://10.0.0.2:8000/"), ["bench"])
    path = tmp_path / "bench.pdf"
    path.write_bytes(press(paper.template, paper.model, paper.head).pdf)
    read = {code.text for png in pixels(path, tmp_path) for code in zxingcpp.read_barcodes(image.open(png))}
    wanted = {step.address for page in paper.model.pages for step in page.steps if step.task and not step.done}
    assert wanted and wanted <= read
    assert all(text.startswith("http://10.0.0.2:8000/step/") for text in read)


@pytest.mark.parametrize("checker", ["pdfinfo", "qpdf"])
@pytest.mark.parametrize("size", ["a4", "letter"])
def test_an_outside_checker_finds_the_files_sound(
    planned: Callable[..., Answer], tmp_path: Path, checker: str, size: str
) -> None:
    if not shutil.which(checker):
        pytest.skip(f"{checker} is not here: the files are checked by the other reader alone.")
    for paper in papers(source(planned("one-board"))):
        path = tmp_path / f"{paper.name}.pdf"
        path.write_bytes(press(paper.template, paper.model, paper.head, size).pdf)
        words = [checker, "--check", str(path)] if checker == "qpdf" else [checker, str(path)]
        said = subprocess.run(words, capture_output=True, text=True)
        complaints = [line for line in said.stderr.splitlines() if line.strip() != _KNOWN]
        assert said.returncode == 0 and not complaints, (paper.name, said.stderr)


def test_the_checker_refuses_a_broken_file(tmp_path: Path) -> None:
    if not shutil.which("pdfinfo"):
        pytest.skip("pdfinfo is not here.")
    path = tmp_path / "broken.pdf"
    path.write_bytes(b"%PDF-1.7\nnothing of it\n")
    assert subprocess.run(["pdfinfo", str(path)], capture_output=True).returncode != 0
