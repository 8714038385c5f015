"""Work done beside the work at hand, on another core: in a copy of this process, where one is to be had."""

from __future__ import annotations

import gc
import os
import pickle
import signal
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from typing import NoReturn, TypeVar

T = TypeVar("T")


@contextmanager
def beside(do: Callable[[], T]) -> Iterator[Callable[[], T]]:
    """Begin something beside what the block does; what is given back waits for it and says what came of it.

    `do` must change nothing that is looked at afterwards, and its answer must be such as can be pickled. Where there
    is one core, another thread, or no fork, it is done in this process when it is asked for. So it is where the copy
    fails: what went wrong there goes wrong here again, and is raised here.
    """
    child = _begun(do) if may_fork() else None
    if child is None:
        yield do
        return
    process, pipe = child
    left = [process]

    def came() -> T:
        answer = _read(pipe)
        _, state = os.waitpid(left.pop(), 0)
        found: T = pickle.loads(answer) if state == 0 else do()
        return found

    try:
        yield came
    finally:
        os.close(pipe)
        for one in left:  # not waited for: nothing of it is left behind
            with suppress(OSError):
                os.kill(one, signal.SIGKILL)
                os.waitpid(one, 0)


def may_fork() -> bool:
    """Whether this process has one thread, and more than one core to itself."""
    if not hasattr(os, "fork") or threading.active_count() > 1:
        return False
    return len(os.sched_getaffinity(0)) > 1 if hasattr(os, "sched_getaffinity") else (os.cpu_count() or 1) > 1


def _begun(do: Callable[[], object]) -> tuple[int, int] | None:
    """The number of the copy, and the end of a pipe to read its answer from; None where none is to be had."""
    try:
        pipe, into = os.pipe()
    except OSError:
        return None
    try:
        process = os.fork()
    except OSError:
        os.close(pipe)
        os.close(into)
        return None
    if process == 0:
        _in_the_copy(do, into)
    os.close(into)
    return process, pipe


def _in_the_copy(do: Callable[[], object], into: int) -> NoReturn:
    """Do it, write the answer and end, whatever happens; nothing half written by the first process is written here."""
    state = 1
    try:
        signal.signal(signal.SIGINT, signal.SIG_DFL)
        gc.disable()
        answer = memoryview(pickle.dumps(do()))
        while answer:
            answer = answer[os.write(into, answer) :]
        state = 0
    finally:
        os._exit(state)


def _read(pipe: int) -> bytes:
    parts = []
    while part := os.read(pipe, 1 << 16):
        parts.append(part)
    return b"".join(parts)
