"""A part that is to be joined from others does not dry before it is there: those it is joined from do."""

from datetime import timedelta

from rakelight.facts import load
from rakelight.papers.today import today_of

FACTS = load()


def test_what_is_not_joined_yet_neither_dries_nor_is_tested(planned):
    answer = planned("music-cabinet")
    placed, jobs = answer.plan.placed, answer.work.jobs
    joined = {name: min(placed[t.id].end for t in job.tasks if t.id in placed) for name, job in jobs.items()
              if job.begins_after}  # fmt: skip
    assert len(joined) == 3
    moment, waits = answer.plan.now, set()
    for _ in range(30 * 8):
        moment += timedelta(hours=3)
        today = today_of({"c": answer}, moment, FACTS)
        for row in (*today.drying, *today.tests):
            assert row.part not in joined or joined[row.part] <= moment, (moment, row)
        waits |= {(row.part, row.task) for row in today.drying if row.task.endswith("/join")}
    assert {task for _, task in waits} == {"drawer/join", "cabinet/join"}
    assert all(part in jobs[task.split("/")[0]].begins_after for part, task in waits)
