"""Rules of the plan that look at dew point and vapour; each with a sound twin that stays silent."""

from datetime import UTC, datetime
from types import SimpleNamespace

from rakelight.facts import load
from rakelight.plan.room_air import Let, Room, exposure, room_left
from rakelight.rules.vapour import _Coat, _hit, _look

SHOP = """
shop = "Damp shop"
zone = "America/Chicago"
hours = {{ mon-fri = "8:00-17:00" }}
[place.shop]
size = "{size}"
air_changes = {changes}
heater = "electric"
drying_places = 20
air = [ {air} ]
[gear]
brush = true
pad = true
gun = {{ set_up = "10 min", clean = "15 min" }}
"""
FAIR_AIR = '{ open = "70 F, 50 %", closed = "70 F, 50 %" }'
#: a gap of 8 K by day: the film stays 1 K above the dew point
DOUBTFUL = '{ open = "70 F, 60 %", closed = "70 F, 60 %" }'
SHELLAC = 'do = "coat", with = "dewaxed shellac", by = "brush", cut = 2, coats = 2'


def shop(size="30 ft x 24 ft x 10 ft", changes=6, air=FAIR_AIR):
    return SHOP.format(size=size, changes=changes, air=air)


def only(found, id):
    return [f for f in found if f.id == id]


def test_a_film_near_the_dew_point_is_told_with_its_margin(check, board):
    found = only(check(board(SHELLAC), shop(air=DOUBTFUL), plan=True), "may-haze")
    assert found and found[0].severity.value == "warning"
    assert 0 <= found[0].figures["margin_k"] < 2
    assert "Warm the piece" in found[0].mend


def test_fair_air_and_varnish_in_doubtful_air_are_silent(check, board):
    varnish = 'do = "coat", with = "brushing urethane varnish", by = "brush", coats = 2'
    assert not only(check(board(SHELLAC), shop(), plan=True), "may-haze")
    assert not only(check(board(varnish), shop(air=DOUBTFUL), plan=True), "may-haze")


def test_air_in_which_it_would_turn_white_is_never_planned(planned, board):
    """February too damp, March dry: the coat waits for March."""
    air = ('{ month = "Feb", open = "70 F, 72 %", closed = "70 F, 72 %" }, '
           '{ month = "March", open = "70 F, 45 %", closed = "70 F, 45 %" }')  # fmt: skip
    *_, plan = planned(board(SHELLAC), shop(air=air))
    coats = [p for k, p in plan.placed.items() if "coat-" in k]
    assert coats and all(p.start.month >= 3 for p in coats)
    *_, fair = planned(board(SHELLAC), shop())
    assert min(p.start for k, p in fair.placed.items() if "coat-" in k).month == 2


def test_where_it_is_always_too_damp_no_date_is_given_and_the_way_out_told(planned, board):
    *_, plan = planned(board(SHELLAC), shop(air='{ open = "70 F, 80 %", closed = "70 F, 80 %" }'))
    assert [f.id for f in plan.findings] == ["no-date"] or any(f.id == "no-date" for f in plan.findings)
    assert any("dry enough" in f.says and "dry the air" in f.mend for f in plan.findings)


def test_a_large_sprayed_coat_in_a_small_shut_room_stops(check, board):
    lacquer = 'do = "coat", with = "nitrocellulose lacquer", by = "spray", coats = 2'
    table = board(lacquer, sizes='wide = 36\nthick = "7/8"')
    table = table.replace("long = 20", "long = 96")
    found = only(check(table, shop("8 ft x 8 ft x 8 ft", 0.5), plan=True), "vapour-over-limit")
    assert found and found[0].severity.value == "error"
    assert found[0].figures["peak_ppm"] > 1000
    assert "never leave to have a flame" in found[0].mend


def test_a_small_board_in_a_large_airy_shop_is_silent(check, board):
    for step in (SHELLAC, 'do = "coat", with = "brushing urethane varnish", by = "brush", coats = 2'):
        assert not only(check(board(step), shop("60 ft x 40 ft x 14 ft", 8), plan=True), "vapour-over-limit")


def test_only_methanol_over_its_limit_is_a_note(check, board):
    table = board(SHELLAC, sizes='wide = 16\nthick = "7/8"').replace("long = 20", "long = 48")
    found = only(check(table, shop("24 ft x 20 ft x 10 ft", 1), plan=True), "vapour-over-limit")
    assert found and {f.severity.value for f in found} == {"note"}
    assert "methanol" in found[0].says


def test_the_eight_hours_of_a_coat_meet_what_is_laid_after_it():
    """Two coats hours apart, each within the day limit alone: the air of both is seen from either."""
    case = SimpleNamespace(facts=load())
    lets = [Let(0.0, 1.0, {"toluene": 20.0}), Let(3.0, 1.0, {"toluene": 20.0})]
    room = Room(60.0, 0.5, 5.0)

    def days(let, some):
        coat = _Coat(None, "", None, 0.0, let)
        return next(s.share for s in _look(case, coat, some, [], room).seen.limits if s.id == "day")

    last_h = lets[0].start_h + lets[0].hours + load().likely("lay_release_h")
    assert last_h < lets[1].start_h
    assert all(days(let, [let]) < 1 for let in lets)
    assert all(days(let, lets) > 1.3 * days(let, [let]) for let in lets)


def test_the_way_out_names_an_amount_where_a_coat_alone_would_pass_too():
    """Two coats of toluene, each under its limits alone, over them together."""
    lay = SimpleNamespace(by="brush")
    shown = SimpleNamespace(volume=lambda ml: f"{ml:.0f} ml")
    case = SimpleNamespace(facts=load(), shown=shown)
    room, place = Room(60.0, 0.5, 5.0), SimpleNamespace(name="shop", air_changes_per_h=0.5, air_changes_given=True)
    lets = [Let(0.0, 1.0, {"toluene": 20.0}), Let(1.0, 1.0, {"toluene": 20.0})]
    placed = SimpleNamespace(start=datetime(2027, 2, 8, 9, tzinfo=UTC))
    coat = _Coat(SimpleNamespace(part="top", id="coat-1", lay=lay), "lacquer_nc", placed, 120.0, lets[0])
    assert room_left(case.facts, exposure(case.facts, lets[:1], room)) > 1
    hit = _hit(case, place, room, coat.material, [_look(case, coat, lets, [], room)])
    assert "lay about 120 ml at a time, hours apart" in hit.mend


def test_a_room_shut_tight_still_holds_what_was_laid_days_ago():
    """Of 0.01 changes an hour over a mixing of 5, e^(-0.002 x 72) = 87 % is left after three days; of 1, nothing."""
    case = SimpleNamespace(facts=load())
    lets = [Let(0.0, 1.0, {"toluene": 40.0}), Let(72.0, 1.0, {"toluene": 2.0})]

    def peak(some, changes):
        coat = _Coat(None, "", None, 0.0, lets[1])
        return _look(case, coat, some, [], Room(60.0, changes, 5.0)).seen.peak_ppm

    assert peak(lets, 0.01) > 15 * peak(lets[1:], 0.01)
    assert peak(lets, 1.0) < 1.001 * peak(lets[1:], 1.0)


def _months(warm="65 F, 45 %", march="65 F, 45 %", april="65 F, 45 %"):
    rows = (("Feb", warm), ("March", march), ("April", april))
    air = ", ".join(f'{{ month = "{m}", open = "{a}", closed = "{a}" }}' for m, a in rows)
    return shop(air=air).replace("mon-fri", "mon-sun")


def _late_in_february(board, *steps):
    return board(*steps).replace("8 Feb 2027", "28 Feb 2027").replace("1 Sep", "1 June")


VARNISH = 'do = "coat", with = "brushing urethane varnish", by = "brush", coats = 2'


def test_no_good_hour_within_the_recoat_time_is_a_warning(check, board):
    """A coat in the last warm days of February, March too cold to lay the next: its recoat time passes."""
    piece = _late_in_february(board, VARNISH)
    found = only(check(piece, _months(march="52 F, 60 %"), plan=True), "no-good-hour")
    assert [f.severity.value for f in found] == ["warning"]
    assert "too cold" in found[0].says and "28 February" in found[0].says and "Heat or dry shop" in found[0].mend
    assert found[0].figures["window_end_h"] > found[0].figures["ready_h"] > 0


def test_a_damp_month_closes_the_recoat_time_of_what_hazes(check, board):
    """The next coat is a lacquer, which would turn white all March."""
    lacquer = 'do = "coat", with = "pre-catalysed lacquer", by = "spray", coats = 4, a_day = 1'
    found = only(check(_late_in_february(board, lacquer), _months(march="65 F, 90 %"), plan=True), "no-good-hour")
    assert found and "too damp" in found[0].says


def test_good_hours_a_scuff_and_a_shut_shop_are_silent(check, board):
    """Twins: the air serves; the schedule scuffs between coats; the shop is shut while the recoat time passes."""
    piece = _late_in_february(board, VARNISH)
    assert not only(check(piece, _months(), plan=True), "no-good-hour")
    scuffed = _late_in_february(board, VARNISH + ", scuff = 320")
    assert not only(check(scuffed, _months(march="52 F, 60 %"), plan=True), "no-good-hour")
    shut = _months(march="52 F, 60 %").replace("mon-sun", "sun")
    assert not only(check(piece, shut, plan=True), "no-good-hour")
