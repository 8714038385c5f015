"""A logger's file: delimiters, commas, units, order of dates, clock changes, gaps; and what a shop learns of it."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rakelight.errors import NotFound, Severity
from rakelight.shop.air_log import read_air_log
from rakelight.shop.air_year import air_lines, with_air, year_of
from rakelight.shop.climate import hourly
from rakelight.shop.file import read_shop

ZONE = ZoneInfo("America/Chicago")
WINTER = Path(__file__).parents[2] / "examples" / "shop-winter.toml"
PLAIN = "Date Time,Temp (°F),RH (%)\n2027-02-08 08:00,64.4,45\n2027-02-08 09:00,64.4,45\n"


def read(text, **more):
    return read_air_log(text, ZONE, "log.csv", **more)


@pytest.mark.parametrize(
    "text",
    [
        PLAIN,
        "\ufeff" + PLAIN,
        PLAIN.replace(",", ";"),
        PLAIN.replace(",", "\t"),
        PLAIN.replace(",", ";").replace("64.4", "64,4").replace("45", "45,0"),
        "Timestamp;Temperature [°C];Humidity\n08.02.2027 08:00;18,0;45\n08.02.2027 09:00;18,0;45\n",
        "Some logger\nNo. 12\n\nDate,Time,Temp(F),Humidity(%)\n2/28/2027,8:00 AM,64.4,45\n2/28/2027,9:00 AM,64.4,45\n",
        "time,temp_c °C,dew point °C,rh\n2027-02-08T08:00:00-06:00,18,6,45\n2027-02-08T09:00:00-06:00,18,6,45\n",
    ],
)
def test_many_ways_of_writing_the_same_air(text):
    log, found = read(text)
    assert log is not None, found
    assert log.temp_c == pytest.approx([18.0, 18.0]) and log.rh == pytest.approx([0.45, 0.45])
    assert log.start.hour == 8 and log.left_out == 0
    assert not [f for f in found if f.severity is not Severity.NOTE]


@pytest.mark.parametrize(
    ("text", "id", "word"),
    [
        ("Tijd;Warmte;Vocht\n08.02.2027 14:00;18,1;45\n", "air-log-columns", "--time-column"),
        ("time,temp,rh\n2027-02-08 14:00,18,45\n", "air-log-unit", "--unit"),
        ("time,temp C,rh\n02/03/2027 14:00,18,45\n", "air-log-date", "--order"),
        (
            "time,indoor temp C,garage temp C,rh\n2027-02-08 14:00,18,17,45\n",
            "air-log-columns",
            "--temp-column",
        ),
        ("2027-02-08 14:00,18,45\n", "air-log-columns", "heading"),
        ("", "air-log-empty", "CSV"),
        ("a,b\n1,2\n", "air-log-empty", "CSV"),
    ],
)
def test_what_the_file_does_not_settle_is_asked(text, id, word):
    log, found = read(text)
    assert log is None and found[0].id == id and word in " ".join(f.mend for f in found)


@pytest.mark.parametrize(
    "text",
    [
        "Timestamp for sample frequency every 30 min min,Temperature_Celsius,Relative_Humidity\n"
        "2027-02-08 08:00:00,18.0,45\n2027-02-08 08:30:00,18.0,45\n",
        "Datum;Uhrzeit;Temperatur (°C);rel. Feuchte [%]\n08.02.2027;08:00;18,0;45\n08.02.2027;08:30;18,0;45\n",
        "Zeitstempel;Temp °C;Luftfeuchtigkeit %\n08.02.2027 08:00;---;84\n08.02.2027 08:30;18.0;45\n",
    ],
)
def test_headings_of_loggers_with_underscores_in_german_and_above_a_gap(text):
    log, found = read(text)
    assert log is not None, found
    assert log.temp_c == pytest.approx(18.0) and log.rh == pytest.approx(0.45)


@pytest.mark.parametrize("unit", ["F", "C"])
def test_a_wrong_unit_stops_and_the_right_one_does_not(unit):
    warm = "".join(f"2027-02-{d:02d} {h:02d}:00,{50 + h},45\n" for d in range(1, 9) for h in range(24))
    log, found = read("time,temp,rh\n" + warm, unit=unit)
    if unit == "F":
        assert log is not None and not [f for f in found if f.severity is Severity.ERROR]
    else:
        assert log is None and found[0].id == "air-log-unit" and "--unit F" in found[0].mend


def test_answers_to_what_was_asked():
    foreign = "Tijd;Warmte;Vocht van de lucht\n08.02.2027 14:00;18,1;45\n"
    log, _ = read(foreign, time="Tijd", temp="Warmte", rh="vocht", unit="C")
    assert log and log.temp_c[0] == pytest.approx(18.1)
    log, _ = read("time,temp C,rh\n02/03/2027 14:00,18,45\n", order="m/d")
    assert log and (log.start.month, log.start.day) == (2, 3)


def test_the_hour_that_comes_twice_in_autumn_is_two_hours():
    """7 November 2027 has 25 hours in Chicago."""
    moments = [datetime(2027, 11, 7, 4, tzinfo=UTC) + timedelta(minutes=30 * n) for n in range(20)]
    rows = "\n".join(f"{m.astimezone(ZONE):%Y-%m-%d %H:%M},{n},50" for n, m in enumerate(moments))
    log, _ = read("time,temp °C,rh\n" + rows)
    assert log and log.seconds.tolist() == [m.timestamp() for m in moments]
    assert log.doubled == 0
    newest_first = "\n".join(reversed(rows.splitlines()))
    again, _ = read("time,temp °C,rh\n" + newest_first)
    assert (
        again
        and again.seconds.tolist() == log.seconds.tolist()
        and again.temp_c.tolist() == log.temp_c.tolist()
    )


def test_gaps_broken_rows_and_doubles_are_counted():
    rows = ["time,temp °C,rh", "2027-02-08 08:00,18,45", "2027-02-08 08:00,20,47", "2027-02-08 09:00,--,45",
            "2027-02-08 10:00,18,145", "2027-02-09 10:00,18,45", "nonsense"]  # fmt: skip
    log, _ = read("\n".join(rows))
    assert log and log.rows == 6 and log.left_out == 3 and log.doubled == 1
    assert log.temp_c[0] == 19.0
    assert log.gaps[0][1] == pytest.approx(26.0)
    _, _, known = log.hourly()
    assert known[0] and known[-1] and not known[5:20].any()


def test_humidity_as_a_share_is_said():
    log, _ = read("time,temp °C,rh\n2027-02-08 08:00,18,0.45\n2027-02-08 09:00,18,0.47\n")
    assert log and log.rh[0] == pytest.approx(0.45) and "share" in log.notes[0]


def test_a_file_that_is_not_there(tmp_path):
    with pytest.raises(NotFound):
        read_air_log(tmp_path / "none.csv", ZONE)


def test_a_shop_learns_its_open_and_closed_air_from_its_own_record():
    """A record made by the drift of the shop file gives the figures of that file back."""
    shop, _ = read_shop(WINTER)
    begin = datetime(2027, 2, 1, tzinfo=shop.zone)
    air = hourly(shop, "shop", begin, 24 * 27)
    at = [datetime.fromtimestamp(begin.timestamp() + 3600 * n + 1800, shop.zone) for n in range(24 * 27)]
    rows = [
        f"{t:%Y-%m-%d %H:%M},{c:.3f},{r * 100:.3f}" for t, c, r in zip(at, air.temp_c, air.rh, strict=True)
    ]
    log, _ = read("time,temp °C,rh\n" + "\n".join(rows))
    year = year_of(log, shop)
    learned = year[0].learned
    assert year[0].month == 2 and learned
    assert (learned.open_temp_c, learned.closed_temp_c) == pytest.approx((17.78, 7.22), abs=0.1)
    assert (learned.open_rh, learned.closed_rh) == pytest.approx((0.45, 0.80), abs=0.01)
    assert '{ month = "February", open = "64 F, 45 %", closed = "45 F, 80 %" },' in air_lines(year, "in")[1]
    warmer = with_air(shop, "shop", year)
    assert {a.month for a in warmer.places["shop"].air} == {2, 3}


def test_the_lines_it_gives_can_be_read_back():
    shop, _ = read_shop(WINTER)
    rows = [f"2027-02-{d:02d} {h:02d}:00,{18 if 8 <= h < 17 else 8},{45 if 8 <= h < 17 else 75}"
            for d in range(1, 28) for h in range(24)]  # fmt: skip
    log, _ = read("time,temp °C,rh\n" + "\n".join(rows))
    text = WINTER.read_text()
    first, rest = text.split("air = [", 1)
    again, found = read_shop(
        first + "\n".join(air_lines(year_of(log, shop), "in")) + rest.split("]", 1)[1], "shop.toml"
    )
    assert again is not None and not found


@settings(max_examples=150, deadline=None)
@given(st.binary(max_size=400))
def test_no_file_whatever_breaks_it(raw):
    log, found = read_air_log(raw, ZONE, "log.csv")
    assert (log is None) == any(f.severity is Severity.ERROR for f in found)


@settings(max_examples=100, deadline=None)
@given(st.text(alphabet="0123456789-/.:,; \nTtempdarh°FC%", max_size=300))
def test_nor_one_that_looks_like_a_log(text):
    log, found = read("time,temp °C,rh\n" + text)
    assert (log is None) == any(f.severity is Severity.ERROR for f in found)


def test_100_000_rows_are_read():
    begin = datetime(2026, 1, 1, tzinfo=UTC)
    at = [(begin + timedelta(minutes=5 * n)).astimezone(ZONE) for n in range(100_000)]
    rows = [f"{t:%m/%d/%Y %I:%M %p};{60 + n % 17 / 10:.1f};{40 + n % 23}" for n, t in enumerate(at)]
    text = ("Date/Time;Temperature (°F);Humidity (%RH)\n" + "\n".join(rows)).replace(".", ",")
    log, _ = read(text)
    assert log and len(log.seconds) == 100_000 and np.all(np.diff(log.seconds) == 300)
