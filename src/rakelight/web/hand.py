"""The process beside the pages: reads jobs from its input, one after another, and tells what comes of them."""

from __future__ import annotations

import signal
import sys
import traceback
from importlib import import_module
from pathlib import Path

from rakelight.errors import RakelightError
from rakelight.web.beside import receive, send


def main() -> None:
    """Work until the input ends."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # the pages end us
    jobs, answers = sys.stdin.buffer, sys.stdout.buffer
    sys.stdout = sys.stderr
    path = Path(sys.argv[1])
    while True:
        try:
            call, args = receive(jobs)
        except EOFError:
            return
        try:
            module, _, name = call.partition(":")
            function = getattr(import_module(module), name)
            function(
                path,
                lambda told, is_last: send(answers, ("last" if is_last else "part", told)),
                lambda says: send(answers, ("says", says)),
                *args,
            )
        except RakelightError as bad:
            send(answers, ("fault", str(bad)))
        except Exception:
            traceback.print_exc()
            send(answers, ("fault", "A fault of rakelight itself, not of what you did. The last plan stands."))


if __name__ == "__main__":
    main()
