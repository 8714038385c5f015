"""The air of the shop as it was read there: by a thermometer, by hand or out of a logger's file, and planned in."""

from __future__ import annotations

from datetime import datetime, timedelta

import pytest

from rakelight.desk.air_heard import event_of_log
from rakelight.errors import RakelightError
from rakelight.log.events import Event
from rakelight.shop.air_log import read_air_log
from rakelight.shop.air_year import year_of
from rakelight.shop.climate import hourly, month_air

#: what a thermometer reads while the shop is open, and what a closed night comes to
OPEN, CLOSED = (16.0, 0.55), (6.0, 0.80)


def true_air(shop, begin, hours):
    """A shop of this air by the hour, drifting as a closed shop does."""
    from dataclasses import replace

    from rakelight.shop.model import MonthlyAir

    room = replace(shop.shop.first_place, air=(MonthlyAir(0, *OPEN, *CLOSED),))
    return hourly(replace(shop.shop, places={room.name: room}), room.name, begin, hours)


def told_by_thermometer(shop, days=5, first=datetime(2027, 2, 1, 0, 30), every=2, place=""):
    begin = first.replace(tzinfo=shop.shop.zone)
    air = true_air(shop, begin.replace(minute=0), 24 * days)
    told = []
    for n in range(0, 24 * days, every):
        at = begin + timedelta(hours=n)
        values = {"temp_c": float(air.temp_c[n]), "rh": float(air.rh[n])}
        told.append(Event("reading", at, at, what="air", values=values, device="thermometer", place=place))
    shop.store.add(*told)
    shop.forget()
    return told


def logged(shop, months=(1, 2)):
    begin = datetime(2026, months[0], 1, tzinfo=shop.shop.zone)
    days = 28 * len(months)
    air = true_air(shop, begin, 24 * days)
    rows = [f"{begin + timedelta(hours=n):%Y-%m-%d %H:%M},{air.temp_c[n]:.2f},{100 * air.rh[n]:.1f}"
            for n in range(24 * days)]  # fmt: skip
    log, found = read_air_log("Time,Temp (C),RH (%)\n" + "\n".join(rows), shop.shop.zone)
    assert log, found
    return year_of(log, shop.shop)


def test_a_thermometer_teaches_the_shop_its_day_and_its_night(shop):
    written, july = (month_air(shop.shop.first_place, m) for m in (2, 7))
    told_by_thermometer(shop, days=7)
    found = month_air(shop.shop.first_place, 2)
    assert (found.open_temp_c, found.open_rh) == pytest.approx(OPEN, abs=0.3)
    assert (found.closed_temp_c, found.closed_rh) == pytest.approx(CLOSED, abs=0.6)
    assert abs(found.closed_temp_c - written.closed_temp_c) > 2  # the settings said otherwise
    assert month_air(shop.shop.first_place, 7) == july  # of which nothing was read


def test_what_is_planned_waits_in_the_air_that_was_read(shop, shop_at):
    """The same piece, the same day: in the colder air that was read the next coat comes later, and it is said so."""

    def ready(desk):
        plan = desk.desk("one-board").plan()
        return max(d.likely for d in plan.plan.due), [f for f in plan.findings if f.id == "air-heard"]

    before, silent = ready(shop)
    shop.tell(event_of_log(shop, shop.shop.first_place.name, logged(shop), "a log"))
    shop.forget()
    after, said = ready(shop)
    assert after > before and not silent
    assert len(said) == 1 and "January" in said[0].says and said[0].kind.value == "measured here"
    later = shop_at()  # another opening of the same file reads what was gathered
    assert ready(later)[0] == after
    shop.undo()
    shop.forget()
    assert ready(shop) == (before, [])


def test_two_days_are_too_little_and_one_entry_taken_back_is_not_counted(shop):
    told = told_by_thermometer(shop, days=2, every=1)
    assert shop.air_heard() == {}
    more = told_by_thermometer(shop, days=3, every=1, first=datetime(2027, 2, 3, 0, 30))
    assert sum(m.hours for m in shop.air_heard()["shop"]) == pytest.approx(120, abs=1)
    now = shop.now
    shop.store.add(*(Event("taken back", now, now, takes_back=e.id) for e in (*told, *more[:60])))
    assert shop.air_heard() == {}


def test_logs_and_readings_of_one_month_count_by_their_hours_and_each_place_by_itself(shop):
    shop.tell(event_of_log(shop, "shop", logged(shop, (2,)), "a log"))
    alone = shop.air_heard()["shop"][0]
    told_by_thermometer(shop, days=6, every=1)
    both = shop.air_heard()["shop"][0]
    assert both.hours == pytest.approx(alone.hours + 144, abs=1)
    told_by_thermometer(shop, days=6, every=1, place="no such place")
    assert set(shop.air_heard()) == {"shop"}


def test_a_log_too_short_is_not_kept(shop):
    with pytest.raises(RakelightError, match="three days"):
        event_of_log(shop, "shop", (), "a log")


def test_readings_that_are_no_air_of_a_room_teach_nothing(shop):
    at = shop.now
    odd = [Event("reading", at - timedelta(hours=n), at, what="air", values={"rh": 0.5}) for n in range(200)]
    shop.store.add(*odd, *(Event("reading", at, at, what="wood", values={"mc_pct": 8.0}) for _ in range(3)))
    assert shop.air_heard() == {}
