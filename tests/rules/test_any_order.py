"""Whatever order a maker writes, the rules answer: no exception, each finding whole, in trade words."""

import re

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from rakelight.rules import rules

STEPS = (
    'do = "sand", grits = [180, 220]',
    'do = "raise grain"',
    'do = "oil", with = "pure tung oil"',
    'do = "oil", with = "hard-wax oil", by = "wipe", coats = 2',
    'do = "stain", with = "gel stain", wait = "12 h"',
    'do = "dye", with = "water-soluble dye", by = "wipe"',
    'do = "size", with = "glue size", by = "brush"',
    'do = "seal", with = "waxy shellac", by = "brush"',
    'do = "fill", with = "oil-based paste filler", by = "brush"',
    'do = "coat", with = "alkyd varnish", by = "brush", coats = 2, at_least = "20 h"',
    'do = "coat", with = "water-borne acrylic", by = "brush", coats = 2, a_day = 1, flood = true',
    'do = "coat", with = "pre-catalysed lacquer", by = "spray", coats = 2, at_most = "1 day"',
    'do = "scuff", grit = 320',
    'do = "wax", with = "paste wax", on = "all"',
    'own = "wipe it down", at_least = "overnight"',
)
WOODS = ("hard maple", "red oak", "teak", "black cherry", "eastern white pine", "African padauk")
NOT_SAID = re.compile(r"\b(task|state|dose|finding|safe|None|nan|inf)\b|_", re.IGNORECASE)


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.lists(st.sampled_from(STEPS), min_size=1, max_size=7), st.sampled_from(WOODS))
def test_any_order_of_steps_is_answered(check, board, steps, wood):
    known = {one.id for one in rules()}
    for found in check(board(*steps, wood=wood, sheen="gloss")):
        assert found.id in known
        assert not found.says[0].islower() and found.says.endswith((".", "?")), found.says
        assert found.mend and not NOT_SAID.search(found.says + found.mend), (found.says, found.mend)


def test_every_rule_has_an_id_a_line_and_says_what_it_reads():
    for one in rules():
        assert re.fullmatch(r"[a-z]+(-[a-z]+)*", one.id)
        assert one.reads in ("piece", "layers", "plan") and one.doc.endswith(".")
