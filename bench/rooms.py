"""Speed of single rooms in one run: `python -m bench.rooms`. Never asserted in a test."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from pathlib import Path
from time import process_time
from typing import Any

import numpy as np
from bench.said import say

from rakelight.facts import load
from rakelight.piece.file import read_piece
from rakelight.plan.good_hours import good_hours_each
from rakelight.plan.waits import Waits
from rakelight.schedule.book import Book
from rakelight.schedule.film_answers import piece_film
from rakelight.schedule.tasks import Lay
from rakelight.schedule.unroll import unroll
from rakelight.shop.air_log import read_air_log
from rakelight.shop.climate import HourlyAir
from rakelight.shop.file import read_shop
from rakelight.shop.hours import windows

FAIR = Path(__file__).parents[1] / "examples" / "shop-fair.toml"
FACTS = load()


def timed(do: Any) -> float:
    """Shortest of three runs, ms of this process."""
    best = np.inf
    for _ in range(3):
        begun = process_time()
        do()
        best = min(best, process_time() - begun)
    return float(best) * 1000


def forty_parts() -> Any:
    """Film and pores of a piece of 40 parts."""
    shop, _ = read_shop(FAIR)
    rows = "\n".join(
        f'[part.board-{n}]\nwood = "sapele"\nlong = 500\nwide = {200 + n}\nthick = 20\nfinish = "filled-shellac"'
        for n in range(40)
    )
    piece, _ = read_piece(f'piece = "Forty"\nunit = "mm"\n{rows}\n', "forty.toml", facts=FACTS)
    assert piece and shop
    work = unroll(piece, Book(inline={}, facts=FACTS), shop, FACTS)
    return lambda: piece_film(work, FACTS)


def good_year() -> Any:
    """Good hours of five coats in a year of made-up weather."""
    rng, hour = np.random.default_rng(6), np.arange(8760)
    temp_c = 15 + 8 * np.sin(hour / 1395) + 4 * np.sin(hour / 3.82) + rng.normal(0, 2, 8760)
    rh = np.clip(0.6 + 0.2 * np.sin(hour / 50) + rng.normal(0, 0.1, 8760), 0.1, 0.98)
    shop, _ = read_shop(FAIR)
    assert shop
    origin = datetime(2027, 1, 4, 6, tzinfo=UTC)
    opens = windows(shop, origin, origin + timedelta(days=364))
    coats = [Lay(m, by) for m, by in (("shellac_dewaxed", "brush"), ("lacquer_nc", "spray"), ("omu_brush", "brush"),
                                      ("wb_acrylic", "brush"), ("linseed_boiled", "wipe"))]  # fmt: skip

    def run() -> None:
        waits = Waits(FACTS, {"shop": HourlyAir(temp_c, rh)})
        good_hours_each(waits, FACTS, coats, "shop", origin, opens)

    return run


def logger_rows(count: int = 100_000) -> Any:
    """A logger's file of 100,000 rows."""
    shop, _ = read_shop(FAIR)
    assert shop
    begin = datetime(2026, 1, 1, tzinfo=UTC)
    at = [(begin + timedelta(minutes=5 * n)).astimezone(shop.zone) for n in range(count)]
    rows = [f"{t:%m/%d/%Y %I:%M %p};{60 + n % 17 / 10:.1f};{40 + n % 23}" for n, t in enumerate(at)]
    text = ("Date/Time;Temperature (°F);Humidity (%RH)\n" + "\n".join(rows)).replace(".", ",")
    return lambda: read_air_log(text, shop.zone, "log.csv")


def main() -> None:
    """Print each."""
    for name, do in (("film and pores of 40 parts", forty_parts()), ("a year of good hours, five coats", good_year()),
                     ("100,000 rows of a logger", logger_rows())):  # fmt: skip
        say(name, timed(do) / 1000, "s")


if __name__ == "__main__":
    main()
