"""Work beside the work at hand: the same answers and faults as in this process, and nothing left behind.

Each test runs in a process of its own, since the one that runs the tests has threads.
"""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
HEAD = """
import os, signal, sys, threading, time
from rakelight.plan import beside as room
from rakelight.plan.beside import beside, may_fork

def no_child_left():
    try:
        os.waitpid(-1, os.WNOHANG)
    except ChildProcessError:
        return True
    return False

here = os.getpid()
room.may_fork = lambda: True
"""


def run(script: str) -> subprocess.CompletedProcess[str]:
    """A script after the head, in a process of its own."""
    return subprocess.run([sys.executable, "-c", HEAD + script], capture_output=True, text=True, cwd=ROOT, timeout=60)


def says(script: str) -> str:
    """What it prints, once it has ended well."""
    found = run(script)
    assert found.returncode == 0, found.stderr
    return found.stdout.strip()


pytestmark = pytest.mark.skipif(not hasattr(os, "fork"), reason="no fork here")


def test_it_is_done_elsewhere_and_comes_back_whole() -> None:
    """A long answer of plain data, from another process."""
    script = """
with beside(lambda: (os.getpid(), list(range(200_000)))) as came:
    other, numbers = came()
print(other != here, numbers == list(range(200_000)), no_child_left())
"""
    assert says(script) == "True True True"


def test_what_goes_wrong_there_is_raised_here() -> None:
    """A fault is as if it had happened here, and nothing is left behind."""
    script = """
def wrong():
    raise ValueError("too cold")
try:
    with beside(wrong) as came:
        came()
except ValueError as bad:
    print(bad, no_child_left())
"""
    assert says(script) == "too cold True"


def test_an_answer_that_cannot_be_sent_is_worked_out_here() -> None:
    """A function cannot be pickled."""
    assert says("with beside(lambda: (lambda: 7)) as came: print(came()(), no_child_left())") == "7 True"


def test_a_copy_that_is_killed_is_worked_out_here() -> None:
    """As where memory runs out."""
    script = """
def do():
    if os.getpid() != here:
        os.kill(os.getpid(), signal.SIGKILL)
    return 7
with beside(do) as came:
    print(came(), no_child_left())
"""
    assert says(script) == "7 True"


def test_what_is_not_asked_for_is_ended() -> None:
    """The block goes wrong before the answer is asked for: the copy does not work on."""
    script = """
begun = time.monotonic()
try:
    with beside(lambda: time.sleep(30)):
        raise KeyError
except KeyError:
    print(no_child_left(), time.monotonic() - begun < 10)
"""
    assert says(script) == "True True"


def test_nothing_is_printed_twice() -> None:
    """What the first process has not yet written out is not written by the copy."""
    script = """
sys.stdout.write("once ")
with beside(lambda: 7) as came:
    came()
"""
    assert says(script) == "once"


def test_not_beside_another_thread() -> None:
    """A copy has one thread only, and what the others held stays held: so it is done here."""
    script = """
stop = threading.Event()
threading.Thread(target=stop.wait).start()
print(may_fork())
stop.set()
"""
    assert says(script) == "False"


def test_not_on_one_core() -> None:
    """Nothing is won where there is one core."""
    if not hasattr(os, "sched_setaffinity"):
        pytest.skip("cores cannot be given up here")
    script = """
os.sched_setaffinity(0, [min(os.sched_getaffinity(0))])
print(may_fork())
"""
    assert says(script) == "False"


def test_a_plan_is_the_same_either_way() -> None:
    """Dates, odds, warnings and amounts of a plan with its odds reckoned beside and in one process."""
    script = """
import json
from pathlib import Path
from rakelight.as_json import plan_json
from rakelight.desk import open_desk
from rakelight.plan import planning
from rakelight.units import read_date

def told(fork):
    room.may_fork = lambda: fork
    desk = open_desk(Path("examples/one-board.toml"), Path("examples/shop-fair.toml"),
                     now=read_date("8 Feb 2027 8:00"), log_path=Path("never-written.jsonl"))
    return json.dumps(plan_json(desk.plan(odds="dates")))
one = told(True)
print(one == told(False), '"odds"' in one, no_child_left())
"""
    assert says(script) == "True True True"
