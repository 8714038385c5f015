"""Faults help as plain data, schema 1: keys are only ever added."""

from __future__ import annotations

from typing import Any

from rakelight.desk.fault_help import FaultHelp


def fault_json(help_: FaultHelp) -> dict[str, Any]:
    """What to do about a fault, and what it likely came from."""
    coat, remedy = help_.coat, help_.remedy
    return {
        "fault": help_.fault.name,
        "now": help_.fault.now,
        "coat": {
            "id": coat.task, "part": coat.part, "faces": list(coat.faces), "with": coat.row.id,
            "laid": coat.start.isoformat(timespec="minutes"), "can": coat.can,
        },
        "causes": [
            {"cause": c.cause.cause, "share": round(c.share, 2), "tells": c.tells, "because": c.because,
             "next_time": c.cause.next_time, "source": c.cause.source.text, "kind": c.cause.source.kind.value}
            for c in help_.causes
        ],
        "do": {
            "way": remedy.way, "says": remedy.says,
            "decide_by": remedy.decide_by.isoformat(timespec="minutes") if remedy.decide_by else None,
            "then": remedy.then, "reach": remedy.reach, "reach_says": remedy.reach_says, "clean": remedy.clean,
            "again": list(remedy.again), "before": help_.before,
        },
    }  # fmt: skip
