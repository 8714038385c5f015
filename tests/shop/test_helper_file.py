"""What a shop's file says of a helper, and what is said where it is wrong."""

from __future__ import annotations

from datetime import time

import pytest

from rakelight.schedule.verbs import RULES
from rakelight.shop.file import read_shop
from rakelight.shop.model import HELPS, HELPS_AT_LEAST

SOUND = """\
shop = "Bench"
zone = "Europe/London"
hours = { mon-fri = "8:00-12:00, 13:00-17:00" }
[place.shed]
air = [{ open = "18 C, 50 %", closed = "10 C, 70 %" }]
"""


def test_a_helper_has_hours_of_his_own_and_dry_work() -> None:
    shop, findings = read_shop(SOUND + '[helper]\nhours = { sat = "9:00-13:00" }\n')
    assert shop is not None and findings == [] and shop.helper is not None
    assert shop.helper.hours == {5: ((time(9), time(13)),)}
    assert shop.helper.does == HELPS_AT_LEAST
    alone, _ = read_shop(SOUND)
    assert alone is not None and alone.helper is None


def test_his_work_is_named_by_verbs_in_other_words_or_by_own_steps() -> None:
    said = '[helper]\nhours = { sat = "9:00-13:00" }\ndoes = ["Sanding", "carrying", "level", "Clean  off the dust"]\n'
    shop, findings = read_shop(SOUND + said)
    assert shop is not None and findings == [] and shop.helper is not None
    assert shop.helper.does == ("sand", "move", "level", "clean off the dust")


def test_what_a_helper_may_be_given_lays_nothing() -> None:
    assert set(HELPS_AT_LEAST) <= set(HELPS) <= set(RULES)
    assert all(not RULES[verb].roles and RULES[verb].work in ("dusty", "dirty", "quiet") for verb in HELPS)


@pytest.mark.parametrize(
    ("said", "line", "says", "mend"),
    [
        ("does = 'sand'", 6, "hours are missing", "sat ="),
        ('hours = { satday = "9:00-13:00" }', 7, "satday is not a day", "sat"),
        ('hours = { sat = "nine" }', 7, "cannot be read as hours", "8:00"),
        ('hours = { sat = "closed" }', 7, "no day with work", "sat ="),
        ('hours = { sat = "9:00-13:00" }\ndoes = ["coat"]', 8, "coat is not a helper's work", "sand"),
        ('hours = { sat = "9:00-13:00" }\ndoes = ["snad"]', 8, "'snad' is not known", "sand"),
        ('hours = { sat = "9:00-13:00" }\ndoes = []', 8, "names no work", "sand"),
        ('hours = { sat = "9:00-13:00" }\ndoes = [3]', 8, "'3' is not text", "quotes"),
        ('hours = { sat = "9:00-13:00" }\nname = "x"', 8, "name is not a key of a helper", "hours"),
    ],
)
def test_what_is_wrong_is_said_with_its_line_and_the_mend(said: str, line: int, says: str, mend: str) -> None:
    _, findings = read_shop(SOUND + "[helper]\n" + said + "\n")
    assert len(findings) == 1, findings
    assert findings[0].where.line == line and says in findings[0].says and mend in findings[0].mend


def test_a_helper_that_is_no_table_is_one_sentence() -> None:
    _, findings = read_shop('helper = "sat"\n' + SOUND)
    assert [(f.where.line, f.says) for f in findings] == [(1, "helper must be a table.")]
