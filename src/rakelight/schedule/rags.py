"""What is wet with drying oil is seen to at once, before the next step: it can take fire by itself in hours."""

from __future__ import annotations

from rakelight.facts.load import Facts
from rakelight.schedule.tasks import NO_RAGS, Task
from rakelight.spread import Spread

#: what a maker reads at that line
RAGS = "Rags at once: each flat and single outdoors, or under water in a lidded can"


def rags_after(task: Task, facts: Facts) -> Spread:
    """Minutes for rags, wool and pads after a session; none where nothing is wet with drying oil.

    Source: `rags_min` of the figures (judged); that it is done at once, common practice and fire codes.
    """
    wet = {task.lay.material} if task.lay else set()
    if task.do == "rub" and task.scheduled:
        wet.add(task.scheduled.wet_material)
    hot = any(facts.materials[name].self_heating_rags for name in wet if name in facts.materials)
    return facts.figures["rags_min"].value if hot else NO_RAGS
