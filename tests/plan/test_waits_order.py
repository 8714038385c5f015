"""What holds of every wait whatever the figures: later, warmer, thicker; low, likely, high in order."""

from dataclasses import replace

import numpy as np
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from rakelight.facts import load
from rakelight.plan.waits import Happened, ReadyH, Stay, Waits
from rakelight.schedule.steps import READINESSES
from rakelight.schedule.tasks import Lay
from rakelight.shop.climate import HourlyAir

HOURS = 9600
ROOM = (Stay("room", 0.0),)
SHELLAC = Lay("shellac_dewaxed", "brush", cut_lb=2.0, dry_um=11.7)
OIL = Lay("linseed_boiled", "wipe")


def flat(temp_c: float, rh: float = 0.5) -> HourlyAir:
    return HourlyAir(np.full(HOURS, temp_c), np.full(HOURS, rh))


def cold_nights() -> HourlyAir:
    day = (np.arange(HOURS) % 24 >= 8) & (np.arange(HOURS) % 24 < 17)
    return HourlyAir(np.where(day, 18.0, 9.0), np.where(day, 0.45, 0.75))


WAITS = Waits(load(), {"room": flat(21.0), "cool": flat(15.0), "shop": cold_nights()})


def lay(hour: float, coat: Lay) -> Happened:
    return Happened(hour, "lay", coat)


MATERIALS = sorted(load().materials)
coats = st.lists(
    st.tuples(st.sampled_from(MATERIALS), st.floats(0.0, 60.0), st.floats(0.5, 60.0)), min_size=1, max_size=5
)
places = st.sampled_from(["room", "cool", "shop"])


def history(drawn: list[tuple[str, float, float]], shift: float = 0.0) -> list[Happened]:
    hour, events = 0.0, []
    for material, film_um, gap in drawn:
        hour += gap
        events.append(lay(hour, Lay(material, "brush", dry_um=film_um)))
    return [*events[:-1], replace(events[-1], hour=events[-1].hour + shift)]


@settings(max_examples=80, deadline=None)
@given(coats, st.floats(0.0, 80.0), st.sampled_from(READINESSES), places, st.just(0.0) | st.floats(-2.0, 2.0))
def test_a_later_start_is_never_ready_earlier(
    drawn: list[tuple[str, float, float]], later: float, readiness: str, place: str, z: float
) -> None:
    stays, deviates = (Stay(place, 0.0), Stay("room", 150.0)), dict.fromkeys(MATERIALS, z)
    soon, late = history(drawn), history(drawn, later)
    # a water-borne coat too late to be one film with the one beneath stands alone, and dries the sooner
    assume(
        [s.apart for s in WAITS.shape(soon, stays).steps] == [s.apart for s in WAITS.shape(late, stays).steps]
    )
    # off the likely, cold widens two materials by different shares: what one was short of, counted on the other,
    # may then shrink by minutes more than the start was put off
    assume(z == 0.0 or not any(WAITS.unfinished(soon, stays)))
    first = WAITS.ready(soon, stays, readiness, z=deviates)
    assert WAITS.ready(late, stays, readiness, z=deviates) >= first - 1e-6


@settings(max_examples=60, deadline=None)
@given(st.lists(st.floats(0.5, 9.0), min_size=2, max_size=6), st.floats(0.0, 40.0), places)
def test_a_later_coat_of_many_is_never_ready_earlier(gaps: list[float], later: float, place: str) -> None:
    drawn = [("shellac_dewaxed", 11.7, gap) for gap in gaps]
    stays = (Stay(place, 0.0),)
    first = WAITS.ready(history(drawn), stays, "next coat", SHELLAC)
    assert WAITS.ready(history(drawn, later), stays, "next coat", SHELLAC) >= first - 1e-6


@settings(max_examples=60, deadline=None)
@given(coats, st.sampled_from(READINESSES))
def test_warmer_is_never_slower(drawn: list[tuple[str, float, float]], readiness: str) -> None:
    events = history(drawn)
    cool = WAITS.explain(events, (Stay("cool", 0.0),), readiness)
    warm = WAITS.explain(events, ROOM, readiness)
    assert warm.low <= cool.low + 1e-6 and warm.likely <= cool.likely + 1e-6 and warm.high <= cool.high + 1e-6


@settings(max_examples=60, deadline=None)
@given(coats, st.floats(0.1, 80.0), st.sampled_from(READINESSES), places)
def test_thicker_is_never_faster(
    drawn: list[tuple[str, float, float]], more: float, readiness: str, place: str
) -> None:
    assume(drawn[-1][1] > 0.0)  # no film said: the row's own coat is taken
    thicker = [*drawn[:-1], (drawn[-1][0], drawn[-1][1] + more, drawn[-1][2])]
    stays = (Stay(place, 0.0),)
    thin = WAITS.ready(history(drawn), stays, readiness)
    assert WAITS.ready(history(thicker), stays, readiness) >= thin - 1e-6


@settings(max_examples=60, deadline=None)
@given(coats, st.sampled_from(READINESSES), places)
def test_low_likely_high_in_order_and_explained(
    drawn: list[tuple[str, float, float]], readiness: str, place: str
) -> None:
    events = history(drawn)
    found: ReadyH = WAITS.explain(events, (Stay(place, 0.0),), readiness)
    assert events[-1].hour <= found.low <= found.likely + 1e-9
    assert found.likely <= found.high + 1e-9
    assert found.likely == WAITS.ready(events, (Stay(place, 0.0),), readiness)
    assert found.because.source and found.because.kind and place in found.because.says


def test_table_agrees_with_single_answers_and_never_falls() -> None:
    events = [lay(0, OIL), lay(200, SHELLAC)]
    starts = np.linspace(200, 400, 81)
    stays = (Stay("shop", 0.0), Stay("room", 300.0))
    table = WAITS.table(events, stays, "rub", None, starts)
    assert np.all(np.diff(table) >= -1e-9)
    assert table[40] == WAITS.ready([events[0], lay(300.0, SHELLAC)], stays, "rub")
