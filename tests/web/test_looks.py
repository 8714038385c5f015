"""How the pages look to all: axe finds nothing serious, light and dark, no number without its unit, small in weight."""

from __future__ import annotations

import gzip
import re

import httpx
import pytest

from .conftest import CONTRAST, DESK, PHONE, faults_of_access

PAGES = (
    "/", "/shop/air", "/log/several", "/log/fault", "/log/note", "/log/picture", "/catch-up", "/more", "/devices",
    "/api", "/nowhere",
)  # fmt: skip
#: words that never stand on a page
_BANNED = r"\b(state|dose|finding|task|project|item|status|error|event)s?\b"


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_nothing_serious_is_found(bench, page_at, scheme):
    """Every page, at a phone's width and at a desk's, light and dark; contrast among the rest."""
    page = page_at(bench.address, scheme=scheme)
    only = CONTRAST if scheme == "dark" else ()
    for path in PAGES:
        page.goto(bench.address + path)
        assert not faults_of_access(page, only), path
    page.set_viewport_size(DESK)
    page.goto(bench.address)
    assert not faults_of_access(page, only)
    back = page.evaluate("getComputedStyle(document.body).backgroundColor")
    assert (sum(map(int, re.findall(r"\d+", back)[:3])) > 380) == (scheme == "light")


def test_a_scheme_may_be_chosen(bench, page_at):
    """Dark in a light room, and back."""
    page = page_at(bench.address + "/more")
    page.get_by_role("button", name="Dark").click()
    assert page.locator("html").get_attribute("data-scheme") == "dark"
    page.get_by_role("button", name="As the device").click()
    assert page.locator("html").get_attribute("data-scheme") is None


def test_the_keyboard_reaches_everything(bench, page_at):
    """From the first link to Done, each step with a ring around it."""
    page = page_at(bench.address, size=DESK)
    page.keyboard.press("Tab")
    assert "To the log" in page.evaluate("document.activeElement.textContent")
    names = []
    for _ in range(80):
        page.keyboard.press("Tab")
        names.append(page.evaluate("document.activeElement.textContent.trim().slice(0, 20)"))
        if names[-1] == "Note":
            break
    assert "Done" in names and "Note" in names


def test_words_of_the_trade_alone(bench):
    """No word of the workshop of programs on a page."""
    for path in PAGES:
        text = re.sub(r"<(script|style|svg|code)[\s\S]*?</\1>|<[^>]+>", " ", httpx.get(bench.address + path).text)
        assert not re.search(_BANNED, text, re.IGNORECASE), (path, re.search(_BANNED, text, re.IGNORECASE))


def test_a_page_weighs_little(bench, page_at):
    """The bench with all it loads: under 200 kB, uncompressed."""
    page = page_at("about:blank", size=PHONE)
    weights: list[int] = []
    page.on("response", lambda answer: weights.append(len(answer.body())))
    page.goto(bench.address, wait_until="networkidle")
    assert 0 < sum(weights) < 200_000
    assert len(gzip.compress(httpx.get(bench.address + "/static/page.css").content)) < 20_000
