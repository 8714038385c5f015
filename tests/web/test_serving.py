"""`rakelight serve`: it answers, says it is ready, and ends at once."""

from __future__ import annotations

import signal
import time

from .conftest import DESK


def test_it_answers_and_says_it_is_ready(bench):
    """The first page and the address that says ready."""
    assert bench.get("/healthz").json()["says"] == "ready"
    first = bench.get("/")
    assert first.status_code == 200 and "<h2" in first.text


def test_the_interface_describes_itself(bench):
    """OpenAPI stands where the issue says."""
    told = bench.get("/api/openapi.json").json()
    assert told["openapi"].startswith("3.") and "/healthz" in told["paths"]


def test_ctrl_c_ends_it_within_two_seconds(fresh):
    """And nothing is printed that frightens."""
    served = fresh("one-board", more=("--port", "0"))
    served.get("/")  # a plan is under way beside the page
    began = time.monotonic()
    served.process.send_signal(signal.SIGINT)
    assert served.process.wait(5) == 0
    assert time.monotonic() - began < 2


def test_a_taken_port_is_said_in_one_sentence(bench):
    """Another server on the same port."""
    import subprocess
    import sys

    port = bench.address.rpartition(":")[2]
    line = [sys.executable, "-m", "rakelight", "serve", "--port", port, "--file", str(bench.shop_file)]
    run = subprocess.run(line, capture_output=True, text=True, timeout=30, check=False)
    assert run.returncode == 2 and f"Port {port} is taken" in run.stderr and "Traceback" not in run.stderr


def test_the_bench_opens_in_a_browser(bench, page_at):
    """The plan is on the page, and no style or script is refused."""
    page = page_at(bench.address, size=DESK)
    assert page.locator("h2").first.inner_text() == "Now"
