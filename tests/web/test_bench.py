"""A day at the bench on a phone: begun, done, taken back, put right, out of reach, two phones, without script."""

from __future__ import annotations

import re
from io import BytesIO

import httpx
from PIL import Image
from playwright.sync_api import expect

from rakelight.desk import open_shop

from .conftest import form_key

MORNING = "8 Feb 2027 8:00"


def told(served, *kinds: str):
    """What the shop's file holds."""
    desk = open_shop(served.shop_file)
    try:
        return [e for e in desk.counting() if e.kind in (kinds or ("done",))]
    finally:
        desk.close()


def test_a_day_is_logged_with_one_thumb(fresh, page_at):
    """Begin, done with another figure, taken back within the minute, done again, and put right later."""
    served = fresh("one-board", now=MORNING)
    page = page_at(served.address)
    step = page.locator(".now .count").inner_text()
    page.get_by_role("button", name="Begin").click()
    expect(page.locator("#h-now")).to_contain_text("since 8:0")
    page.get_by_role("link", name="Next", exact=True).click()
    page.locator("#log summary").click()
    page.locator("#log .pick", has_text="high").click()
    page.get_by_role("button", name="Done").click()
    expect(page.locator(".undo")).to_contain_text("done")
    first = told(served)
    assert len(first) == 1 and first[0].took_min and first[0].task
    page.get_by_role("button", name="Take it back").click()
    expect(page.get_by_role("button", name="Done")).to_be_visible()
    assert not told(served)
    assert page.locator(".now .count").inner_text() == step
    page.get_by_role("button", name="Done").click()
    expect(page.locator(".undo")).to_be_visible()
    page.locator(".told a").first.click()
    page.locator("#took").fill("25")
    page.get_by_role("button", name="Keep it").click()
    expect(page.locator(".told")).to_contain_text("25")
    assert [e.took_min for e in told(served)] == [25]


def test_the_buttons_are_for_a_thumb(bench, page_at):
    """Targets of the log are 52 px high or more, and none is narrower than a thumb; nothing runs off the side."""
    page = page_at(bench.address)
    boxes = [b.bounding_box() for b in page.locator("#log .press:visible").all()]
    assert len(boxes) >= 3
    for box in boxes:
        assert box and box["height"] >= 52 and box["width"] >= 44
    for width in (320, 390, 768, 1280, 1600):
        page.set_viewport_size({"width": width, "height": 844})
        assert page.evaluate("document.documentElement.scrollWidth") <= width


def test_entries_made_out_of_reach_are_sent_once_and_in_order(fresh, page_at):
    """Two entries kept on the phone; both arrive when it is in reach, in order, at the time of the press."""
    served = fresh("one-board", now=MORNING)
    served.app.state.keeper.look = lambda: None  # no new plan, for which the page would load itself anew
    with served.client() as visit:
        key = form_key(visit)
        step = visit.get("/api/today").json()["now"][0]["id"]
        done = {"form_key": key, "piece": "one-board", "task": step, "event": "done"}
        assert visit.post("/log", data=done).status_code == 303
    page = page_at(served.address + "/?next=yes")
    page.context.set_offline(True)
    page.evaluate("""() => {
      const form = document.querySelector('#log form');
      window.sentBack = form.cloneNode(true);
    }""")
    page.get_by_role("button", name="Begin").click()
    expect(page.locator("#kept")).to_contain_text("Kept on this phone: 1 entry.")
    page.evaluate("document.querySelector('#log').append(window.sentBack)")
    page.get_by_role("button", name="Done").click()
    expect(page.locator("#kept")).to_contain_text("Kept on this phone: 2 entries.")
    assert len(told(served, "started", "done")) == 1
    page.context.set_offline(False)
    page.evaluate("window.dispatchEvent(new Event('online'))")
    expect(page.locator("#kept")).to_be_hidden()
    expect(page.locator(".told li")).to_have_count(3)
    page.evaluate("window.dispatchEvent(new Event('online'))")
    assert [e.kind for e in told(served, "started", "done")] == ["done", "started", "done"]


def test_two_phones_on_one_step(fresh, page_at):
    """The second is told in a sentence that the first was quicker; the step counts once."""
    served = fresh("one-board", now=MORNING)
    first, second = page_at(served.address), page_at(served.address)
    first.get_by_role("button", name="Done").click()
    expect(first.locator(".undo")).to_be_visible()
    second.get_by_role("button", name="Done").click()
    expect(second.locator("#kept")).to_contain_text("is told already")
    assert len(told(served)) == 1


def test_it_works_without_script(fresh, page_at):
    """Done, taken back, a note and a fault, by plain forms."""
    served = fresh("one-board", now=MORNING)
    page = page_at(served.address, script=False)
    page.get_by_role("button", name="Done").click()
    expect(page.locator(".undo")).to_contain_text("Logged")
    page.get_by_role("button", name="Take it back").click()
    expect(page.get_by_role("button", name="Done")).to_be_visible()
    page.get_by_role("link", name="Note").click()
    page.locator("#words").fill("The <script>alert(1)</script> lid was loose")
    page.get_by_role("button", name="Keep it").click()
    expect(page.locator(".told")).to_contain_text("<script>alert(1)</script> lid was loose")
    page.goto(served.address + "/log/fault")
    seen = page.locator(".pick").first
    name, seen_id = seen.inner_text().strip().splitlines()[0], seen.locator("input").get_attribute("value")
    seen.click()
    page.get_by_role("button", name="Keep it").click()
    expect(page.locator(".told")).to_contain_text(f"Fault: {name.lower()}")
    assert [e.what for e in told(served, "fault")] == [seen_id]


def test_one_press_sent_twice_is_one_entry(fresh):
    """The same form sent again, as by a hasty thumb."""
    served = fresh("one-board", now=MORNING)
    with served.client() as visit:
        page = visit.get("/").text
        log = page[page.index('id="log"') :]
        fields = dict(re.findall(r'<input type="hidden" name="(\w+)" value="([^"]*)"', log))
        for _ in range(2):
            answer = visit.post("/log", data={**fields, "event": "done"})
            assert answer.status_code == 303
    assert len(told(served)) == 1


def test_a_picture_is_drawn_anew_without_place(fresh):
    """EXIF, size and kind: what is kept is a plain JPEG of at most 2000 pixels."""
    served = fresh("one-board", now="8 Feb 2027 8:00")
    made = BytesIO()
    photo = Image.new("RGB", (3000, 1500), (120, 80, 40))
    exif = photo.getexif()
    exif[0x0110] = "camera"
    exif.get_ifd(0x8825)[2] = (45.0, 30.0, 0.0)
    photo.save(made, "JPEG", exif=exif)
    with served.client() as visit:
        key = form_key(visit, "/log/picture?piece=one-board")
        sent = visit.post(
            "/log/picture", data={"form_key": key, "piece": "one-board"}, files={"photo": ("a.jpg", made.getvalue())}
        )
        assert sent.status_code == 303, sent.text
        kept = told(served, "photo")[0].photo
        shown = visit.get(f"/photographs/{kept}")
    picture = Image.open(BytesIO(shown.content))
    assert shown.headers["content-type"] == "image/jpeg" and max(picture.size) == 2000
    assert not dict(picture.getexif()) and b"Exif" not in shown.content


def test_the_wall_says_the_time_and_the_air(bench):
    """Time, temperature and humidity stand at the top, each with its unit."""
    page = httpx.get(bench.address).text
    assert re.search(r"10 February, 9:2\d", page)
    assert re.search(r"Shop \d+\s*°F, \d+\s*% RH", page.replace("\N{NO-BREAK SPACE}", " ").replace("&nbsp;", " "))
