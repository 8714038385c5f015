"""May this coat be laid in this air: dew point, margin of the wet film, what decides, and what to do.

The one rule of the product decides; the published rules, which contradict each other, stand beside it.
Source: dew_point_and_blush.md, section 5.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from rakelight.errors import Misread
from rakelight.facts.air_tables import blush_rules, heaters
from rakelight.facts.load import Facts
from rakelight.facts.records import Material, Source
from rakelight.physics.air import dew_point_c, wet_bulb_c
from rakelight.physics.blush import dew_doubt_k, in_square, margin_k, rh_at_gap
from rakelight.plan.chill import chill_figure, is_lacquer
from rakelight.spread import Spread
from rakelight.units import show_above, show_delta_temp, show_temp

#: from the best to the worst
VERDICTS = ("go", "warn", "hold", "refuse")
#: a piece is not warmed further than this by a maker: hotter, and the finish dries under the brush. Assumption
_HOTTEST_C = 38.0


@dataclass(frozen=True)
class OtherRule:
    """How a published rule would decide."""

    id: str
    says: str
    allows: bool
    source: Source

    def as_json(self) -> dict[str, Any]:
        """As plain data."""
        return {"id": self.id, "says": self.says, "allows": self.allows, "source": self.source.text,
                "kind": self.source.kind.value}  # fmt: skip


@dataclass(frozen=True)
class Test:
    """One thing held against the air."""

    rule: str  # dew point, film-forming temperature, least temperature, flame
    verdict: str
    says: str
    source: Source
    margin: Spread | None = None


@dataclass(frozen=True)
class AirAnswer:
    """Go or not, in one state of the air."""

    material: Material
    by: str
    temp_c: float
    rh: float
    piece_c: float
    dew_point_c: float
    chill: Spread
    margin: Spread  # low with a bad film and a hygrometer that reads dry
    tests: tuple[Test, ...]  # the one that decides first
    ways: tuple[str, ...]
    others: tuple[OtherRule, ...]
    notes: tuple[str, ...] = ()
    unit: str = ""
    do: str = "lay it"
    more: dict[str, Any] = field(default_factory=dict)

    @property
    def gap_k(self) -> float:
        """Piece less dew point."""
        return self.piece_c - self.dew_point_c

    @property
    def verdict(self) -> str:
        """go, warn, hold or refuse."""
        return self.tests[0].verdict

    @property
    def mend(self) -> str:
        """What to do first; empty for go."""
        return self.ways[0] if self.ways else ""

    def as_json(self) -> dict[str, Any]:
        """As plain data."""
        low, likely, high = (round(m, 2) for m in self.margin)
        return {
            "schema": 1,
            "material": self.material.id,
            "method": self.by,
            "temp_c": round(self.temp_c, 2),
            "rh": round(self.rh, 4),
            "piece_c": round(self.piece_c, 2),
            "dew_point_c": round(self.dew_point_c, 2),
            "gap_k": round(self.gap_k, 2),
            "chill_k": {"low": self.chill.low, "likely": self.chill.likely, "high": self.chill.high},
            "margin_k": {"low": low, "likely": likely, "high": high},
            "verdict": self.verdict,
            "do": self.do,
            "rule": self.tests[0].rule,
            "says": self.tests[0].says,
            "source": self.tests[0].source.text,
            "kind": self.tests[0].source.kind.value,
            "mend": self.mend,
            "ways": list(self.ways),
            "tests": [_test_json(t) for t in self.tests],
            "others": [o.as_json() for o in self.others],
            "notes": list(self.notes),
            **self.more,
        }


def _test_json(test: Test) -> dict[str, Any]:
    return {"rule": test.rule, "verdict": test.verdict, "says": test.says}


def air_answer(
    facts: Facts,
    material: str,
    by: str,
    temp_c: float,
    rh: float,
    piece_c: float | None = None,
    *,
    retarded: bool = False,
    heater: str = "",
    unit: str = "",
) -> AirAnswer:
    """May a material be laid now.

    Parameters: material, an id; by, a method of it; temp_c, -40 to 60; rh, 0 to 1; piece_c, None as the air;
    retarded, lacquer with retarder in it; heater, a word of the shop file; unit, "in" for Fahrenheit.
    Raises Misread for a method or heater that is not known, or retarder in what takes none.
    """
    row = facts.materials[material]
    _check(row, by, retarded, heater)
    piece = temp_c if piece_c is None else piece_c
    dew = dew_point_c(temp_c, rh)
    figure = chill_figure(facts, row, by, retarded)
    chill = figure.value
    doubt = facts.figure("hygrometer_doubt_rh").value.likely
    margin = _with_doubt(margin_k(piece, chill.likely, dew), chill, dew_doubt_k(temp_c, rh, doubt))
    state = _State(facts, row, temp_c, rh, piece, dew, chill, margin, retarded, unit)
    tests = [_dew_test(state, figure.source)]
    tests += [t for t in (_film_test(state), _cold_test(state), _flame_test(state, heater)) if t]
    tests.sort(key=lambda t: -VERDICTS.index(t.verdict))
    do, ways = _ways(state, tests[0])
    return AirAnswer(
        row, by, temp_c, rh, piece, dew, chill, margin, tuple(tests), tuple(ways), _others(state),
        tuple(_notes(state, heater)), unit, do,
    )  # fmt: skip


@dataclass(frozen=True)
class _State:
    facts: Facts
    row: Material
    temp_c: float
    rh: float
    piece_c: float
    dew_c: float
    chill: Spread
    margin: Spread
    retarded: bool
    unit: str

    @property
    def go_k(self) -> float:
        return self.facts.likely("blush_go_k")

    def temp(self, temp_c: float) -> str:
        return show_temp(temp_c, self.unit)

    def step(self, kelvin: float) -> str:
        """A difference of temperature in words."""
        return show_delta_temp(kelvin, self.unit)


def _check(row: Material, by: str, retarded: bool, heater: str) -> None:
    if by not in row.methods:
        raise Misread(f"{row.name} is not laid by {by}.", f"Write one of: {', '.join(row.methods)}.")
    if retarded and not is_lacquer(row):
        raise Misread(f"{row.name} takes no retarder.", "Only lacquer does: leave --retarder out.")
    if heater and heater not in heaters():
        raise Misread(f"{heater!r} is no kind of heater.", f"Write one of: {', '.join(heaters())}.")


def _with_doubt(likely: float, chill: Spread, dew_doubt: float) -> Spread:
    down = in_square(chill.high - chill.likely, dew_doubt)
    up = in_square(chill.likely - chill.low, dew_doubt)
    return Spread(likely - down, likely, likely + up)


def _graded(margin: float, state: _State) -> str:
    if margin < state.facts.likely("blush_hold_k"):
        return "hold"
    return "go" if margin >= state.go_k else "warn"


def _dew_test(state: _State, source: Source) -> Test:
    margin = state.margin.likely
    verdict = _graded(margin, state)
    film = state.temp(state.piece_c - state.chill.likely)
    dew = state.temp(state.dew_c)
    apart = f"{show_above(margin, state.unit)} the dew point"
    says = f"The wet film comes to about {film}, the dew point is {dew}: {apart}"
    words = {
        "go": ", clear of haze.",
        "warn": ": it may haze.",
        "hold": ": water settles in it and it turns white.",
    }
    if state.chill.high <= 1:  # nothing in oil or varnish turns white; water may still lie on it
        words["warn"], words["hold"] = ": it may mist over.", ": water settles on it."
    return Test("dew point", verdict, says + words[verdict], source, state.margin)


def _film_test(state: _State) -> Test | None:
    """A water-borne film, at the wet bulb while it is wet, against the least at which it flows together."""
    least = state.row.mfft_c
    if least is None or not state.row.is_water_borne:
        return None
    wet = wet_bulb_c(state.temp_c, state.rh) + state.piece_c - state.temp_c
    margin = Spread(wet - least.high, wet - least.likely, wet - least.low)
    graded = _graded(margin.likely, state)
    # the film is as warm as the air again before it flows together: only what fails every sheet is held
    verdict = "warn" if graded == "hold" and margin.high >= 0 else graded
    says = (
        f"While wet the film is at about {state.temp(wet)}; it flows together from {state.temp(least.likely)} "
        f"({state.temp(least.low)} to {state.temp(least.high)}, the can's sheet says)."
    )
    return Test("film-forming temperature", verdict, says, state.row.source("mfft_c"), margin)


def _to_warm(state: _State) -> str:
    """What is under the least temperature: shop, piece, or both."""
    least = state.row.min_temp_c or 0.0
    if state.temp_c >= least:
        return "the piece"
    return "shop and piece" if state.piece_c < least else "the shop"


def _cold_test(state: _State) -> Test | None:
    least = state.row.min_temp_c
    if least is None:
        return None
    cold = min(state.temp_c, state.piece_c)
    if cold >= least:
        return Test("least temperature", "go", f"Warm enough: it is laid from {state.temp(least)} up.",
                    state.row.source("min_temp_c"))  # fmt: skip
    what = f"{'the piece' if state.piece_c < state.temp_c else 'the air'} is at {state.temp(cold)}"
    if max(state.temp_c, state.piece_c) < least and state.temp(state.piece_c) != state.temp(state.temp_c):
        what = f"the piece is at {state.temp(state.piece_c)}, the air at {state.temp(state.temp_c)}"
    if state.row.only_wax:
        says = f"It is stiff, and buffs badly, below {state.temp(least)}, and {what}."
        return Test("least temperature", "warn", says, state.row.source("min_temp_c"))
    says = f"It is not laid below {state.temp(least)}, and {what}."
    return Test("least temperature", "hold", says, state.row.source("min_temp_c"))


def _flame_test(state: _State, heater: str) -> Test | None:
    flash = state.row.flash_point_c
    if not heater or not heaters()[heater].flame or flash is None:
        return None
    limit = state.facts.figure("flash_refuse_c")
    if flash.low >= limit.value.likely:
        return None
    says = (
        f"A {heaters()[heater].says} is a flame, and the vapour of {state.row.name} can light from "
        f"{state.temp(flash.low)}."
    )
    return Test("flame", "refuse", says, limit.source)


def _ways(state: _State, worst: Test) -> tuple[str, list[str]]:
    """What to do, in one word, and the ways out, best first."""
    if worst.verdict == "go":
        return "lay it", []
    if worst.rule == "flame":
        put_out = (
            "Put the heater and its pilot light out before the can is opened, and leave it out until the vapour has "
            "gone (rakelight vapour says when). The product's sheet and your local code come first."
        )
        return "no", [put_out]
    if worst.rule == "least temperature":
        least = state.temp(state.row.min_temp_c or 0.0)
        where = _to_warm(state)
        say = f"Warm {where} to {least} before it is laid, and keep it so until it is dust-free."
        return "warm the piece" if where == "the piece" else "wait", [say]
    if worst.rule == "film-forming temperature":
        need = state.go_k - (worst.margin.likely if worst.margin else 0.0)
        return "warm the piece", [
            f"Warm the piece and the shop by {state.step(need)}, and keep it so while it dries."
        ]
    return _against_haze(state)


#: a film that is never more than this colder than the piece, K, is not one that hazes by its own chill
_HAZES_K = 1.0
_NO_HAZE = "; or choose a finish that does not haze, as an oil varnish"


def _against_haze(state: _State) -> tuple[str, list[str]]:
    ways: list[str] = []
    do = ""
    if is_lacquer(state.row) and not state.retarded:
        slow = state.facts.figure("chill_lacquer_retarded_k").value.likely
        left = margin_k(state.piece_c, slow, state.dew_c)
        if left >= state.facts.likely("blush_hold_k"):
            sure = "clear" if left >= state.go_k else "doubtful still"
            ways.append(f"Add retarder, no more than the maker allows: the film then stays {state.step(left)} above "
                        f"the dew point ({sure}), and hardens later.")  # fmt: skip
            do = "with retarder"
    warm = state.dew_c + state.chill.likely + state.go_k
    if warm <= min(_HOTTEST_C, state.piece_c + 2 * state.facts.likely("warm_piece_k")):
        ways.append(f"Warm the piece to {state.temp(warm)} or more, right through, before it is laid.")
        do = do or "warm the piece"
    dry = rh_at_gap(state.temp_c, state.chill.likely + state.go_k + max(0.0, state.temp_c - state.piece_c))
    ways.append(f"Dry the air to {dry * 100:.0f} % at {state.temp(state.temp_c)}, or wait for such a day.")
    hazes = state.chill.high > _HAZES_K
    ways.append(f"Lay it in the warmest hours, thin{_NO_HAZE if hazes else ''}.")
    return do or "wait", ways


def _others(state: _State) -> tuple[OtherRule, ...]:
    kind = "lacquer" if is_lacquer(state.row) else "shellac" if state.row.binder.startswith("shellac") else ""
    gaps = {"surface": state.piece_c - state.dew_c, "air": state.temp_c - state.dew_c}
    found = [
        OtherRule(r.id, r.says, r.allows(gaps.get(r.gap_from, 0.0), state.rh), r.source)
        for r in blush_rules()
        if kind in r.kinds or "any" in r.kinds
    ]
    if state.row.max_rh is not None:
        says = f"labels of {state.row.name}: not above {state.row.max_rh * 100:.0f} % humidity"
        found.insert(0, OtherRule("label", says, state.rh <= state.row.max_rh, state.row.source("max_rh")))
    return tuple(found)


def _notes(state: _State, heater: str) -> list[str]:
    found = []
    low = _graded(state.margin.low, state)
    if low != _graded(state.margin.likely, state):
        found.append(
            f"A hygrometer a little out and a fast film would make it {show_above(state.margin.low, state.unit)}: "
            "try it on an offcut first."
        )
    if heater:
        kind = heaters()[heater]
        found.append(f"{kind.says[0].upper()}{kind.says[1:]}: {kind.humidity}.")
        flash = state.row.flash_point_c
        if kind.spark and not kind.flame and flash and flash.low < state.facts.likely("flash_refuse_c"):
            found.append(
                "Its wire and switch can light vapour: off while it is laid and until the smell has gone."
            )
    return found
