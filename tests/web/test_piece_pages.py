"""The pages of pieces, schedules, book, papers and shop, in a browser, with and without script."""

from __future__ import annotations

import re
import time
import tomllib

import httpx
import pytest
from playwright.sync_api import expect

from rakelight.desk import open_shop
from rakelight.log.events import Event
from rakelight.units import read_date
from rakelight.web.content.pictures import calendar_rules

from .conftest import (
    CONTRAST,
    DESK,
    PHONE,
    Served,
    faults_of_access,
    form_key,
    make_shop,
    planned,
    start,
    stop,
)

READING = (
    "/pieces", "/pieces/new", "/pieces/one-board", "/pieces/one-board/text", "/pieces/one-board/papers",
    "/pieces/one-board/schedule/oil-and-wax", "/pieces/one-board/part", "/pieces/one-board/part/board", "/book",
    "/book/varnish-rubbed", "/shop", "/shop/text", "/stock",
)  # fmt: skip


def until(page, words: str, seconds: float = 30) -> None:
    """Load a page again until it says something, as its own refresh would."""
    end = time.monotonic() + seconds
    while words not in page.inner_text("main"):
        assert time.monotonic() < end, page.inner_text("main")[:400]
        time.sleep(0.3)
        page.reload()


def sideways(page) -> list[str]:
    """What stands out of the page to the right, where it can be scrolled there."""
    return page.evaluate(
        "() => document.documentElement.scrollWidth <= innerWidth ? [] : [...document.querySelectorAll('main *')]"
        ".filter(e => e.getBoundingClientRect().right > innerWidth + 1).map(e => e.outerHTML.slice(0, 80)).slice(0, 3)"
    )


def test_a_new_piece_from_nothing_to_its_plan_on_a_phone_without_script(fresh, page_at):
    served = fresh()
    page = page_at(f"{served.address}/pieces/new", PHONE, script=False)
    page.fill("[name=name]", "Hall table")
    page.fill("[name=by]", "2027-04-20")
    page.fill("[name=part-1-name]", "Top")
    page.fill("[name=part-1-wood]", "maple")
    for key, words in (("long", "34"), ("wide", "14 1/2"), ("thick", "22 mm")):
        page.fill(f"[name=part-1-{key}]", words)
    page.click("text=One more part")
    page.locator(".part").nth(1).locator("label:has-text('Leg')").click()
    assert not page.locator("[name=part-2-wide]").is_visible()  # a leg is not asked for its width
    page.fill("[name=part-2-count]", "4")
    page.fill("[name=part-2-long]", "28")
    page.fill("[name=part-2-thick]", "1 x")
    page.locator("label:has-text('screwed')").click()
    page.locator(".look:has-text('Oil and wax')").first.click()
    page.click("text=Put it in and plan it")
    assert "'1 x' cannot be read as a length" in page.inner_text("#part-2-thick-fault")
    assert page.input_value("[name=part-1-thick]") == "22 mm"  # nothing typed is lost
    for ask in page.locator("fieldset.ask").all():
        ask.locator("label:has-text('sugar maple')").click()
    page.fill("[name=part-2-thick]", "1 1/2")
    page.click("text=Put it in and plan it")
    assert page.url.endswith("/pieces/hall-table")
    until(page, "Likely ready")
    until(page, "times in 10")
    assert "Top of sugar maple. 4 × leg of sugar maple." in page.inner_text(".head")
    file = served.get("/pieces/hall-table/file.toml")
    assert tomllib.loads(file.text)["part"]["leg"]["count"] == 4 and "attachment" in file.headers["content-disposition"]


def test_a_changed_schedule_is_seen_before_it_is_kept(fresh, page_at):
    served = fresh("one-board")
    planned(served)
    page = page_at(f"{served.address}/pieces/one-board/schedule/oil-and-wax", PHONE, script=False)
    page.locator(".steps > li:nth-child(2) > details > summary").click()
    page.fill("[name=step-2-coats]", "five")
    page.click("text=See what it does")
    assert "not a whole number" in page.inner_text(".steps")
    page.fill("[name=step-2-coats]", "5")
    page.click("text=See what it does")
    until(page, "Keep the change")
    end = time.monotonic() + 30
    while page.locator("[role=status]").count() and time.monotonic() < end:
        time.sleep(0.3)
        page.reload()
    told = page.inner_text(".beside")
    assert "Ready to pack" in told and "Odds" in told and "Boiled linseed oil" in told
    assert "[schedule" not in served.get("/pieces/one-board/file.toml").text  # only seen, not kept
    page.click("text=Keep the change")
    text = served.get("/pieces/one-board/file.toml").text
    assert tomllib.loads(text)["schedule"]["oil-and-wax"]["steps"][1]["coats"] == 5
    assert text.startswith("# A wall shelf of one walnut board, oiled and waxed.")
    until(page, "Since the plan before")
    assert "changed for this piece" in page.inner_text("main")


@pytest.fixture
def waxing(tmp_path):
    """A shop's file whose plan was kept in February; the oil has lain three weeks, and wax is next."""
    desk = open_shop(make_shop(tmp_path / "shop.rakelight", "one-board"), read_date("8 Feb 2027 8:00"))
    desk.keep(desk.plan())
    desk.close()
    served = start(tmp_path / "shop.rakelight", now="4 March 2027 9:00")
    planned(served)
    yield served
    stop(served)


def tell(served: Served, **said) -> None:
    """Something told of the board at the moment the server stands at, by another hand."""
    desk = open_shop(served.shop_file, read_date("4 March 2027 9:00"))
    desk.tell(Event(happened=desk.now, written=desk.now, piece="one-board", **said))
    desk.close()


def test_a_failed_test_moves_the_plan_and_the_page_says_what_moved_and_why(waxing, page_at):
    page = page_at(f"{waxing.address}/pieces/one-board", PHONE, script=False)
    assert "oil 2 of 2" in page.inner_text("main")
    tell(waxing, kind="tested", task="board/wax-1", passed=False, readiness="wax", again_h=240.0)
    until(page, "failed, look again")
    moved = page.inner_text(".changed")
    assert "Since the plan before" in moved and "Board: wax 1 moves from Fri 5 Mar to" in moved
    assert "failed" in moved and "Ready to pack: likely" in moved and "was" in moved


def test_a_step_to_be_done_again_is_put_in_where_it_belongs(waxing, page_at):
    page = page_at(f"{waxing.address}/pieces/one-board", PHONE, script=False)
    assert "Oil 2" not in page.inner_text("#days")
    tell(waxing, kind="rework", task="board/wax-1", also=["board/oil-2"])
    until(page, "New: board, oil 2")
    days = page.inner_text("#days")
    assert days.index("Oil 2") < days.index("Wax 1")
    assert "To be done again: Board, oil 2." in page.inner_text("#log")


def test_a_faulty_text_is_shown_at_its_lines_and_kept_as_typed(fresh):
    served = fresh("one-board")
    with served.client() as visitor:
        key = form_key(visitor, "/pieces/one-board/text")
        text = 'piece = "Shelf"\nunit = "in"\n\n[part.board]\nwood = "maple"\nlong = "3o"\nwide = 7\nthikc = "7/8"\n'
        told = visitor.post("/pieces/one-board/text", data={"form_key": key, "text": text})
    assert told.status_code == 422
    for line in (5, 6, 8):
        assert f"Line {line}</a>" in told.text
    assert "thikc = &#34;7/8&#34;" in told.text  # as it was typed, in the field again
    assert "Walnut wall shelf" in served.get("/pieces/one-board/file.toml").text


def test_names_with_script_in_them_never_run(fresh, page_at):
    served = fresh("one-board")
    evil = '"><script>document.title="ran"</script><img src=x onerror="document.title=1">'
    with served.client() as visitor:
        key = form_key(visitor, "/pieces/one-board")
        answer = visitor.post("/pieces/one-board/copy", data={"form_key": key, "name": evil})
        where = answer.headers["location"]
    planned(served)
    for path in ("/pieces", where, f"{where}/text", f"{where}/schedule/oil-and-wax", f"{where}/papers"):
        page = page_at(served.address + path, DESK)
        assert page.title().endswith("rakelight") and "<script>" not in page.title().replace(evil, "")
        assert page.evaluate("document.querySelectorAll('main script, main img[onerror]').length") == 0


@pytest.mark.parametrize("path", READING)
def test_every_page_reads_without_script_at_every_width_and_has_no_serious_fault_of_access(bench, page_at, path):
    page = page_at(bench.address + path, PHONE, script=False)
    for wide in (320, 390, 820, 1280, 1600):
        page.set_viewport_size({"width": wide, "height": 900})
        assert not sideways(page), (path, wide)
    assert page.locator("h1").count() == 1
    page = page_at(bench.address + path, PHONE)
    for scheme, only in (("light", ()), ("dark", CONTRAST)):
        page.emulate_media(color_scheme=scheme, reduced_motion="reduce")
        assert not faults_of_access(page, only)


def test_every_picture_and_paper_of_a_piece_is_there(bench, page_at):
    page = page_at(f"{bench.address}/pieces/walnut-table", DESK)
    addresses = page.evaluate("[...document.querySelectorAll('main img')].map(i => i.getAttribute('src'))")
    assert len(addresses) >= 3
    for address in addresses:
        found = bench.get(address)
        assert found.status_code == 200 and found.text.startswith("<svg"), address
    papers = bench.get("/pieces/walnut-table/papers").text
    names = re.findall(r"/papers/([\w-]+)\.png", papers)
    assert {"bench-by-day", "buying", "care"} <= set(names)
    assert bench.get(f"/pieces/walnut-table/papers/{names[0]}.png").content.startswith(b"\x89PNG")
    assert bench.get("/pieces/walnut-table/papers/buying.pdf").content.startswith(b"%PDF")
    assert b"BEGIN:VEVENT" in bench.get("/pieces/walnut-table/calendar.ics").content


def test_the_code_by_a_step_on_paper_opens_that_step(bench):
    """As a bench sheet prints it, with its piece; a step two pieces have is none without it."""
    from rakelight.papers.bench import step_page

    for piece, task in (("one-board", "board/oil-1"), ("walnut-table", "leg/oil-1")):
        opened = bench.get(step_page(f"/?piece={piece}", task))
        assert opened.status_code == 303 and opened.headers["location"] == f"/?step={piece}%3A{task}"
        assert bench.get(opened.headers["location"]).status_code == 200
    assert bench.get("/step/board/oil-1").status_code == 303
    assert bench.get("/step/board/varnish-9").status_code == 404


def test_the_stylesheet_has_the_rules_of_the_calendar_as_it_is_drawn(bench):
    assert calendar_rules() in bench.get("/static/page.css").text
    page = bench.get("/pieces/one-board").text
    assert "<style" not in page and page.count('<svg xmlns="http://www.w3.org/2000/svg" id="c') == 2


def test_a_piece_with_its_pictures_weighs_less_than_the_pages_may(bench, page_at):
    page = page_at(f"{bench.address}/pieces/walnut-table", PHONE)
    pictures = page.evaluate("[...document.querySelectorAll('main img')].map(i => i.currentSrc || i.src)")
    sent = 0
    for address in [page.url, f"{bench.address}/static/page.css", f"{bench.address}/static/page.js", *pictures]:
        with httpx.stream("GET", address) as answer:
            sent += sum(len(part) for part in answer.iter_raw())
    assert sent < 200_000  # the most a page with its pictures may weigh, as sent


def test_a_touch_on_a_picture_tells_the_figures_of_that_place(bench, page_at):
    page = page_at(f"{bench.address}/pieces/walnut-table", PHONE)
    line = page.locator(".calendar .reading")
    place = page.locator(".calendar .down [data-says]").first
    place.scroll_into_view_if_needed()
    box = place.bounding_box()
    page.mouse.click(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
    expect(line).to_contain_text(": ")
    told = line.inner_text()
    assert told in page.evaluate("[...document.querySelectorAll('.down [data-says]')].map(e => e.dataset.says)")
    page.keyboard.press("ArrowDown")
    expect(line).not_to_have_text(told)
    odds = page.locator("img[src$='odds.svg']")
    odds.scroll_into_view_if_needed()
    odds.click()  # its middle
    expect(page.locator("figure:has(img[src$='odds.svg']) .reading")).to_contain_text(re.compile(r"By .*: ready .*\("))


def test_a_figure_of_this_shop_is_held_and_let_go(fresh):
    served = fresh("one-board")
    assert "plans go by the book" in served.get("/shop").text
    with served.client() as visitor:
        key = form_key(visitor, "/pieces/one-board")
        said = {"form_key": key, "what": "drying:linseed_boiled", "value": "48 h"}
        assert visitor.post("/shop/learned", data=said).status_code == 303
        held = visitor.get("/shop").text
        assert "48" in held and "pinned" in held.lower()
        visitor.post("/shop/learned", data=said | {"anew": "yes"})
        assert "pinned" not in visitor.get("/shop").text.lower()
        wrong = visitor.post("/shop/learned", data=said | {"what": "drying:nothing"})
    assert wrong.status_code in (404, 422) and "Traceback" not in wrong.text


def test_a_shop_is_said_once_before_anything_is_planned(fresh, page_at):
    served = fresh(shop="")
    page = page_at(f"{served.address}/pieces", PHONE, script=False)
    page.click("text=Say them once")
    page.fill("[name=name]", "Cellar")
    page.fill("[name=zone]", "Chicago")
    page.fill("[name=town]", "Chicago, IL")
    page.click("text=Keep it")
    assert "America/Chicago" in page.inner_text("#zone-fault")
    page.fill("[name=zone]", "America/Chicago")
    page.click("text=Keep it")
    assert page.url.endswith("/pieces") and "Say them once" not in page.inner_text("main")
    assert "guessed from the mean year" in served.get("/shop").text


def test_a_can_is_told_of_drawn_down_and_emptied(fresh, page_at):
    served = fresh("one-board")
    page = page_at(f"{served.address}/stock", PHONE, script=False)
    assert "No can is told of yet" in page.inner_text("main")
    page.fill("[name=material]", "boiled linseed oil")
    page.fill("[name=size]", "some")
    page.click("text=Put it on the shelf")
    assert page.input_value("[name=material]") == "boiled linseed oil" and page.locator("[role=alert]").count() == 1
    page.fill("[name=size]", "1 quart")
    page.click("text=Put it on the shelf")
    assert "1 quart left" in page.inner_text(".can").replace("\N{NO-BREAK SPACE}", " ")
    page.click("text=Opened today")
    assert "keeps until about" in page.inner_text(".can").replace("\N{NO-BREAK SPACE}", " ")
    page.fill(".can [name=left]", "6 fl oz")
    page.click("text=That much is left")
    assert "6 fl oz left of 1 quart" in page.inner_text(".can").replace("\N{NO-BREAK SPACE}", " ")
    page.click("text=Empty")
    assert page.locator(".can").count() == 0
    assert not sideways(page)


def test_another_finish_is_taken_into_the_file_of_the_piece(fresh):
    served = fresh("one-board")
    before = served.get("/pieces/one-board/file.toml").text
    with served.client() as visitor:
        assert "Try them" in visitor.get("/pieces/one-board/choose").text
        key = form_key(visitor, "/pieces/one-board/choose")
        said = {"form_key": key, "take": "board|all|hard-wax-oil"}
        assert visitor.post("/pieces/one-board/choose/take", data=said).status_code == 303
    assert served.get("/pieces/one-board/file.toml").text == before.replace('"oil-and-wax"', '"hard-wax-oil"')


def test_a_part_is_changed_added_and_taken_off(fresh):
    served = fresh("one-board")
    with served.client() as visitor:
        page = visitor.get("/pieces/one-board").text
        assert 'href="/pieces/one-board/part/board"' in page and 'href="/pieces/one-board/part"' in page
        form = visitor.get("/pieces/one-board/part/board").text
        key = form_key(visitor, "/pieces/one-board/part/board")
        sent = {"form_key": key, "part-1-kind": "panel", "part-1-count": "1"}
        sent |= dict(re.findall(r'name="(part-1-(?:wood|long|wide|thick))" value="([^"]*)"', form))
        assert sent["part-1-wood"] == "black walnut" and "part-1-name" not in form
        wrong = visitor.post("/pieces/one-board/part/board", data=sent | {"part-1-long": "3 x"})
        assert wrong.status_code == 422 and 'id="part-1-long-fault"' in wrong.text and 'value="3 x"' in wrong.text
        sent["part-1-finish"] = "oil-and-wax"
        assert visitor.post("/pieces/one-board/part/board", data=sent | {"part-1-long": "33"}).status_code == 303
        more = sent | {"part-1-name": "Bracket <b>", "part-1-count": "2"}
        assert visitor.post("/pieces/one-board/part", data=more).status_code == 303
        parts = tomllib.loads(served.get("/pieces/one-board/file.toml").text)["part"]
        assert parts["board"]["long"] == 33 and parts["bracket-b"]["count"] == 2
        off = {"form_key": sent["form_key"], "off": "yes"}
        assert visitor.post("/pieces/one-board/part/bracket-b", data=off).status_code == 303
        last = visitor.post("/pieces/one-board/part/board", data=off)
        assert last.status_code == 422 and 'role="alert"' in last.text  # a piece has a part
    assert list(tomllib.loads(served.get("/pieces/one-board/file.toml").text)["part"]) == ["board"]
