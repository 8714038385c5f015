"""The film of a part, face by face: how thick, how much may come off, coats to lay more, filler, sheen, advice."""

from __future__ import annotations

from collections.abc import Container, Mapping
from dataclasses import dataclass, field, replace
from typing import Any

from rakelight.errors import Finding, Where
from rakelight.facts.load import Facts
from rakelight.facts.records import FillerLimit, Wood
from rakelight.physics.cutting import least_coats
from rakelight.physics.pores import FillerCoats, dip_um
from rakelight.piece.model import Part
from rakelight.schedule.film_ledger import (
    CutOdds,
    FaceFilm,
    ceiling_um,
    fuses,
    ledger,
    odds,
    rub_floor_um,
    spot_odds,
)
from rakelight.schedule.pores_of import (
    acts_of,
    by_dust,
    deepest,
    dust_on,
    filler_coats,
    grain_wanted,
    pore_limit,
    woods_of,
)
from rakelight.schedule.sheen_of import Sheen, sheen_of
from rakelight.schedule.tasks import DustTest, Work
from rakelight.spread import Spread

#: further coats looked at; nobody lays more on top of a finished schedule
MOST_COATS = 20
#: sheens in which even closed woods are filled
_MIRRORS = ("gloss", "high gloss")


@dataclass(frozen=True)
class Limits:
    """What a maker still takes on: chances of cutting through a spot, and a film to reach."""

    flat: float
    arris: float
    film_um: float | None = None

    @classmethod
    def of(cls, facts: Facts) -> Limits:
        """As the tables have them."""
        return cls(facts.likely("cut_odds_flat"), facts.likely("cut_odds_arris"))


@dataclass(frozen=True)
class MoreCoats:
    """Least further coats for each aim, before levelling; None where no number of coats gets there."""

    floor: int | None = 0
    flat: int | None = 0
    arris: int | None = 0
    film: int | None = 0
    room: int = 0  # as many as the ceiling leaves room for

    @property
    def number(self) -> int:
        """Coats to lay more: for all aims that can be reached under the ceiling."""
        aims = [n for n in (self.floor, self.flat, self.arris, self.film) if n is not None]
        return max((n for n in aims if n <= self.room), default=0)


@dataclass(frozen=True)
class FaceAnswer:
    """All that is known of the film of one face."""

    film: FaceFilm
    arris_mm: float
    ceiling_um: float
    floor_um: float | None  # film to have before it is levelled; None where it is not
    cut: CutOdds
    more: MoreCoats
    sheen: Sheen | None
    wanted: str  # the schedule's own word for its sheen; ""
    wood: Wood | None
    dip_um: float | None  # left over a pore when all is done
    filler: FillerCoats | None
    coat_um: float  # what one more coat puts on
    scuff_um: float  # what the scuff before it takes
    limit: FillerLimit | None = None  # the dip its look allows over a pore
    grain: str = ""  # how the pores are wanted: open, half, full
    dust: DustTest | None = None  # the dust test told of its filler
    now_um: Spread | None = None  # what lies there by now; None where nothing was asked of that
    coats_now: int = 0
    findings: tuple[Finding, ...] = field(default=())


def piece_film(
    work: Work,
    facts: Facts,
    limits: Limits | None = None,
    old: Spread | None = None,
    parts: tuple[str, ...] = (),
    done: Container[str] | None = None,
) -> dict[str, list[FaceAnswer]]:
    """The film of every face that has any, by part.

    Parameters: limits, chances taken on and a film to reach; old, film that lies there before all else, um;
    parts, only these; done, ids of the steps that are done, where the film by now is asked too.
    """
    from rakelight.schedule.film_advice import advice

    held = limits or Limits.of(facts)
    known: dict[object, FaceAnswer] = {}
    told: dict[object, tuple[Finding, ...]] = {}  # of faces that differ only in name and size
    unit = work.piece.unit
    by_now = _by_now(work, facts, old, parts, done) if done is not None else None
    found: dict[str, list[FaceAnswer]] = {}
    for name, films in ledger(work, facts, old, parts).items():
        job, grain = work.jobs[name], grain_wanted(work, name)
        once: dict[object, FaceFilm] = {}
        for film in films:
            once.setdefault((film.face, film.dry_um, film.left_um), film)
        found[name] = []
        for film in once.values():
            schedule = job.uses.get(film.face)
            said, own = (schedule.sheen, schedule.gloss_gu) if schedule else ("", None)
            wood = None if film.old_um else deepest(woods_of(work, film.part, film.face, facts))  # sealed long since
            key = (id(film.coats), said, film.role, wood.name if wood else "", job.part.arris_mm, grain, own)
            if key not in known:
                known[key] = _answer(film, job.part, (said, grain, own), wood, facts, held)
            own_words = {
                "film": film, "cut": known[key].cut.over(film.area_m2, job.part.arris_length_mm, facts),
                **_by_hand(known[key], film, work.dust), **_now(film, by_now),
            }  # fmt: skip
            dust = own_words.get("dust")
            like = key, dust and (dust.coat, dust.open)
            if like not in told:
                told[like] = tuple(advice(_with(known[key], own_words), job.part, facts, held, unit))
            found[name].append(_with(known[key], own_words | {"findings": _here(told[like], film)}))
    return found


def _with(answer: FaceAnswer, other: dict[str, Any]) -> FaceAnswer:
    """An answer with other fields; `replace` asks every field by name: three times as slow."""
    return FaceAnswer(**{**answer.__dict__, **other})


def _here(findings: tuple[Finding, ...], film: FaceFilm) -> tuple[Finding, ...]:
    """What was told of a face with the same past, of this one."""
    where = Where(part=film.part, face=film.face)
    return tuple(f if f.where == where else replace(f, where=where) for f in findings)


def _by_now(
    work: Work, facts: Facts, old: Spread | None, parts: tuple[str, ...], done: Container[str]
) -> dict[tuple[str, str], FaceFilm]:
    """The film of each face by the steps that are done."""
    jobs = {n: replace(job, tasks=tuple(t for t in job.tasks if t.id in done)) for n, job in work.jobs.items()}
    films = ledger(replace(work, jobs=jobs), facts, old, parts)
    return {(name, film.face): film for name, faces in films.items() for film in faces}


def _by_hand(answer: FaceAnswer, film: FaceFilm, tested: Mapping[str, DustTest]) -> dict[str, Any]:
    """The dust test told of that face, and the coats of filler it asks."""
    dust = dust_on(film.stack, tested) if tested else None
    return {"dust": dust, "filler": by_dust(answer.filler, dust)} if dust else {}


def _now(film: FaceFilm, by_now: dict[tuple[str, str], FaceFilm] | None) -> dict[str, Any]:
    """What lies on that face by now; nothing where it was not asked."""
    if by_now is None:
        return {}
    now = by_now.get((film.part, film.face))
    lies = now.left_um if now else Spread.exact(film.old_um)
    return {"now_um": lies, "coats_now": len(now.coats) if now else 0}


def part_film(
    work: Work, part: str, facts: Facts, limits: Limits | None = None, old: Spread | None = None
) -> list[FaceAnswer]:
    """The same of one part. Raises KeyError for a part the piece has not."""
    return piece_film(work, facts, limits, old, (part,))[part]


def _answer(
    film: FaceFilm, part: Part, look: tuple[str, str, float | None], wood: Wood | None, facts: Facts, limits: Limits
) -> FaceAnswer:
    """All that faces with one past have in common.

    Parameters: look, the sheen its schedule names, how pores are wanted, and the number on the can, if any.
    """
    said, grain, own_gu = look
    ceiling = ceiling_um(tuple({c.layer.material for c in film.coats} | {film.stack.old_of} - {""}), facts)
    floor = min(rub_floor_um(film.rub_um.likely, facts), ceiling) if film.levelled else None
    coat, scuff = one_more(film)
    sheen = sheen_of(film.stack, said, facts, own_gu)
    limit = pore_limit(grain, said or (sheen.word if sheen else ""), wood, facts)
    depth = wood.pore_depth_um if wood else None
    return FaceAnswer(
        film=film,
        arris_mm=part.arris_mm,
        ceiling_um=ceiling,
        floor_um=floor,
        cut=spot_odds(film, facts),
        more=more_coats(film, floor, ceiling, facts, limits),
        sheen=sheen,
        wanted=said,
        wood=wood,
        dip_um=dip_um(depth.likely, [act for _, act in acts_of(film.stack, facts)]) if depth else None,
        limit=limit,
        grain=grain,
        filler=_filler(film, wood, limit, grain, facts),
        coat_um=coat,
        scuff_um=scuff,
    )


def _filler(
    film: FaceFilm, wood: Wood | None, limit: FillerLimit | None, grain: str, facts: Facts
) -> FillerCoats | None:
    if wood is None or film.role == "inside" or (limit is None and grain != "open"):
        return None
    closed = wood.fill_for_level_film not in ("yes", "optional")
    if limit is None or limit.likely_um is None or (closed and limit.sheen not in _MIRRORS):
        return FillerCoats(0, 0, 0)
    return filler_coats(film.stack, wood, limit, facts)


def one_more(film: FaceFilm) -> tuple[float, float]:
    """What one more coat like the last puts on, and what the scuff before it takes, likely um."""
    if film.top is None:
        return 0.0, 0.0
    layers = film.stack.layers
    at = max(n for n, layer in enumerate(layers) if layer.laid_um > 0)
    before = [t for t in film.stack.takes if t.over == at and at and t.do in ("scuff", "sand")]
    same = at > 0 and layers[at - 1].material == film.top.material
    return film.top.laid_um, sum(t.removes_um for t in before) if same else 0.0


def more_coats(film: FaceFilm, floor: float | None, ceiling: float, facts: Facts, limits: Limits) -> MoreCoats:
    """Least further coats for floor, odds and a wanted film; every number up to twenty is looked at.

    Where coats do not melt together, more of them help the floor but not the odds: the last coat alone is at stake.
    """
    top = film.top
    if top is None:
        return MoreCoats(0, 0, 0, 0, 0)
    coat, scuff = one_more(film)
    share = top.arris_laid_um / top.laid_um
    step, step_arris = coat - scuff, coat * share - scuff * facts.likely("arris_scuff")
    whole = fuses(facts.materials[top.material])

    def stake(n: int, at_arris: bool) -> float:
        built = film.arris_um if at_arris else film.dry_um
        if whole:
            return max(0.0, built.likely - film.old_um + n * (step_arris if at_arris else step))
        last = film.arris_last_um.likely if at_arris else film.last_um.likely
        return last if n == 0 else coat * (share if at_arris else 1.0)

    def chances(n: int) -> tuple[float, float]:
        flat, arris = (stake(n, False), film.rub_um.likely), (stake(n, True), film.arris_rub_um.likely)
        return odds(flat, arris, top.by, facts)

    def dry(n: int) -> float:
        return film.dry_um.likely + n * step

    room = max((n for n in range(MOST_COATS + 1) if dry(n) <= ceiling), default=0)
    wanted = limits.film_um
    found = {
        "floor": least_coats(lambda n: floor is None or dry(n) >= floor - 1e-9, MOST_COATS),
        "film": least_coats(lambda n: wanted is None or dry(n) >= wanted - 1e-9, MOST_COATS),
    }
    if film.rubbed:
        found["flat"] = least_coats(lambda n: chances(n)[0] <= limits.flat, MOST_COATS)
        found["arris"] = least_coats(lambda n: chances(n)[1] <= limits.arris, MOST_COATS)
    return MoreCoats(**found, room=room)
