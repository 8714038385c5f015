"""What a maker is told about the film of a face: coats more, the arris, the last coat, pores, sheen."""

from __future__ import annotations

from collections.abc import Iterator

from rakelight.errors import Finding, Severity, Where
from rakelight.facts.load import Facts
from rakelight.facts.records import Source
from rakelight.physics.abrasion import going_round
from rakelight.physics.cutting import film_for
from rakelight.physics.seen import seen_as
from rakelight.piece.model import Part
from rakelight.schedule.film_answers import FaceAnswer, Limits
from rakelight.schedule.film_ledger import film_cv, fuses, odds
from rakelight.schedule.pores_of import MOST_ADVISED, TRUSTED_FROM, asks_words, filler_words
from rakelight.schedule.sheen_of import class_range
from rakelight.units import UM_PER_MM, show_film, show_length

_EVEN = 0.5  # odds from which cutting through is a warning, not a note


def advice(face: FaceAnswer, part: Part, facts: Facts, limits: Limits, unit: str = "") -> Iterator[Finding]:
    """Findings on one face; nothing where nothing is to be said. `unit`, "in" for mil."""
    yield from _ceiling(face, facts, unit)
    yield from _wanted(face, facts, limits, unit)
    yield from _loop(face, facts, unit)
    if face.film.rubbed:
        yield from _more(face, facts, unit)
        yield from _last_coat(face, facts, limits, unit)
        yield from _arris(face, part, facts, limits, unit)
    yield from _pores(face, facts, unit)
    yield from _sheen(face, facts)


def _finding(
    face: FaceAnswer, id: str, severity: Severity, says: str, mend: str, source: Source | None = None, **figures: float
) -> Finding:
    where = Where(part=face.film.part, face=face.film.face)
    words, kind = (source.text, source.kind) if source else ("", None)
    return Finding(id, severity, where, says, mend, words, kind, figures)


def coats_words(n: int) -> str:
    """So many coats, in words.

    >>> coats_words(1), coats_words(4), coats_words(14)
    ('one more coat', 'four more coats', '14 more coats')
    """
    words = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")
    return f"{words[n] if n < len(words) else n} more coat{'' if n == 1 else 's'}"


def _ceiling(face: FaceAnswer, facts: Facts, unit: str) -> Iterator[Finding]:
    film, most = face.film.dry_um.likely, face.ceiling_um
    if film <= most:
        return
    old = f", {show_film(face.film.old_um, unit)} of it old film" if face.film.old_um else ""
    says = f"{show_film(film, unit)} of film{old}: more than {show_film(most, unit)} cracks sooner or later."
    mend = "Strip the old film first, or take it down." if old else "Lay fewer or thinner coats, or level between them."
    source = facts.figure("film_ceiling_um").source
    yield _finding(face, "film-over-ceiling", Severity.WARNING, says, mend, source, film_um=film, ceiling_um=most)


def _wanted(face: FaceAnswer, facts: Facts, limits: Limits, unit: str) -> Iterator[Finding]:
    """A film to reach: by how many coats, or the nearest under the ceiling."""
    film, want = face.film.dry_um.likely, limits.film_um
    if want is None or want <= film or film > face.ceiling_um:
        return
    step, more = face.coat_um - face.scuff_um, face.more
    source = facts.figure("film_ceiling_um").source
    figures = {"wanted_um": want, "ceiling_um": face.ceiling_um}
    if more.film is not None and more.film <= more.room:
        says = f"{coats_words(more.film).capitalize()} come to {show_film(film + more.film * step, unit)}."
        says = says.replace("coat come", "coat comes")
        yield _finding(face, "film-wanted", Severity.NOTE, says, "Lay them before any levelling.", source, **figures)
        return
    why = (
        f"more than {show_film(face.ceiling_um, unit)} cracks sooner or later"
        if want > face.ceiling_um
        else "no number of these coats comes to that under the ceiling"
    )
    says = f"{show_film(want, unit)} of film is wanted: {why}."
    nearest = f"{coats_words(more.room)}, {show_film(film + more.room * step, unit)}" if more.room else "what is there"
    mend = f"The nearest that may be had is {nearest}."
    yield _finding(face, "film-wanted-not-reached", Severity.WARNING, says, mend, source, **figures)


def _loop(face: FaceAnswer, facts: Facts, unit: str) -> Iterator[Finding]:
    if face.scuff_um and going_round(face.coat_um, face.scuff_um):
        coat, scuff = show_film(face.coat_um, unit), show_film(face.scuff_um, unit)
        says = f"Each coat puts on {coat} and the scuff before the next takes about {scuff}."
        mend = "Lay two or three coats before each scuff, scuff with P400 or a grey pad, or lay the coats fuller."
        source = facts.figure("scuff_um").source
        yield _finding(face, "sanding-takes-the-coat", Severity.WARNING, says, mend, source, coat_um=face.coat_um)


def _more(face: FaceAnswer, facts: Facts, unit: str) -> Iterator[Finding]:
    more, film = face.more, face.film
    floor = face.floor_um or 0.0
    source = facts.figure("rub_floor_um").source
    if film.dry_um.likely < floor:
        there, takes, first = (show_film(um, unit) for um in (film.dry_um.likely, film.rub_um.likely, floor))
        says = f"{there} of film; rubbing takes {takes}, so have {first} first."
        if more.floor is not None and more.floor <= more.room:
            mend = f"Lay {coats_words(more.floor)} before you level."
        else:
            mend = "Do not level: leave it as laid, or only rub it with a grey pad."
        yield _finding(face, "film-too-thin-to-rub", Severity.NOTE, says, mend, source, coats=float(more.number))


def _last_coat(face: FaceAnswer, facts: Facts, limits: Limits, unit: str) -> Iterator[Finding]:
    film, top = face.film, face.film.top
    if top is None or face.cut.flat <= limits.flat:
        return
    chance = times_in(face.cut.flat)
    source = facts.figure("removal_cv_hand").source
    if fuses(facts.materials[top.material]):
        flat = face.more.flat
        how = "level" if film.levelled else "rub"
        more = f"Lay {coats_words(flat)} before you {how}" if flat is not None and flat <= face.more.room else ""
        says = f"{chance} a spot of the flat is cut through to the wood."
        mend = f"{more or f'The ceiling leaves no room for more coats: {how} less'}, {_finer(face, facts)}."
        yield _finding(face, "cut-through-flat", Severity.WARNING, says, mend, source, odds=face.cut.flat)
        return
    need = film_for(limits.flat, film.rub_um.likely, film_cv(top.by, facts), facts.likely("removal_cv_hand"))
    wet = need / top.solids if top.solids else 0.0
    last = show_film(film.last_um.likely, unit)
    says = f"{chance} rubbing goes through the last coat ({last}), and a contour line shows."
    most = facts.materials[top.material].wet_film_um.get(top.by)
    if most and wet > most.high:
        full = f"no one coat is full enough for it ({show_film(need, unit)} dry), so rub only the nibs off"
    else:
        full = f"make the last one {show_film(need, unit)} dry, about {show_film(wet, unit)} wet, {_finer(face, facts)}"
    mend = f"These coats do not melt together: {full}; or leave it as laid."
    figures = {"odds": face.cut.flat, "need_um": need}
    severity = Severity.WARNING if face.cut.flat >= _EVEN else Severity.NOTE
    yield _finding(face, "cut-through-last-coat", severity, says, mend, source, **figures)


def _finer(face: FaceAnswer, facts: Facts) -> str:
    first, fine = _first_grit(face), facts.likely("fine_level_grit")
    return f"start at P{fine:.0f} instead of P{first}" if first and first < fine else "take only the nibs off"


def _first_grit(face: FaceAnswer) -> int:
    """Grit the levelling begins with; 0 where it is not known."""
    level = next((t for t in face.film.rub if t.do == "level"), None)
    return level.first_grit or level.grit if level else 0


def _arris(face: FaceAnswer, part: Part, facts: Facts, limits: Limits, unit: str) -> Iterator[Finding]:
    film, top = face.film, face.film.top
    if top is None or face.cut.arris <= limits.arris:
        return
    whole = fuses(facts.materials[top.material])
    at_stake = film.arris_um.likely - film.old_um if whole else film.arris_last_um.likely
    share, rounded = top.arris_laid_um / top.laid_um, facts.likely("arris_round")
    eased = odds((1.0, 0.0), (at_stake * rounded / share, film.arris_rub_um.likely), top.by, facts)[1]
    to = "to the wood" if whole else "to the coat beneath"
    says = (
        f"{times_in(face.cut.arris)} a spot of the arris is cut through {to}: "
        f"{show_film(at_stake, unit)} there, about {show_film(film.arris_rub_um.likely, unit)} taken."
    )
    round_mm = facts.likely("arris_round_mm")
    off_edge = show_length(facts.likely("off_edge_mm"), unit)
    ways = [f"Stay {off_edge} off the edge and touch it only with the last, softest step"]
    if part.arris_mm < round_mm and share < rounded and eased < face.cut.arris / 2:
        then = f"{times_in(eased).lower()} then"
        ways.append(f"or round the arris to {show_length(round_mm, unit)} before finishing ({then})")
    if face.more.arris is not None and 0 < face.more.arris <= face.more.room:
        ways.append(f"or lay {coats_words(face.more.arris)} before you level")
    first, fine = _first_grit(face), facts.likely("fine_level_grit")
    if first and first < fine:
        ways.append(f"start at P{fine:.0f}")
    source = facts.figure("film_cv_arris").source
    severity = Severity.WARNING if face.cut.arris >= _EVEN else Severity.NOTE
    yield _finding(face, "cut-through-arris", severity, says, "; ".join(ways) + ".", source, odds=face.cut.arris)


def _pores(face: FaceAnswer, facts: Facts, unit: str) -> Iterator[Finding]:
    limit = face.limit
    if face.filler is None or face.wood is None or limit is None or limit.likely_um is None or face.dip_um is None:
        return
    if face.dust and face.dust.open:
        n = face.dust.coat
        says = f"Dust lay white in pores after coat {n} of filler."
        mend = f"Lay coat {n + 1}, sanded flush, and rub dust over it again; or leave them half filled on purpose."
        yield _finding(face, "pores-still-open", Severity.NOTE, says, mend)
        return
    if face.dust and face.dust.coat >= TRUSTED_FROM:
        return  # the hand test rules over the book
    shown = face.film.role == "show"
    if not shown or face.wood.fill_for_level_film not in ("yes", "optional") or face.dip_um <= limit.likely_um:
        return
    filled = any(layer.kind == "filler" for layer in face.film.stack.layers)
    rest = facts.figure("shrink_back_days").value
    dip, passes = show_film(face.dip_um, unit), show_film(limit.likely_um, unit)
    wide = face.wood.pore_width_um
    seen = f", which {seen_as(sum(wide) / 2 / UM_PER_MM)}" if wide else ""
    says = f"Pores of {face.wood.name} keep a dip of {dip}{seen}; {asks_words(limit, passes)}."
    cut = face.dip_um - limit.likely_um
    flush = f"; or cut the film back {show_film(cut, unit)}, flush, and lay the last coat anew"
    flush = flush if filled and cut < face.film.dry_um.likely / 2 else ""
    takes = filler_words(face.film.stack, face.wood, limit, facts)
    fill = f"{'In all' if filled else 'Fill with'} {takes}, sanded flush,"
    level = f"Fill alone does not get there in {MOST_ADVISED} coats: lay film over it, cut the film level"
    mend = (
        f"{fill if takes else level} and let it sink back {rest.low / 7:.0f} to {rest.likely / 7:.0f} weeks before the "
        f"rub{flush}; or leave the pores open (flat or eggshell hides it) or half filled on purpose: "
        'want = { grain = "open" } or "half".'
    )
    source = face.wood.sources.get("pores") or limit.source
    yield _finding(face, "open-pores-show", Severity.NOTE, says, mend, source, dip_um=face.dip_um)


def _sheen(face: FaceAnswer, facts: Facts) -> Iterator[Finding]:
    """The schedule's word against what the last abrasive leaves, where they lie more than its doubt apart."""
    wanted = class_range(face.wanted, facts)
    if wanted is None or face.sheen is None or not face.film.rubbed:
        return
    gu = face.sheen.gu
    if wanted.low <= gu.high and gu.low < wanted.high:
        return
    says = f"{face.sheen.because} last leaves {face.sheen.word} ({gu.low:.0f} to {gu.high:.0f} GU), not {face.wanted}."
    mend = f'`rakelight sheen --want "{face.wanted}"` tells what to stop with.'
    yield _finding(face, "sheen-not-reached", Severity.NOTE, says, mend, gu=gu.likely)


def times_in(chance: float) -> str:
    """A chance as a maker says it.

    >>> times_in(0.8), times_in(0.03), times_in(0.004), times_in(0.0000001)
    ('8 times in 10', '3 times in 100', '4 times in 1000', 'Hardly ever')
    """
    for out_of in (10, 100, 1000):
        times = round(chance * out_of)
        if out_of == 10 and chance >= 0.95:
            return "Nearly always"
        if times >= 1 and (times < out_of) and (out_of > 10 or chance >= 0.15):
            return f"{times} time{'' if times == 1 else 's'} in {out_of}"
    return "Hardly ever"
