"""Open hours counted by hand on the calendar of 2027; in Chicago the clocks change 14 March, 7 November."""

from __future__ import annotations

from datetime import UTC, date, datetime, time, timedelta
from itertools import pairwise
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rakelight.errors import RakelightError
from rakelight.shop import hours
from rakelight.shop.file import read_shop
from rakelight.shop.model import Shop
from rakelight.units import DateWords

EXAMPLES = Path(__file__).parents[2] / "examples"
CHICAGO = ZoneInfo("America/Chicago")


def shop_of(name: str) -> Shop:
    shop, findings = read_shop(EXAMPLES / f"shop-{name}.toml")
    assert shop is not None and not findings
    return shop


def at(month: int, day: int, hour: int = 0, minute: int = 0) -> datetime:
    return datetime(2027, month, day, hour, minute, tzinfo=CHICAGO)


def utc(month: int, day: int, hour: int, minute: int = 0) -> datetime:
    return datetime(2027, month, day, hour, minute, tzinfo=UTC)


def shop_with(work: dict[int, tuple[tuple[time, time], ...]], **more: object) -> Shop:
    return Shop("Shop", CHICAGO, work, **more)  # type: ignore[arg-type]


def test_a_winter_week_over_the_change_of_the_clocks_with_a_saturday_off() -> None:
    found = hours.windows(shop_of("winter"), at(3, 12), at(3, 16))
    # Friday 8-12, 12:45-17 at UTC-6; Saturday 13 is off; Monday the same hours at UTC-5
    assert found == [
        (utc(3, 12, 14), utc(3, 12, 18)),
        (utc(3, 12, 18, 45), utc(3, 12, 23)),
        (utc(3, 15, 13), utc(3, 15, 17)),
        (utc(3, 15, 17, 45), utc(3, 15, 22)),
    ]
    assert found[0][0].tzinfo is CHICAGO and found[2][0].hour == 8


def test_a_saturday_that_is_not_off() -> None:
    assert hours.windows(shop_of("winter"), at(3, 6), at(3, 8)) == [(utc(3, 6, 15), utc(3, 6, 19))]


def test_evenings_with_three_days_away() -> None:
    found = hours.windows(shop_of("evenings"), at(3, 25), at(4, 1))
    # Thursday 25; no Friday; Saturday 27 and Monday 29 away; Tuesday 30, Wednesday 31; 19:00-21:30 at UTC-5
    assert found == [
        (utc(3, 26, 0), utc(3, 26, 2, 30)),
        (utc(3, 31, 0), utc(3, 31, 2, 30)),
        (utc(4, 1, 0), utc(4, 1, 2, 30)),
    ]


def test_a_stretch_is_cut_where_the_question_ends() -> None:
    found = hours.windows(shop_of("winter"), at(3, 12, 10), at(3, 12, 13))
    assert found == [(at(3, 12, 10), at(3, 12, 12)), (at(3, 12, 12, 45), at(3, 12, 13))]
    assert hours.windows(shop_of("winter"), at(3, 12, 12), at(3, 12, 12, 45)) == []
    assert hours.windows(shop_of("winter"), at(3, 12, 13), at(3, 12, 10)) == []


def test_a_sunday_night_loses_an_hour_in_spring_and_gains_one_in_autumn() -> None:
    sunday = shop_with({6: ((time(0, 30), time(4)),)})
    (spring,) = hours.windows(sunday, at(3, 14), at(3, 15))
    (autumn,) = hours.windows(sunday, at(11, 7), at(11, 8))
    assert hours.hours_between(*spring) == 2.5
    assert hours.hours_between(*autumn) == 4.5


def test_an_opening_that_the_clocks_skip_is_an_hour_later() -> None:
    sunday = shop_with({6: ((time(2, 30), time(6)),)})
    assert hours.windows(sunday, at(3, 14), at(3, 15)) == [(utc(3, 14, 8, 30), utc(3, 14, 11))]


def test_open_at_the_minute_of_opening_and_closed_at_that_of_closing() -> None:
    shop = shop_of("winter")
    day = [(8, 0), (11, 59), (12, 0), (12, 45), (16, 59), (17, 0)]
    asked = [at(3, 12, *moment) for moment in day] + [at(3, 13, 10)]
    assert [hours.is_open(shop, moment) for moment in asked] == [True, True, False, True, True, False, False]


def test_next_opening() -> None:
    shop = shop_of("winter")
    assert hours.next_opening(shop, at(3, 12, 8)) == at(3, 12, 8)
    assert hours.next_opening(shop, at(3, 12, 9)) == at(3, 12, 12, 45)
    assert hours.next_opening(shop, at(3, 12, 13)) == utc(3, 15, 13)
    assert hours.open_from(shop, at(3, 12, 9)) == at(3, 12, 9)
    assert hours.open_from(shop, at(3, 12, 12, 10)) == at(3, 12, 12, 45)


@pytest.mark.parametrize(
    ("name", "from_", "until"),
    [
        ("winter", at(2, 8, 9), at(2, 9, 8)),  # Monday morning: not after the break, after the night
        ("winter", at(3, 12, 16), utc(3, 15, 13)),  # Friday: Saturday is off
        ("winter", at(2, 12, 16), at(2, 13, 9)),  # Friday: Saturday opens at nine
        ("evenings", at(2, 9, 21), at(2, 10, 19)),
        ("evenings", at(2, 10, 0, 30), at(2, 10, 19)),  # past midnight it is still the same night
        ("evenings", at(3, 25, 20), at(3, 30, 19)),
    ],
)
def test_overnight(name: str, from_: datetime, until: datetime) -> None:
    assert hours.overnight_until(shop_of(name), from_) == until


def test_a_date_means_by_opening_or_its_hour() -> None:
    shop, day = shop_of("winter"), date(2027, 3, 19)
    assert hours.by_moment(shop, DateWords(day)) == at(3, 19, 8)
    assert hours.by_moment(shop, DateWords(date(2027, 3, 6))) == at(3, 6, 9)  # Saturday
    assert hours.by_moment(shop, DateWords(date(2027, 3, 7))) == at(3, 7, 8)  # Sunday: closed
    assert hours.by_moment(shop, DateWords(day, time(13))) == at(3, 19, 13)
    assert hours.by_moment(shop, DateWords(day, time(13), 60)) == utc(3, 19, 12)
    assert hours.by_moment(shop, DateWords(day, time(13), 60)).tzinfo is CHICAGO
    assert hours.by_moment(shop_of("evenings"), DateWords(day)) == at(3, 19, 8)  # no Friday evenings


def test_public_holidays_close_the_shop() -> None:
    shop = shop_with({day: ((time(8), time(17)),) for day in range(7)}, holidays="US")
    # Thanksgiving is the fourth Thursday of November; Christmas 2027 falls on a Saturday and is kept on
    # Friday too
    closed = [d for n in range(61) if hours.is_day_off(shop, d := date(2027, 11, 1) + timedelta(days=n))]
    assert {date(2027, 11, 25), date(2027, 12, 24), date(2027, 12, 25)} <= set(closed)
    assert date(2027, 11, 26) not in closed
    assert hours.next_opening(shop, at(11, 24, 18)) == at(11, 26, 8)


def test_a_shop_that_never_opens_says_so() -> None:
    with pytest.raises(RakelightError, match="does not open again"):
        hours.next_opening(shop_with({6: ()}), at(3, 1))


@given(st.integers(0, 370 * 24 * 4), st.integers(0, 14 * 24 * 4), st.integers(0, 14 * 24 * 4))
def test_windows_of_two_stretches_are_the_windows_of_both(start: int, first: int, second: int) -> None:
    shop = shop_of("winter")
    quarter = [datetime(2027, 1, 1, tzinfo=UTC) + timedelta(minutes=15 * n) for n in (start, start + first)]
    end = quarter[1] + timedelta(minutes=15 * second)
    whole = hours.windows(shop, quarter[0], end)
    parts = hours.windows(shop, quarter[0], quarter[1]) + hours.windows(shop, quarter[1], end)
    apart, together = (sum(hours.hours_between(*w) for w in found) for found in (parts, whole))
    assert apart == pytest.approx(together)
    assert all(a[1] < b[0] for a, b in pairwise(whole))
