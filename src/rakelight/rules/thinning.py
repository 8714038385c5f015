"""Rule: a coat thinned so far that it leaves no film."""

from __future__ import annotations

from collections.abc import Iterator

from rakelight.rules.case import Case
from rakelight.rules.registry import WARNING, Hit, rule
from rakelight.rules.words import capital


@rule("thinned-to-nothing", "layers", "A coat thinned so far that it leaves no film.")
def thinned_to_nothing(case: Case) -> Iterator[Hit]:
    least = case.facts.figure("film_low_solids")
    for task in case.tasks.values():
        lay = task.lay
        if task.do != "coat" or lay is None or not lay.thin or lay.dry_um > 0 or lay.solids_volume is None:
            continue
        row = case.facts.materials[lay.material]
        before = lay.solids_volume.likely * (1 + lay.thin)  # thinner is told as a share of the finish taken
        if row.coats_join == "absorbed" or "film" not in row.roles or before < least.value.likely:
            continue
        most = int((before / least.value.likely - 1) * 20) * 5
        says = (
            f"{capital(row.name)} thinned by {lay.thin * 100:.0f} % keeps {lay.solids_volume.likely * 100:.0f} % "
            "solids: it leaves no film to speak of."
        )
        nearest = f'Thin it by {most} % at most, thin = "{most} %"' if most else "Lay it unthinned"
        mend = f"{nearest}; a first coat that thin is a seal: do = \"seal\"."
        figures = {"thin": lay.thin, "most_thin": most / 100, "solids": lay.solids_volume.likely}
        yield Hit(WARNING, says, mend, least.source, task.part, "", task.id, figures)
