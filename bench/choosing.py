"""Which finish by the date: six parts of six woods, up to 200 ways to finish them laid on the calendar."""

from __future__ import annotations

from pathlib import Path
from resource import RUSAGE_CHILDREN, getrusage
from tempfile import TemporaryDirectory
from time import perf_counter, process_time

from bench.said import say

from rakelight.choice.deciding import choose
from rakelight.desk import open_desk
from rakelight.desk.choosing import rates_of, trying_of
from rakelight.units import read_date

ROOT = Path(__file__).parents[1]
WOODS = ("black walnut", "white oak", "cherry", "hard maple", "American elm", "sapele")
FINISHES = ("wiped-varnish", "oil-and-wax", "shellac-and-wax", "shellac-and-wax", "hard-wax-oil", "filled-shellac")
HEAD = 'piece = "Six panels"\nunit = "in"\nstart = "8 Feb 2027"\nwanted = [{ by = "20 March 2027" }]\n'
PANEL = """
[part.panel-{n}]
wood = "{wood}"
long = {long}
wide = 14
thick = "7/8"
both_faces = "on points"
finish = "{finish}"
cures_in = "house"
"""


def main() -> None:
    """Seconds of the whole search, beside its parts."""
    text = HEAD + "".join(
        PANEL.format(n=n, wood=wood, long=20 + 4 * n, finish=finish)
        for n, (wood, finish) in enumerate(zip(WOODS, FINISHES, strict=True), 1)
    )
    with TemporaryDirectory() as name:
        path = Path(name) / "six.toml"
        path.write_text(text)
        desk = open_desk(path, ROOT / "examples" / "shop-winter.toml", now=read_date("8 Feb 2027 8:00"))
        begun, worked = perf_counter(), process_time()
        choice = choose(trying_of(desk), rates_of(desk))
        seconds, work = perf_counter() - begun, process_time() - worked
    say("choosing a finish, six parts", seconds, "s", "30 s", seconds / 30)
    say("the same, work of one core", work, "s", "30 s", work / 30)
    beside = getrusage(RUSAGE_CHILDREN)
    say("work of the core beside it: ways out, latest start", beside.ru_utime + beside.ru_stime, "s")
    say("finishes looked at", len(choice.dropped) + len(choice.options), "finishes")
    say("ways laid on the calendar", choice.looked_at, "ways", "200", choice.looked_at / 200)
    say("planned in full", choice.planned, "ways")
    say("that fit and are beaten by none", len(choice.options), "ways")


if __name__ == "__main__":
    main()
