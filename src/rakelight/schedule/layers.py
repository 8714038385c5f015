"""Folds the sessions of a part into what lies on each of its faces. Pure; knows no clock."""

from __future__ import annotations

from dataclasses import dataclass, replace

from rakelight.facts.load import Facts
from rakelight.facts.names import find_lubricant
from rakelight.facts.records import Material
from rakelight.piece.model import Part
from rakelight.schedule.film_of import fepa
from rakelight.schedule.tasks import Job, Lay, Task, Work

#: verbs that take something off
TAKING = ("sand", "scuff", "level", "rub")
#: words of an own step that cleans a surface before a coat
_CLEANS = ("clean", "wipe", "wash", "degrease", "naphtha")


@dataclass(frozen=True)
class Layer:
    """One coat as it lies on a face once all steps are done."""

    material: str
    kind: str  # oil, colour, filler, size, wax, bleach, film
    task: str  # id
    part: str  # whose task it was: a member's layers go on in the part it is joined into
    do: str  # the verb
    by: str  # brush, wipe, pad, spray, trowel
    laid_um: float = 0.0  # dry film put on the flat
    dry_um: float = 0.0  # what is left of it at the end
    arris_laid_um: float = 0.0
    arris_um: float = 0.0
    coat: int = 1
    of: int = 1
    on_bare: bool = False  # nothing but colour, bleach or raised grain beneath
    abraded_before: str = ""  # verb that abraded the layer beneath; ""
    contaminated_by: str = ""  # what was on the surface: steel wool, paste wax, silicone oil, mineral oil
    cut: float | None = None
    thin: float | None = None
    solids: float = 0.0  # share by volume as laid, likely


@dataclass(frozen=True)
class Take:
    """One sanding or rubbing: what it takes, and what was there."""

    task: str
    part: str
    do: str
    grit: int
    abrasive: str
    wet: str
    removes_um: float
    took_um: float  # of film, never more than was there
    film_um: float  # whole film before it
    last_um: float  # the coat on top before it
    last_laid_um: float
    arris_film_um: float
    arris_last_um: float
    arris_removes_um: float
    over: int  # layers beneath it; 0 is bare wood
    first_grit: int = 0  # of several papers the first, FEPA P


@dataclass(frozen=True)
class Stack:
    """What lies on one face, from the wood up, and what was taken off on the way."""

    layers: tuple[Layer, ...] = ()
    takes: tuple[Take, ...] = ()
    abraded: str = ""  # abraded since the last layer, by this verb
    contaminated_by: str = ""
    old_um: float = 0.0  # film of an earlier finish that stays beneath it all; not among the layers
    old_of: str = ""  # its material; "" not known

    @property
    def film_um(self) -> float:
        """Whole film on the flat at the end, that of an earlier finish not counted."""
        return sum([layer.dry_um for layer in self.layers])

    @property
    def films(self) -> tuple[Layer, ...]:
        """Layers that leave a film."""
        return tuple(layer for layer in self.layers if layer.laid_um > 0)

    @property
    def bare(self) -> bool:
        """No layer but colour, bleach or raised grain; oiled wood counts as sealed."""
        if not self.layers:
            return not self.old_um
        top = self.layers[-1]  # it was told, when it was laid, what lay beneath it
        return top.on_bare and top.kind in ("colour", "bleach")


Faces = dict[str, tuple[Stack, ...]]

#: what a sanding leaves that a coat would not hold on, by lubricant and abrasive
Left = dict[tuple[str, str, str], str]

_EMPTY = Stack()
_BARE = (_EMPTY,)


def kind_of(material: Material) -> str:
    """What sort of layer a material makes."""
    roles = material.roles
    if material.is_oil:
        return "oil"
    for role, kind in (
        ("filler", "filler"),
        ("film", "film"),
        ("wax", "wax"),
        ("size", "size"),
        ("sealer", "film"),
    ):
        if role in roles:
            return kind
    return "bleach" if "colour_removal" in roles else "colour"


def stacks_of_work(work: Work, facts: Facts) -> dict[str, Faces]:
    """What lies on every face of every part. A face of a joined part may carry several stacks."""
    known: dict[str, Faces] = {}
    left: Left = {}
    for name, job in work.jobs.items():
        known[name] = _fold(job, _begin(job, known), facts, left)
    return known


def _begin(job: Job, known: dict[str, Faces]) -> Faces:
    found: Faces = {}
    for face in job.part.faces:
        stacks: list[Stack] = []
        for part, name in job.faces_from.get(face.name, ()):
            stacks += [s for s in known.get(part, {}).get(name, (Stack(),)) if s not in stacks]
        old = job.part.old_on(face.name)
        bare = (Stack(old_um=old.film_um, old_of=old.material),) if old else _BARE
        found[face.name] = tuple(stacks) or bare
    return found


def _fold(job: Job, faces: Faces, facts: Facts, left: Left) -> Faces:
    share = _arris_share(job.part, facts)
    for task in job.tasks:
        if task.board or task.lot[0] != 1 or not (task.lay or task.do in TAKING or task.do == "own"):
            continue
        same: dict[int, Stack] = {}  # faces with one past are folded once
        whole: dict[int, tuple[Stack, ...]] = {}
        before = [(name, faces.get(name, _BARE)) for name in task.faces or faces]
        for name, stacks in before:
            after = whole.get(id(stacks))
            if after is None:
                for stack in stacks:
                    if id(stack) not in same:
                        same[id(stack)] = _after(stack, task, share, facts, left)
                after = whole[id(stacks)] = tuple([same[id(stack)] for stack in stacks])
            faces[name] = after
    return faces


def _after(stack: Stack, task: Task, share: float, facts: Facts, left: Left) -> Stack:
    """A stack after one session; `share`, of the film that stays on this part's arris."""
    if task.lay:
        return _laid(stack, task, task.lay, share, facts)
    if task.do in TAKING:
        return _taken(stack, task, facts, left)
    if task.do == "own" and any(word in task.step.lower() for word in _CLEANS):
        return replace(stack, contaminated_by="")
    return stack


def _laid(stack: Stack, task: Task, lay: Lay, share: float, facts: Facts) -> Stack:
    material = facts.materials[lay.material]
    at_arris = lay.dry_um * share
    solids = lay.solids_volume or material.solids_volume
    layer = Layer(
        material=lay.material,
        kind=kind_of(material),
        task=task.id,
        part=task.part,
        do=task.do,
        by=lay.by,
        laid_um=lay.dry_um,
        dry_um=lay.dry_um,
        arris_laid_um=at_arris,
        arris_um=at_arris,
        coat=lay.coat,
        of=lay.of,
        on_bare=stack.bare,
        abraded_before=stack.abraded,
        contaminated_by=stack.contaminated_by,
        cut=lay.cut_lb,
        thin=lay.thin,
        solids=solids.likely,
    )
    return Stack((*stack.layers, layer), stack.takes, old_um=stack.old_um, old_of=stack.old_of)


def _arris_share(part: Part, facts: Facts) -> float:
    if part.arris_mm >= facts.figure("arris_round_mm").value.likely:
        word = "arris_round"
    elif part.arris_mm >= facts.figure("arris_eased_mm").value.likely:
        word = "arris_eased"
    else:
        word = "arris_sharp"
    return facts.figure(word).value.likely


def _taken(stack: Stack, task: Task, facts: Facts, known: Left) -> Stack:
    top = next((layer for layer in reversed(stack.layers) if layer.laid_um > 0), None)
    film_um = stack.film_um
    at_arris = task.removes_um * facts.figure("arris_scuff").value.likely
    step = task.scheduled
    take = Take(
        task=task.id,
        part=task.part,
        do=task.do,
        grit=task.grit,
        abrasive=step.abrasive if step else "",
        wet=step.wet if step else "",
        removes_um=task.removes_um,
        took_um=min(task.removes_um, film_um),
        film_um=film_um,
        last_um=top.dry_um if top else 0.0,
        last_laid_um=top.laid_um if top else 0.0,
        arris_film_um=sum([layer.arris_um for layer in stack.layers]),
        arris_last_um=top.arris_um if top else 0.0,
        arris_removes_um=at_arris,
        over=len(stack.layers),
        first_grit=fepa(step.grits[0], facts) if step and step.grits else 0,
    )
    layers = _worn(stack.layers, task.removes_um, at_arris)
    how = (step.wet, step.wet_material, step.abrasive) if step else ("", "", "")
    if how not in known:
        known[how] = _left_by(task, facts)
    left = known[how] or stack.contaminated_by
    return Stack(layers, (*stack.takes, take), task.do, left, stack.old_um, stack.old_of)


def _worn(layers: tuple[Layer, ...], flat_um: float, arris_um: float) -> tuple[Layer, ...]:
    """The layers after something is taken off the top of them, on the flat and at the arris."""
    found = list(layers)
    for n in range(len(layers) - 1, -1, -1):
        if flat_um <= 0 and arris_um <= 0:
            break
        layer = layers[n]
        flat, arris = min(flat_um, layer.dry_um), min(arris_um, layer.arris_um)
        flat_um, arris_um = flat_um - flat, arris_um - arris
        if flat > 0 or arris > 0:  # `replace` asks every field by name: three times as slow
            left = {"dry_um": layer.dry_um - flat, "arris_um": layer.arris_um - arris}
            found[n] = Layer(**{**layer.__dict__, **left})
    return tuple(found)


def _left_by(task: Task, facts: Facts) -> str:
    """What a sanding or rubbing leaves on the surface that a coat would not hold on."""
    step = task.scheduled
    if step is None:
        return ""
    known = find_lubricant(facts, step.wet).one if step.wet else None
    wet = facts.lubricants.get(known or "")
    if wet and (wet.silicone or wet.waxes_surface or wet.oily):
        return wet.name
    if step.wet_material and kind_of(facts.materials[step.wet_material]) in ("wax", "oil"):
        return facts.materials[step.wet_material].name
    return "steel wool" if step.abrasive.startswith("steel_wool") else ""
