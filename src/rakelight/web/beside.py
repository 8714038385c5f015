"""Work beside the page: a process of its own reckons, tells how far it is, and can be stopped."""

from __future__ import annotations

import os
import pickle
import subprocess
import sys
import traceback
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass, field
from pathlib import Path
from queue import Empty, Queue
from threading import Event, RLock, Thread
from typing import IO, Any

#: seconds after which a process with nothing to do ends
_IDLE_S = 120.0


@dataclass
class Job:
    """One thing to reckon."""

    call: str  # "package.module:function"
    args: tuple[Any, ...]
    on_part: Callable[[Any, bool], None]
    on_fault: Callable[[str], None]
    said: str = ""
    cancelled: bool = False
    result: Any = None
    fault: str = ""
    _end: Event = field(default_factory=Event)
    _stop: Callable[[], None] = lambda: None

    @property
    def ended(self) -> bool:
        """Whether it is over, one way or another."""
        return self._end.is_set()

    def wait(self, seconds: float) -> bool:
        """Wait for the end; whether it is over."""
        return self._end.wait(seconds)

    def cancel(self) -> None:
        """Stop it; what it told before stands."""
        self.cancelled = True
        self._stop()


class Beside:
    """A process beside the pages that does one job after another; it is begun when first needed."""

    def __init__(self, path: Path) -> None:
        self.path = path
        self._lock = RLock()
        self._jobs: Queue[Job | None] = Queue()
        self._process: subprocess.Popen[bytes] | None = None
        self._thread: Thread | None = None
        self._closed = False

    def start(
        self,
        call: str,
        args: tuple[Any, ...] = (),
        on_part: Callable[[Any, bool], None] = lambda part, is_last: None,
        on_fault: Callable[[str], None] = lambda says: None,
    ) -> Job:
        """Begin a job, after those begun before.

        Parameters: call, "package.module:function", called there with the shop's file, a function that tells a part
        (and whether it is the last), one that says how far it is, and args; on_part and on_fault are called from
        another thread.
        """
        job = Job(call, args, on_part, on_fault)
        job._stop = lambda: self._stop(job)
        with self._lock:
            self._jobs.put(job)
            if self._thread is None or not self._thread.is_alive():
                self._thread = Thread(target=self._run, name="beside", daemon=True)
                self._thread.start()
        return job

    def close(self) -> None:
        """End the process at once."""
        self._closed = True
        self._jobs.put(None)
        self._kill()

    def _stop(self, job: Job) -> None:
        with self._lock:
            if not job.ended:
                self._kill()

    def _kill(self) -> None:
        process = self._process
        if process and process.poll() is None:
            process.kill()

    def _run(self) -> None:
        while True:
            try:
                job = self._jobs.get(timeout=_IDLE_S)
            except Empty:
                with self._lock:
                    if self._jobs.empty():
                        self._kill()
                        self._thread = None
                        return
                continue
            if job is None or self._closed:
                return
            try:
                if not job.cancelled:
                    self._do(job)
            except Exception as bad:  # whatever it was, the pages go on and the next job is begun anew
                self._kill()
                if not job.cancelled and not self._closed:
                    traceback.print_exception(bad)
                    job.fault = "The work beside the page broke off. The last plan stands."
            finally:
                if job.fault:
                    job.on_fault(job.fault)
                job._end.set()

    def _do(self, job: Job) -> None:
        process = self._alive()
        assert process.stdin and process.stdout
        send(process.stdin, (job.call, job.args))
        while True:
            try:
                kind, told = receive(process.stdout)
            except EOFError:
                process.wait()
                if not job.cancelled and not self._closed:
                    job.fault = "The work beside the page broke off. The last plan stands."
                return
            if kind == "says":
                job.said = told
            elif kind == "fault":
                job.fault = told
                return
            elif kind in ("part", "last"):
                job.result = told
                job.on_part(told, kind == "last")
                if kind == "last":
                    return

    def _alive(self) -> subprocess.Popen[bytes]:
        with self._lock:
            if self._process is None or self._process.poll() is not None:
                self._process = subprocess.Popen(
                    [sys.executable, "-m", "rakelight.web.hand", str(self.path)],
                    stdin=subprocess.PIPE, stdout=subprocess.PIPE, env=os.environ | {"PYTHONPATH": _paths()},
                )  # fmt: skip
            return self._process


def _paths() -> str:
    return os.pathsep.join(p for p in sys.path if p)


def send(to: IO[bytes], told: object) -> None:
    """Write one thing, its length before it."""
    body = pickle.dumps(told, pickle.HIGHEST_PROTOCOL)
    with suppress(BrokenPipeError):
        to.write(len(body).to_bytes(8, "big") + body)
        to.flush()


def receive(source: IO[bytes]) -> Any:
    """Read one thing; raises EOFError where the other end is gone."""
    head = source.read(8)
    if len(head) < 8:
        raise EOFError
    length = int.from_bytes(head, "big")
    body = source.read(length)
    if len(body) < length:
        raise EOFError
    return pickle.loads(body)
