"""Pores of a face under the coats its schedule lays: what each does to a dip, and filler coats a sheen asks.

Source: docs/decisions.md, "Pores". Depths stand in the table of woods, limits in the table of sheens.
"""

from __future__ import annotations

from collections.abc import Mapping

from rakelight.facts.load import Facts
from rakelight.facts.records import FillerLimit, Material, Wood
from rakelight.physics.pores import FillerCoats, Filling, kept, least_filler_coats
from rakelight.schedule.layers import Layer, Stack
from rakelight.schedule.tasks import DustTest, Work
from rakelight.spread import Spread

_FILLER, _PASTE = "filler_wb_clear", "filler_oil_paste"
#: a look of its own, in the place of a sheen
HALF = "half filled"
#: a dust test rules over the book from this coat of filler on. Source: issue of the film; one coat soon looks full
TRUSTED_FROM = 2
#: coats of filler nobody lays more of: past these the film is cut level instead
MOST_ADVISED = 8
_HOLDS = ("ok", "ok-after-cure")
#: kinds of layer a filler goes over
_BEFORE_FILL = ("colour", "bleach", "size")


def dust_on(stack: Stack, tested: Mapping[str, DustTest]) -> DustTest | None:
    """The last dust test on what fills a face; `tested`, by "part/step"."""
    parts = {layer.part for layer in stack.layers if layer.kind == "filler"}
    found = [test for key, test in tested.items() if key.partition("/")[0] in parts]
    return max(found, key=lambda test: test.at, default=None)


def by_dust(coats: FillerCoats | None, test: DustTest | None) -> FillerCoats | None:
    """Coats of filler where a dust test rules over the book: filled is enough, open asks one more at least."""
    if test is None or (not test.open and test.coat < TRUSTED_FROM):
        return coats
    if not test.open:
        return FillerCoats(test.coat, test.coat, test.coat)
    more = test.coat + 1
    book = coats or FillerCoats(more, more, more)
    return FillerCoats(*(max(more, n) for n in (book.low, book.likely, book.high)))


def grain_wanted(work: Work, part: str) -> str:
    """How the pores of a part are wanted: open, half, full; "" not said."""
    job = work.jobs.get(part)
    return job.part.want.over(work.piece.want).grain if job else ""


def pore_limit(grain: str, sheen: str, wood: Wood | None, facts: Facts) -> FillerLimit | None:
    """The dip a look allows: by its sheen, or as half filled; None where open pores are accepted or no sheen is known.

    Parameters: grain, open, half or full as wanted, "" by the sheen alone: full asks of a dull sheen what satin does.
    """
    if grain == "open":
        return None
    if grain == "half" and wood is not None and wood.pore_depth_um is not None:
        share, depth = facts.figure("half_filled_share"), wood.pore_depth_um.likely
        low, likely, high = (share_of * depth for share_of in share.value)
        return FillerLimit(HALF, low, likely, high, share.source)
    row = facts.filler_limits.get(sheen)
    if grain == "full" and (row is None or row.lenient_um is None):
        return facts.filler_limits["satin"]
    return row


def asks_words(limit: FillerLimit, most: str) -> str:
    """What a limit asks: "in satin over 10 um shows", "half filled leaves 60 um at most"."""
    return f"half filled leaves {most} at most" if limit.sheen == HALF else f"in {limit.sheen} over {most} shows"


def woods_of(work: Work, part: str, face: str, facts: Facts) -> list[Wood]:
    """Woods of a face: of the part, or of the members that brought it to a joined part."""
    job = work.jobs.get(part)
    if job is None:
        return []
    if job.part.woods:
        return [facts.woods[w] for w in job.part.woods if w in facts.woods]
    found: list[Wood] = []
    for name, sources in job.faces_from.items():
        if face and name != face:
            continue
        for member, inner in sources:
            found += [w for w in woods_of(work, member, inner, facts) if w not in found]
    return found


def deepest(woods: list[Wood]) -> Wood | None:
    """Of several woods the one with the deepest pores; None where no depth is known."""
    known = [w for w in woods if w.pore_depth_um]
    return max(known, key=lambda w: w.pore_depth_um.likely if w.pore_depth_um else 0.0, default=None)


def acts_of(stack: Stack, facts: Facts) -> list[tuple[str, Filling]]:
    """What happens to a pore, in order: each coat (its kind) and each cutting (its verb)."""
    found: list[tuple[str, Filling]] = []
    for at, layer in enumerate(stack.layers, 1):
        found.append((layer.kind, Filling(keeps=_keeps(layer, facts))))
        found += [(take.do, Filling(cuts_um=take.took_um)) for take in stack.takes if take.over == at]
    return found


def filler_of(stack: Stack, facts: Facts) -> Material:
    """The filler that is used; a clear water-borne one where none is."""
    used = next((layer.material for layer in stack.layers if layer.kind == "filler"), _FILLER)
    return facts.materials[used]


def suiting(stack: Stack, facts: Facts) -> list[Material]:
    """The filler that is used; where none is, those that hold under what is laid, the fullest first."""
    if any(layer.kind == "filler" for layer in stack.layers):
        return [filler_of(stack, facts)]
    over = next((layer for layer in stack.layers if layer.kind not in _BEFORE_FILL), None)
    before = stack.layers[: stack.layers.index(over)] if over else stack.layers
    under = before[-1] if before else None
    found = []
    for id in (_PASTE, _FILLER):
        pairs = [facts.pair(under.material, id)] if under else []
        pairs += [facts.pair(id, over.material, over.by)] if over else []
        if all(pair is not None and pair.verdict in _HOLDS for pair in pairs):
            found.append(facts.materials[id])
    return found or [filler_of(stack, facts)]


def filler_words(stack: Stack, wood: Wood, limit: FillerLimit, facts: Facts) -> str:
    """Coats each filler that suits takes: "1 to 2 coats of oil-based paste filler, or 4 to 6 of ..."; "" too many."""
    told: list[str] = []
    more = False
    for filler in suiting(stack, facts):
        needs = filler_coats(stack, wood, limit, facts, filler)
        if needs.likely > MOST_ADVISED:
            continue
        more = more or needs.high > MOST_ADVISED
        high = needs.high if needs.high <= MOST_ADVISED else needs.likely
        low = min(high, max(1, needs.low))
        span = str(low) if low == high else f"{low} to {high}"
        coats = "" if told else " coat" if high == 1 else " coats"
        told.append(f"{span}{coats} of {filler.name}")
    deep = " (deep pores want the film cut level besides)" if more and told else ""
    return ", or ".join(told) + deep


def filler_coats(
    stack: Stack, wood: Wood, limit: FillerLimit, facts: Facts, filler: Material | None = None
) -> FillerCoats:
    """Least filler coats for a face (of its own filler), with the coats and cutting its schedule lays after them."""
    acts = acts_of(stack, facts)
    at = max((n for n, (kind, _) in enumerate(acts) if kind == "filler"), default=-1)
    first = next((n for n, (kind, _) in enumerate(acts) if kind == "filler"), 0)
    depth = wood.pore_depth_um or Spread.exact(0.0)
    for _, act in acts[:first]:
        depth = depth * act.keeps
    keeps = kept((filler or filler_of(stack, facts)).solids_volume.likely, facts.likely("fill_eta_trowel"))
    after = [act for kind, act in acts[at + 1 :] if kind != "filler"]
    likely = limit.likely_um or 0.0
    return least_filler_coats(depth, keeps, after, limit.strict_um or likely, likely, limit.lenient_um)


def _keeps(layer: Layer, facts: Facts) -> float:
    if layer.kind not in ("film", "filler"):
        return 1.0
    how = "fill_eta_sprayed" if layer.by == "spray" else "fill_eta_brushed"
    if layer.kind == "filler":
        how = "fill_eta_trowel"
    return kept(layer.solids, facts.likely(how))
