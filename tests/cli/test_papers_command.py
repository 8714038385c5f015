"""`rakelight papers`: files written, names told, words refused."""

from __future__ import annotations

from pypdf import PdfReader


def test_it_writes_every_paper_with_something_on_it(at_bench, tmp_path) -> None:
    said = at_bench("papers", "--out", tmp_path / "out", piece="one-board")
    names = said.out.split()
    assert said.code == 0 and len(names) >= 4
    for name in names:
        assert PdfReader(name, strict=True).pages
    assert {p.name for p in (tmp_path / "out").iterdir()} == {name.rpartition("/")[2] for name in names}
    assert "recipe.pdf" not in said.out  # nothing is finished


def test_only_and_paper(at_bench, tmp_path) -> None:
    said = at_bench("papers", "--out", tmp_path, "--only", "buying, care", "--paper", "letter")
    assert [name.rpartition("/")[2] for name in said.out.split()] == ["buying.pdf", "care.pdf"]
    assert float(PdfReader(tmp_path / "care.pdf").pages[0].mediabox.width) == 612


def test_json_gives_the_content_and_writes_nothing_without_a_folder(at_bench, tmp_path) -> None:
    said = at_bench("papers", "--json", "--only", "bench,buying")
    assert said.data["schema"] == 1 and said.data["written"] == []
    assert [p["file"] for p in said.data["papers"]] == ["bench-by-day.pdf", "bench-by-part.pdf", "buying.pdf"]
    assert said.data["papers"][0]["content"]["pages"][0]["steps"][0]["says"]
    assert not list(tmp_path.glob("*.pdf"))


def test_words_it_does_not_know(at_bench, tmp_path) -> None:
    for words, tell in (
        (("--out", tmp_path, "--only", "bensh"), "There is no paper called 'bensh'. Write any of: bench"),
        (("--out", tmp_path, "--paper", "a5"), "Write a4 or letter"),
        ((), "Say --out DIR"),
    ):
        said = at_bench("papers", *words)
        assert said.code == 2 and tell in said.err


def test_a_file_in_the_place_of_the_folder(at_bench, tmp_path) -> None:
    (tmp_path / "x").write_text("")
    said = at_bench("papers", "--out", tmp_path / "x", "--only", "card")
    assert said.code == 2 and "is a file" in said.err


def test_a_finished_piece_past_its_date_has_its_recipe_and_its_day_of_use(at_bench, tmp_path) -> None:
    at_bench("plan", "--keep")
    at_bench("catch-up", now="1 March 2027 8:00")
    said = at_bench("papers", "--json", "--only", "recipe,care", now="1 Dec 2027 8:00")
    recipe, care = (paper["content"] for paper in said.data["papers"])
    assert recipe["pages"] and not recipe["unfinished"]
    assert care["use"].startswith("Last coat ") and "2027" in care["use"]


def test_signs_without_a_font_are_told(at_bench, tmp_path) -> None:
    said = at_bench("papers", "--out", tmp_path, "--only", "card", "--maker", "A \U000105c0 B")
    assert said.code == 0 and "U+105C0" in said.err
    assert not at_bench("papers", "--out", tmp_path, "--only", "card", "--maker", "Żaneta").err


def test_a_piece_of_the_shops_file_has_its_papers_with_what_is_in_stock_taken_off(shelf) -> None:
    assert shelf("stock", "bought", "boiled linseed oil", "--size", "1 pint").code == 0
    address = ("--address", "http://10.0.0.2:8200/")
    said = shelf("papers", "one-board", "--only", "buying,bench", "--json", *address).data["papers"]
    bench, _, buying = (paper["content"] for paper in said)
    oil = next(line for line in buying["lines"] if "linseed" in line["name"])
    assert "shelf is taken off" in buying["note"] and oil["cans"] == "nothing"
    assert bench["pages"][0]["steps"][0]["address"] == "http://10.0.0.2:8200/step/board/sand?piece=one-board"
    assert shelf("finish", "one-board").code == 0
    late = shelf("papers", "one-board", "--only", "recipe,care", "--json", now="1 Dec 2027 8:00").data["papers"]
    assert [paper["kind"] for paper in late] == ["recipe", "care"]
    wrong = shelf("papers", "one-bord", "--only", "card", "--json")
    assert wrong.code == 2 and "No piece is called 'one-bord'" in wrong.err
