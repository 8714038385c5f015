"""The air of a place: hours worked by hand, and the drift followed minute by minute."""

from __future__ import annotations

import math
from datetime import UTC, datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rakelight.errors import RakelightError
from rakelight.shop.climate import air_at, hourly, month_air
from rakelight.shop.file import read_shop
from rakelight.shop.hours import is_open
from rakelight.shop.model import MonthlyAir, Place, Shop

EXAMPLES = Path(__file__).parents[2] / "examples"
CHICAGO = ZoneInfo("America/Chicago")
OPEN_C, FEB_C, MARCH_C = 17.7778, 7.2222, 8.8889  # 64, 45 and 48 F


def shop_of(name: str) -> Shop:
    shop, _ = read_shop(EXAMPLES / f"shop-{name}.toml")
    assert shop is not None
    return shop


def at(month: int, day: int, hour: int = 0, minute: int = 0) -> datetime:
    return datetime(2027, month, day, hour, minute, tzinfo=CHICAGO)


def test_a_february_evening_by_hand() -> None:
    air = hourly(shop_of("winter"), "shop", at(2, 8, 8), 25)
    assert air.temp_c[:9] == pytest.approx(OPEN_C, abs=1e-3)  # 8 to 17, the heat stays on at lunch
    assert air.rh[:9] == pytest.approx(0.45)
    # the mean of exp(-t/3) over the first hour after closing is 3 (1 - exp(-1/3)) = 0.8504
    assert air.temp_c[9] == pytest.approx(FEB_C + 0.8504 * (OPEN_C - FEB_C), abs=1e-3)
    assert air.rh[9] == pytest.approx(0.80 - 0.8504 * 0.35, abs=1e-4)
    # three hours later what is left is 1/e of that
    assert air.temp_c[12] - FEB_C == pytest.approx((air.temp_c[9] - FEB_C) / math.e, abs=1e-3)
    # at eight it is warm at once
    assert air.temp_c[23] == pytest.approx(FEB_C, abs=0.1)
    assert air.temp_c[24] == pytest.approx(OPEN_C, abs=1e-3)
    assert not air.guessed


def test_an_evening_shop_closes_in_the_middle_of_an_hour() -> None:
    air = hourly(shop_of("evenings"), "garage", at(2, 8, 21), 1)
    # half an hour open, then 3 (1 - exp(-1/6)) = 0.4606 of one: 0.9606 of the way from 56 F up to 66 F
    assert air.temp_c[0] == pytest.approx(13.3333 + 0.9606 * 5.5556, abs=1e-3)
    assert air.rh[0] == pytest.approx(0.60 - 0.9606 * 0.15, abs=1e-4)


def test_a_place_to_dry_in_follows_the_hours_of_the_shop() -> None:
    air = hourly(shop_of("winter"), "house", at(2, 8, 8), 24)
    assert air.temp_c[0] == pytest.approx(20.0)
    assert 18.33 < air.temp_c[-1] < 18.40
    assert set(np.round(air.rh, 9)) == {0.40}


def test_the_month_changes_at_midnight_of_the_shop() -> None:
    # 28 February 2027 is a Sunday, so the shop is at its closed air: 45 F, then 48 F
    air = hourly(shop_of("winter"), "shop", datetime(2027, 3, 1, 4, tzinfo=UTC), 4)  # 22:00 in Chicago
    assert air.temp_c == pytest.approx([FEB_C, FEB_C, MARCH_C, MARCH_C], abs=0.01)
    assert air.rh == pytest.approx([0.80, 0.80, 0.75, 0.75], abs=0.001)


def test_monday_opens_an_hour_sooner_after_the_clocks_went_on() -> None:
    # from Saturday noon: 12 + 23 + 8 hours to Monday at eight
    air = hourly(shop_of("winter"), "shop", at(3, 13, 12), 45)
    assert air.temp_c[42] == pytest.approx(MARCH_C, abs=0.01)
    assert air.temp_c[43] == pytest.approx(OPEN_C, abs=0.01)


def test_a_shop_held_day_and_night_does_not_move() -> None:
    air = hourly(shop_of("fair"), "shop", at(1, 1), 8760)
    assert np.ptp(air.temp_c) < 1e-9 and air.temp_c[0] == pytest.approx(21.11, abs=0.01)
    assert np.ptp(air.rh) < 1e-12 and air.rh[0] == pytest.approx(0.5)


def test_a_month_that_is_not_named_takes_the_nearest() -> None:
    place = Place("shop", air=tuple(MonthlyAir(m, 18, 0.45, 7, 0.8) for m in (2, 6, 11)))
    found = [month_air(place, month).month for month in range(1, 13)]
    assert found == [2, 2, 2, 2, 6, 6, 6, 6, 11, 11, 11, 11]
    all_year = Place("shop", air=(MonthlyAir(0, 18, 0.45, 7, 0.8), MonthlyAir(2, 18, 0.45, 5, 0.8)))
    assert [month_air(all_year, month).month for month in (1, 2, 3)] == [0, 2, 0]


def test_humidity_is_held_at_98() -> None:
    shop, _ = read_shop(
        'shop = "Damp"\nzone = "Europe/London"\nhours = { mon = "9-12" }\n'
        '[place.shed]\nair = [{ open = "10 C, 99 %", closed = "5 C, 100 %" }]\n'
    )
    assert shop is not None
    assert hourly(shop, "shed", at(2, 1), 200).rh.max() == 0.98
    assert air_at(shop, "shed", at(2, 3))[1] == 0.98


def test_no_hours_and_no_work_for_long() -> None:
    shop, _ = read_shop(
        'shop = "Away"\nzone = "America/Chicago"\nhours = { mon-fri = "9-12" }\n'
        'off = ["1 February 2027 - 28 February 2027"]\n'
        '[place.shed]\nair = [{ open = "20 C, 40 %", closed = "5 C, 80 %" }]\n'
    )
    assert shop is not None
    assert hourly(shop, "shed", at(2, 20), 0).temp_c.shape == (0,)
    assert hourly(shop, "shed", at(2, 20), 24).temp_c == pytest.approx(5.0)
    assert air_at(shop, "shed", at(2, 20)) == pytest.approx((5.0, 0.8))


def test_an_unknown_place_and_one_without_air_are_refused() -> None:
    shop = shop_of("winter")
    with pytest.raises(RakelightError, match="no place barn"):
        hourly(shop, "barn", at(2, 8), 1)
    with pytest.raises(RakelightError, match="no air"):
        month_air(Place("barn"), 1)


def followed(shop: Shop, place: str, origin: datetime, hours: int) -> np.ndarray:
    """Temperature followed minute by minute from nine days before: warm when open, else drifting.

    Another way than the package's: the state is stepped, nothing is integrated. For shops without short
    breaks.
    """
    minute = timedelta(minutes=1)
    origin = origin.astimezone(UTC)  # in a zone of its own Python adds wall time
    left, moment, found = 0.0, origin - timedelta(days=9), []
    while moment < origin + timedelta(hours=hours):
        left = 1.0 if is_open(shop, moment) else left * math.exp(-1 / 180)
        if moment >= origin:
            line = month_air(shop.places[place], moment.astimezone(shop.zone).month)
            found.append(line.closed_temp_c + (line.open_temp_c - line.closed_temp_c) * left)
        moment += minute
    return np.array(found).reshape(hours, 60).mean(axis=1)


@pytest.mark.parametrize("start", [at(2, 26, 17), at(3, 13, 7), at(3, 29, 3)])
def test_the_drift_followed_minute_by_minute(start: datetime) -> None:
    shop = shop_of("evenings")
    expected = followed(shop, "garage", start, 60)
    # stepped at the end of each minute: half a minute of the steepest drift, 5.6 K / 180 min, is 0.02 K
    np.testing.assert_allclose(hourly(shop, "garage", start, 60).temp_c, expected, atol=0.02)


@settings(max_examples=30, deadline=None)
@given(st.integers(0, 8760), st.integers(1, 60), st.sampled_from(["shop", "house"]))
def test_an_hour_is_the_same_from_any_origin(start: int, later: int, place: str) -> None:
    shop, origin = shop_of("winter"), datetime(2027, 1, 1, 6, tzinfo=UTC) + timedelta(hours=start)
    long = hourly(shop, place, origin, later + 24)
    short = hourly(shop, place, origin + timedelta(hours=later), 24)
    np.testing.assert_allclose(long.temp_c[later:], short.temp_c, atol=1e-6)
    np.testing.assert_allclose(long.rh[later:], short.rh, atol=1e-6)


@settings(max_examples=30, deadline=None)
@given(st.integers(0, 365 * 24 * 60))
def test_a_moment_lies_between_the_hours_around_it(minute: int) -> None:
    shop, moment = shop_of("evenings"), datetime(2027, 1, 1, 6, tzinfo=UTC) + timedelta(minutes=minute)
    temp_c, rh = air_at(shop, "garage", moment)
    assert 13.33 <= temp_c <= 18.89 and 0.45 <= rh <= 0.60
    mean = hourly(shop, "garage", moment, 1).temp_c[0]
    if is_open(shop, moment) and is_open(shop, moment + timedelta(minutes=59)):
        assert mean == pytest.approx(18.89, abs=0.1)
    else:
        assert 13.33 <= mean <= 18.89
