"""What a shop's file says, and what is said of a file that is wrong."""

from __future__ import annotations

import subprocess
import sys
from datetime import date, time
from pathlib import Path

import pytest

from rakelight.errors import Finding, NotFound, Severity, SourceKind
from rakelight.shop.file import read_shop
from rakelight.shop.model import Gun, MonthlyAir

EXAMPLES = Path(__file__).parents[2] / "examples"

SOUND = """\
shop = "Bench"
zone = "Europe/London"
hours = { mon-fri = "8:00-12:00, 13:00-17:00" }
[place.shed]
air = [{ open = "18 C, 50 %", closed = "10 C, 70 %" }]
"""


def found_in(text: str) -> list[Finding]:
    return read_shop(text, "shop.toml")[1]


def test_the_winter_shop_as_it_stands() -> None:
    shop, findings = read_shop(EXAMPLES / "shop-winter.toml")
    assert shop is not None and findings == []
    assert (shop.name, shop.zone.key, shop.file) == ("Winter shop", "America/Chicago", "shop-winter.toml")
    assert list(shop.hours) == [0, 1, 2, 3, 4, 5]
    assert shop.hours[4] == ((time(8), time(12)), (time(12, 45), time(17)))
    assert shop.hours[5] == ((time(9), time(13)),)
    assert shop.off == {date(2027, 3, 13)}
    assert list(shop.places) == ["shop", "house"]
    bench, house = shop.places.values()
    assert bench.volume_m3 == pytest.approx(22 * 16 * 8 * 0.3048**3)
    assert (bench.air_changes_per_h, bench.air_changes_given, bench.heater) == (1.0, True, "electric")
    assert (bench.drying_places, bench.use, bench.line) == (6, "all", 7)
    feb, march = bench.air
    assert (feb.month, feb.open_rh, feb.closed_rh) == (2, 0.45, 0.80)
    assert (feb.open_temp_c, feb.closed_temp_c) == pytest.approx((17.78, 7.22), abs=0.01)
    assert (march.month, march.closed_rh) == (3, 0.75)
    assert (house.use, house.carry_min, house.air_changes_given) == ("drying only", 10.0, False)
    assert house.air[0].month == 0
    assert (shop.gear.brush, shop.gear.pad, shop.gear.gun) == (True, True, None)


def test_the_evening_shop_as_it_stands() -> None:
    shop, findings = read_shop(EXAMPLES / "shop-evenings.toml")
    assert shop is not None and findings == []
    assert list(shop.hours) == [0, 1, 2, 3, 5]
    assert shop.off == {date(2027, 3, 27), date(2027, 3, 28), date(2027, 3, 29)}
    assert shop.gear.gun == Gun(15, 20)
    assert shop.gear.pad  # not said: there is one
    assert shop.places["garage"].drying_places == 12


def test_what_is_not_said_takes_the_default() -> None:
    shop, findings = read_shop(SOUND)
    assert shop is not None and findings == []
    shed = shop.places["shed"]
    assert (shed.volume_m3, shed.air_changes_per_h, shed.air_changes_given) == (None, 0.5, False)
    assert (shed.drying_places, shed.carry_min, shed.use, shed.heater) == (4, 10.0, "all", "")
    assert shed.air == (MonthlyAir(0, 18.0, 0.5, 10.0, 0.7),) and not shed.air_guessed
    assert (shop.holidays, shop.book, shop.now_in, shop.off) == ("", "", "", frozenset())
    assert (shop.gear.brush, shop.gear.pad, shop.gear.gun) == (True, True, None)


def test_a_later_key_of_the_hours_beats_an_earlier() -> None:
    later = SOUND.replace("hours = {", 'hours = { mon-sun = "9-12",').replace(
        " }\n[", ', wed = "closed" }\n['
    )
    shop, findings = read_shop(later)
    assert shop is not None and findings == []
    assert shop.hours[0] == ((time(8), time(12)), (time(13), time(17)))
    assert 2 not in shop.hours
    assert shop.hours[6] == ((time(9), time(12)),)


def test_a_range_of_days_runs_over_the_end_of_the_week() -> None:
    shop, _ = read_shop(SOUND.replace("mon-fri", "sat-mon"))
    assert shop is not None and list(shop.hours) == [0, 5, 6]


def test_every_other_key() -> None:
    shop, findings = read_shop(
        'now_in = "attic"\nbook = "own"\nholidays = "Germany"\n'
        'off = [2027-05-07, "8 May 2027 - 9 May 2027"]\n'
        + SOUND
        + 'volume = "30 m3"\nheater = "wood stove"\nuse = "dusty only"\n'
        '[place.attic]\ncarry = "25 min"\n'
        'air = [{ month = "may", open = "20 C, 50 %", closed = "18 C, 50 %" }]\n'
        "[gear]\nbrush = false\npad = false\ngun = {}\n"
    )
    assert shop is not None and findings == []
    assert (shop.holidays, shop.book, shop.first_place.name) == ("DE", "own", "attic")
    assert shop.off == {date(2027, 5, 7), date(2027, 5, 8), date(2027, 5, 9)}
    shed, attic = shop.places["shed"], shop.places["attic"]
    assert (shed.volume_m3, shed.heater, shed.use) == (30.0, "wood stove", "dusty only")
    assert (attic.carry_min, attic.air[0].month) == (25.0, 5)
    assert (shop.gear.brush, shop.gear.pad, shop.gear.gun) == (False, False, Gun(10, 15))


FAULTS = [
    # text, what to put in its place, line of the finding, its id, words of what it says and of what to write
    ('zone = "Europe/London"\n', "", 1, "missing", "zone", "America/Chicago"),
    ("Europe/London", "Europe/Lodnon", 2, "misread", "Lodnon", "Europe/London"),
    ("Europe/London", "Chicago", 2, "misread", "Chicago", "America/Chicago"),
    ("Europe/London", "EST", 2, "misread", "EST", "America/New_York"),
    ("Europe/London", "../../etc/passwd", 2, "misread", "time zone", "America/Chicago"),
    ('"Europe/London"', "5", 2, "misread", "zone", "quotes"),
    ('hours = { mon-fri = "8:00-12:00, 13:00-17:00" }\n', "", 1, "missing", "hours", "mon-fri"),
    ('{ mon-fri = "8:00-12:00, 13:00-17:00" }', "{}", 3, "no-hours", "no day", "mon-fri"),
    ('"8:00-12:00, 13:00-17:00"', '"closed"', 3, "no-hours", "no day", "mon-fri"),
    ('{ mon-fri = "8:00-12:00, 13:00-17:00" }', '"9-5"', 3, "misread", "table", "[hours]"),
    ("mon-fri", "mon-fir", 3, "unknown-key", "mon-fir", "fri"),
    ("mon-fri", "weekdays", 3, "unknown-key", "weekdays", "mon-fri"),
    ("13:00-17:00", "17:00-13:00", 3, "misread", "17:00-13:00", "Write"),
    ('shop = "Bench"', 'shop = "Bench"\noff = ["31 April 2027"]', 2, "misread", "31", "calendar"),
    ('shop = "Bench"', 'shop = "Bench"\nholidays = "Germny"', 2, "misread", "Germny", "Germany"),
    ('shop = "Bench"', 'shop = "Bench"\nnow_in = "shde"', 2, "unknown-place", "shde", "shed"),
    ('shop = "Bench"', 'shop = "Bench"\nzon = "UTC"', 2, "unknown-key", "zon", "zone"),
    ("[place.shed]", "[plaice.shed]", 4, "unknown-key", "plaice", "place"),
    ('air = [{ open = "18 C, 50 %", closed = "10 C, 70 %" }]', "", 4, "missing", "air of shed", "town"),
    ('air = [{ open = "18 C, 50 %", closed = "10 C, 70 %" }]', "air = []", 5, "missing", "air", "open"),
    ("[{ open", "[{ shut", 5, "unknown-key", "shut", "open"),
    ("18 C, 50 %", "18 C, 0.5", 5, "misread", "percentage", "50 %"),
    ("18 C, 50 %", "18, 50 %", 5, "misread", "temperature", "64 F"),
    ("18 C, 50 %", "180 C, 50 %", 5, "misread", "180", "64 F"),
    (', closed = "10 C, 70 %"', "", 5, "missing", "closed", "night"),
    ("{ open", '{ month = "Mrach", open', 5, "misread", "Mrach", "March"),
    ("[place.shed]\n", "[place.shed]\nair_changes = nan\n", 5, "misread", "air_changes", "0.5"),
    ("[place.shed]\n", "[place.shed]\nair_changes = 0\n", 5, "misread", "air_changes", "0.5"),
    ("[place.shed]\n", "[place.shed]\ndrying_places = -inf\n", 5, "misread", "drying_places", "3"),
    ("[place.shed]\n", '[place.shed]\nsize = "6 m x 4 m"\n', 5, "misread", "long x wide x high", "22 ft"),
    (
        "[place.shed]\n",
        '[place.shed]\nsize = "6 m x 4 m x 3 m"\nvolume = "72 m3"\n',
        6,
        "twice",
        "size",
        "one",
    ),
    ("[place.shed]\n", '[place.shed]\ntown = "Chicago"\n', 5, "twice", "town", "heated_to"),
    ("[place.shed]\n", '[place.shed]\nheater = "gas"\n', 5, "misread", "gas", "unvented"),
    ("[place.shed]\n", '[place.shed]\nuse = "drying"\n', 5, "misread", "drying", "drying only"),
    ("[place.shed]\n", '[place.shed]\nuse = "drying only"\n', 4, "no-place-to-work", "every place", "all"),
    ("[place.shed]\n", '[place.shed]\ncarry = "soon"\n', 5, "misread", "soon", "min"),
    ("[place.shed]\n", '[gear]\nbrush = "good"\n[place.shed]\n', 5, "misread", "good", "true"),
    ("[place.shed]\n", "[gear]\ngun = true\n[place.shed]\n", 5, "misread", "gun", "set_up"),
    ("[place.shed]\n", "[gear]\nguns = true\n[place.shed]\n", 5, "unknown-key", "guns", "gun"),
]


@pytest.mark.parametrize(("old", "new", "line", "id", "says", "mend"), FAULTS)
def test_a_fault_is_named_at_its_line_with_what_to_write(
    old: str, new: str, line: int, id: str, says: str, mend: str
) -> None:
    assert old in SOUND
    findings = [f for f in found_in(SOUND.replace(old, new, 1)) if f.id == id]
    assert len(findings) == 1, findings
    (found,) = findings
    assert (found.severity, found.where.file, found.where.line) == (Severity.ERROR, "shop.toml", line)
    assert says in found.says and mend in found.mend


def test_all_faults_of_a_file_at_once_in_order_of_lines() -> None:
    text = (
        'shop = ""\nzone = "Mars"\nhours = { mon = "9-8" }\n[place.shed]\nheater = "gas"\n'
        'air = [{ open = "x" }, 3]\n[place.barn]\nheated_to = "64 F"\n'
        "[gear]\ngun = { set_up = -3, colour = 1 }\n"
    )
    shop, findings = read_shop(text)
    assert shop is None
    assert [f.where.line for f in findings] == [1, 2, 3, 5, 6, 6, 6, 8, 10, 10]


@pytest.mark.parametrize(
    "raw",
    [
        b"",
        b"   \n\n",
        b"# nothing but a remark\n",
        b"shop = ",
        b"shop = 'a'\nshop = 'b'",
        b"\xff\xfe\x00s",
        'shop = "Möbel"'.encode("latin-1"),
        b"place = 3",
        b"place = [1, 2]",
        b"hours = 'always'",
        b"x" * 10_000_000,
        b"a = [" * 3000,
    ],
)
def test_what_is_no_shop_at_all(raw: bytes) -> None:
    shop, findings = read_shop(raw, "shop.toml")
    assert shop is None
    assert any(f.severity is Severity.ERROR for f in findings)
    assert all(f.says and f.mend and f.where.file == "shop.toml" for f in findings)


def test_a_path_that_leads_nowhere_is_a_broken_call() -> None:
    with pytest.raises(NotFound):
        read_shop(Path("no-such-shop.toml"))


TOWN = SOUND.replace(
    'air = [{ open = "18 C, 50 %", closed = "10 C, 70 %" }]', 'town = "Chicago"\nheated_to = "64 F"'
)


def test_a_town_gives_a_guessed_year_and_says_so() -> None:
    shop, findings = read_shop(TOWN)
    assert shop is not None
    shed = shop.places["shed"]
    assert shed.air_guessed and [line.month for line in shed.air] == list(range(1, 13))
    (note,) = findings
    assert (note.id, note.severity, note.kind) == ("air-guessed", Severity.NOTE, SourceKind.ASSUMPTION)
    assert note.where.line == 5 and "guess" in note.says and "air" in note.mend and note.source


def test_the_guess_holds_the_vapour_of_the_air_outdoors() -> None:
    # Chicago in February: -2.2 C, 71 % (typical year). By hand, Magnus over ice 611.2 exp(22.46 t / (272.62
    # + t)): 510 Pa x 0.71 = 362 Pa; over water at 17.8 C 2036 Pa, so 17.8 %; half way back, at 7.8 C, 1057
    # Pa: 34.2 %
    shop, _ = read_shop(TOWN)
    assert shop is not None
    february = shop.places["shed"].air[1]
    assert february.open_temp_c == pytest.approx(17.78, abs=0.01)
    assert february.open_rh == pytest.approx(0.178, abs=0.003)
    assert february.closed_temp_c == pytest.approx(7.79, abs=0.01)
    assert february.closed_rh == pytest.approx(0.342, abs=0.004)
    # in July it is warmer outdoors than 64 F: nothing cools the shop
    july = shop.places["shed"].air[6]
    assert (july.open_temp_c, july.closed_temp_c) == pytest.approx((23.5, 23.5))
    assert (july.open_rh, july.closed_rh) == pytest.approx((0.65, 0.65))


def test_a_place_to_dry_in_is_heated_day_and_night_and_one_without_heat_is_the_outdoors() -> None:
    warm, _ = read_shop(TOWN + 'use = "drying only"\n' + '[place.bench]\ntown = "chicago, il"\n')
    assert warm is not None
    shed, bench = warm.places["shed"].air[0], warm.places["bench"].air[0]
    assert (shed.closed_temp_c, shed.closed_rh) == (shed.open_temp_c, shed.open_rh)
    assert (bench.open_temp_c, bench.closed_temp_c) == pytest.approx((-4.6, -4.6))
    assert bench.open_rh == pytest.approx(0.71)


@pytest.mark.parametrize(
    ("old", "new", "id", "mend"),
    [
        ("Chicago", "Chigaco", "unknown-town", "Chicago"),
        ("Chicago", "Chicago, AZ", "unknown-town", "Chicago"),
        ("Chicago", "Ulan Bator", "unknown-town", "Phoenix"),
        ("64 F", "64", "misread", "64 F"),
        ("64 F", "64 C", "misread", "64 F"),
        ('town = "Chicago"\n', "", "missing", "Chicago"),
    ],
)
def test_a_town_that_cannot_be_guessed(old: str, new: str, id: str, mend: str) -> None:
    errors = [f for f in found_in(TOWN.replace(old, new)) if f.severity is Severity.ERROR]
    assert len(errors) == 1
    assert errors[0].id == id and mend in errors[0].mend


def test_nothing_is_imported_that_a_plain_shop_does_not_need() -> None:
    code = (
        "import sys; from pathlib import Path; from rakelight.shop.file import read_shop;"
        f"read_shop(Path({str(EXAMPLES / 'shop-winter.toml')!r}));"
        "print([m for m in ('holidays', 'psychrolib', 'typer', 'rich', 'scipy') if m in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"
