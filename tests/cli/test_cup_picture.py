"""The command that asks for a cup through the year draws it."""


def test_a_cup_through_the_year_is_drawn(run, tmp_path) -> None:
    picture = tmp_path / "year.svg"
    panel = ("--wood", "cherry", "--width", "300mm", "--thickness", "20mm", "--top", "shellac x2")
    said = run("cup", *panel, "--dry-rh", "30", "--damp-rh", "60", "--svg", picture)
    assert said.code == 0 and "Through the year" in said.out
    assert "through the year" in picture.read_text("utf-8")
    asked = run("cup", *panel, "--dry-rh", "30", "--damp-rh", "60", "--pith", "2in")
    assert asked.code == 2 and "--from-rh" in asked.err
