"""On the shop's network: paired over an address that is not the loop's, where the browser counts nothing as secure."""

from __future__ import annotations

import asyncio
import re
import ssl
from concurrent.futures import ThreadPoolExecutor

import httpx
import pytest
from playwright.sync_api import expect

from rakelight.web.addresses import own_addresses
from rakelight.web.certificate import certificate_for

from .conftest import stop


@pytest.fixture(scope="module")
def address():
    """An address of this machine on a network."""
    with ThreadPoolExecutor(1) as beside:  # the browser has a loop of its own in this thread
        found = beside.submit(lambda: asyncio.run(own_addresses())).result()
    if not found:
        pytest.skip("this machine is on no network")
    return found[0]


def test_a_phone_is_paired_and_tells(fresh, page_at, address):
    """The code's link opens once; the bench works without a secure context, out of reach too."""
    served = fresh("one-board", now="8 Feb 2027 8:00", lan=True)
    port = served.address.rpartition(":")[2]
    away = f"http://{address}:{port}"
    assert httpx.get(away).status_code == 403
    with served.client() as here:
        key = re.search(r'name="form_key" value="(\w+)"', here.get("/devices").text)[1]
        page_text = here.post("/devices/link", data={"form_key": key}).text
    link = re.search(rf"{re.escape(away)}/pair/[\w-]+", page_text)[0]
    page = page_at(link)
    assert page.evaluate("window.isSecureContext") is False
    page.get_by_role("textbox").fill("Bench phone")
    page.get_by_role("button", name="Pair it").click()
    expect(page.locator("#h-now")).to_be_visible()
    page.context.set_offline(True)
    page.get_by_role("button", name="Begin").click()
    expect(page.locator("#kept")).to_contain_text("Kept on this phone: 1 entry.")
    page.context.set_offline(False)
    page.evaluate("window.dispatchEvent(new Event('online'))")
    expect(page.locator("#h-now")).to_contain_text("since")
    assert httpx.get(link).status_code == 403


def test_the_certificate_is_for_this_computer_alone(tmp_path, address):
    """It names its addresses, is kept, and is made anew for another address."""
    from cryptography import x509

    first = certificate_for([address, "localhost"], tmp_path / "shop")
    again = certificate_for(["localhost"], tmp_path / "shop")
    other = certificate_for(["192.0.2.7", "localhost"], tmp_path / "shop")
    assert first.fingerprint == again.fingerprint != other.fingerprint
    found = x509.load_pem_x509_certificate(other.chain.read_bytes())
    names = found.extensions.get_extension_for_class(x509.SubjectAlternativeName).value
    assert [str(ip) for ip in names.get_values_for_type(x509.IPAddress)] == ["192.0.2.7"]
    assert other.key.stat().st_mode & 0o077 == 0
    keys = [p for p in tmp_path.iterdir() if b"PRIVATE KEY" in p.read_bytes()]
    assert keys == [other.key]  # the authority's own key is nowhere


def test_https_answers_with_it(fresh, tmp_path):
    """A client that trusts the authority comes in; one that does not is refused."""
    served = fresh("one-board", more=("--https",))
    port = served.address.rpartition(":")[2]
    authority = next(served.shop_file.parent.glob("*-authority.crt"))
    trusting = ssl.create_default_context(cafile=str(authority))
    answer = httpx.get(f"https://localhost:{port}/healthz", verify=trusting, timeout=30)
    assert answer.json()["says"] == "ready"
    assert "Secure" in httpx.get(f"https://localhost:{port}/", verify=trusting, timeout=30).headers["set-cookie"]
    with pytest.raises(httpx.ConnectError):
        httpx.get(f"https://localhost:{port}/healthz", timeout=30)


def test_over_https_the_bench_opens_out_of_reach_and_keeps_what_is_told(fresh, page_at):
    """The page is opened anew while the computer does not answer; what is pressed then is kept."""
    served = fresh("one-board", now="8 Feb 2027 8:00", https=True)
    page = page_at(served.address)
    assert page.evaluate("fetch('/manifest.webmanifest').then(a => a.json()).then(m => m.start_url)") == "/"
    page.evaluate("navigator.serviceWorker.ready.then(() => true)")
    stop(served)
    page.goto(served.address + "/pieces")
    expect(page.locator("#kept")).to_contain_text("Out of reach of the shop's computer")
    page.get_by_role("button", name="Begin").click()
    expect(page.locator("#kept")).to_contain_text("Kept on this phone: 1 entry.")
