"""Windows, gaps and days, against hours worked out by hand."""

from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from rakelight.errors import RakelightError
from rakelight.plan.timeline import Busy, Hours, minus

ZONE = ZoneInfo("America/Chicago")
MONDAY = datetime(2027, 2, 8, 8, 0, tzinfo=ZONE)


def shop_hours() -> Hours:
    """Two days, 8-12 and 13-17."""
    windows = []
    for day in (0, 1):
        for a, b in ((0, 4), (5, 9)):
            start = MONDAY + timedelta(days=day)
            windows.append((start + timedelta(hours=a), start + timedelta(hours=b)))
    return Hours(MONDAY, windows, ZONE)


def test_the_next_opening_is_now_or_the_next_window() -> None:
    hours = shop_hours()
    assert hours.next_open(30) == 30
    assert hours.next_open(245) == 300  # in the lunch break
    assert hours.after_a_night(30) == 24 * 60
    with pytest.raises(RakelightError):
        hours.next_open(40 * 60)


def test_open_minutes_leave_the_break_out() -> None:
    hours = shop_hours()
    assert hours.open_minutes(180, 360) == 60 + 60
    assert hours.open_minutes(540, 24 * 60) == 0


def test_gaps_are_what_the_maker_has_left() -> None:
    busy = Busy(shop_hours())
    busy.take((60, 120))
    busy.take((0, 30))
    assert list(busy.gaps(0))[:3] == [(30, 60), (120, 240), (300, 540)]
    assert next(busy.gaps(90)) == (120, 240)


def test_what_is_shut_is_cut_out_of_a_gap() -> None:
    assert list(minus((0, 100), [(-5, 10), (50, 60), (90, 200)])) == [(10, 50), (60, 90)]
    assert list(minus((0, 100), [(0, 100)])) == []


def test_days_follow_the_clock_over_the_change_to_summer_time() -> None:
    """14 March 2027: clocks go forward at 2:00 in the United States, so that day has 23 hours."""
    start = datetime(2027, 3, 13, 8, 0, tzinfo=ZONE)
    windows = [(start + timedelta(days=d), start + timedelta(days=d, hours=4)) for d in range(3)]
    hours = Hours(start, windows, ZONE)
    sunday, monday = hours.next_day(0), hours.next_day(hours.next_day(0))
    assert sunday == 16 * 60
    assert monday - sunday == 23 * 60
    assert hours.moment(monday).hour == 0
