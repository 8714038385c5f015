"""When the piece is ready for full use."""

from __future__ import annotations

from collections.abc import Iterable

from rakelight.plan.model import Plan, Ready
from rakelight.schedule.tasks import Job


def full_use(jobs: Iterable[Job], plan: Plan) -> Ready | None:
    """When all that was laid on parts is ready for full use; None where nothing was laid, or it is never."""
    uses = [
        r
        for job in jobs
        for t in job.tasks
        if t.id in plan.placed and not t.board
        for r in plan.placed[t.id].ready
        if r.for_ == "use"
    ]
    known = [r for r in uses if r.likely]
    if not known or len(known) < len(uses):
        return None
    return max(known, key=lambda r: r.likely or plan.placed[next(iter(plan.placed))].end)
