"""The order of work of one part becomes sessions: waits asked for, faces turned, parts carried.

Rules:
- A `wait` is no session: what it waits for is asked by the next session, its hand test with it. Where the
  part cures in another place it is carried there at the wait (and before an own step that asks pack, show or
  use), and back when that is reached; after the last step once more, if anything but wax was laid since.
- A session that cannot be done where the part stands (wet in a dust room, any work in a drying place) is
  preceded by carrying; what the session asks is asked before the carrying, so nothing leaves a warm place too
  early.
- `turned`: what is laid on both broad faces is two sessions, lower face first, turned between. To begin the
  next coat the part is turned back, unless it was sanded or scuffed on both faces since, which turns it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from rakelight.errors import Finding, Severity, Where
from rakelight.piece.model import Part
from rakelight.schedule.bench import Bench, Pending, slug
from rakelight.schedule.film_of import Skin, Taken, fepa, lay_of, removal_parts, taken_um
from rakelight.schedule.minutes import work_minutes
from rakelight.schedule.ops import Op, Share
from rakelight.schedule.own_waits import behind, waits_for_own
from rakelight.schedule.says import op_says
from rakelight.schedule.sides import broad_sides
from rakelight.schedule.steps import LAYING, Duration
from rakelight.schedule.tasks import Asks, Lay
from rakelight.spread import Spread

#: what an own step asks that is worth a stay in the place where the part cures
_LONG = ("pack", "show", "use")
#: what is laid on one broad face at a time where a part is turned (wax is buffed dry in the same block)
_BY_FACE = tuple(verb for verb in LAYING if verb != "wax")
_ABRADES = ("sand", "scuff", "level", "rub")


class Sessions(Bench):
    """Sessions of one part, or of its test board."""

    # -- the steps ------------------------------------------------------------------------------

    def run(self, ops: Sequence[Op]) -> None:
        """Write down the sessions of an order of work."""
        for op in ops:
            if op.do == "wait":
                self._wait(op)
            elif op.do == "move":
                self._move(op)
            elif op.do == "points":
                self._simple(op, "Stand it on points", Asks(op.step.when, self.laid_faces()))
                self.turning = False
            elif op.do == "turn":
                self._simple(op, "Turn it over", Asks(op.step.when, self._facing_up()))
                self.up = {"lower": "upper", "upper": "lower"}.get(self.up, "")
            else:
                self._work(op)

    def finish(self) -> None:
        """What stands after the last step: a wait asked for by nothing else, and the place where it dries."""
        self.cure()
        if self.pending:
            asks, also, test = self.merged(Asks())
            says = f"Wait: ready to {asks.readiness}" if asks.readiness else "Wait"
            self.add("wait", "wait", "wait", says, (), "none", Spread.exact(0), asks, also, test=test)

    def _wait(self, op: Op) -> None:
        laid = self.laid_faces(op.faces)
        own = waits_for_own(op.step)
        self.pending.append(Pending("" if own else op.step.for_, laid, op.step.test, op.step.at_least))
        if laid:
            self.cure()
        if own and not self.board:
            self.behind.append(behind(op.step.for_))

    def _move(self, op: Op) -> None:
        if op.step.to not in self.ground.shop.places:
            return
        self.carry(op.step.to, "", op=op)
        self.by_choice = True
        if op.step.to == self.cures_in:
            self.stay_due = False

    def _simple(self, op: Op, says: str, asks: Asks) -> None:
        asks, also, test = self.merged(asks)
        minutes = Spread.exact(op.step.minutes or self.ground.likely("turn_min"))
        self.add(
            op.name, op.do, op.name, says, (), "quiet", minutes, asks, also, test=test or op.step.test, op=op
        )

    # -- work -----------------------------------------------------------------------------------

    def _work(self, op: Op) -> None:
        if op.do == "own" and op.step.when in _LONG and not self.by_choice:
            self.cure()
        halves = self._halves(op)
        for number, (faces, side) in enumerate(halves):
            both = len(halves) > 1
            if side:
                self._turn_to(side, op, between=number > 0)
            label = (faces[0] if side == "lower" else self._upper_name(faces)) if both else ""
            self._session(op, faces, label, first=number == 0, last=number == len(halves) - 1)
        if op.do in _ABRADES and self._covers_both(op.faces):
            self.up = ""

    def _halves(self, op: Op) -> list[tuple[tuple[str, ...], str]]:
        """Faces laid in one session each, with the side that must lie up ("" where it does not matter)."""
        lower, upper = broad_sides(self.part)
        on_one = (lower in op.faces) != (upper in op.faces)
        by_face = op.do in _BY_FACE or (on_one and op.do in (*_ABRADES, "wax"))
        if not self.turning or not by_face or not (lower in op.faces or upper in op.faces):
            return [(op.faces, "")]
        if lower not in op.faces:
            return [(op.faces, "upper")]
        if upper not in op.faces:
            return [(op.faces, "lower")]
        return [((lower,), "lower"), (tuple(f for f in op.faces if f != lower), "upper")]

    def _covers_both(self, faces: Sequence[str]) -> bool:
        return all(name in faces for name in broad_sides(self.part))

    def _upper_name(self, faces: Sequence[str]) -> str:
        upper = broad_sides(self.part)[1]
        return f"{upper} and edges" if len(faces) > 1 else upper

    def _turn_to(self, side: str, op: Op, between: bool) -> None:
        if self.up and self.up != side:
            asks = Asks("turn", self._facing_up())
            says = f"Turn it over: {broad_sides(self.part)[0 if side == 'upper' else 1]} down"
            own = "turn" if between else "turn-back"
            minutes = Spread.exact(self.ground.likely("turn_min"))
            self.add(f"{op.name}/{own}", "turn", "turn", says, (), "quiet", minutes, asks)
        self.up = side

    def _facing_up(self) -> tuple[str, ...]:
        lower, upper = broad_sides(self.part)
        return self.laid_faces((lower,) if self.up == "lower" else (upper,))

    def _session(self, op: Op, faces: tuple[str, ...], label: str, first: bool, last: bool) -> None:
        lay = lay_of(replace(op, shares=tuple(_on(op, faces))), self.part, self.ground.facts)
        asks, also, test = self.merged(self._asks(op, faces, first), op.step.test)
        place = self._place_for(op)
        if place != self.here:
            self.carry(place, f"for-{slug(op.name)}", asks=(asks, *also), over=lay, test=test)
            asks, also, test = replace(asks, at_least=None), tuple(a for a in also if a.readiness), ""
        block = self._block_min(op)
        says = op_says(op, faces, label, self.ground.facts, block)
        minutes, least = self._minutes(op, faces)
        removes = self._touch(op, faces, lay)
        name = f"{op.name}/{label.split(' and ')[0]}" if label else op.name
        if not label and lay and self.known(op.name):  # another schedule's step of the same name
            label = " and ".join(faces) if len(faces) < 3 else "other faces"
            name = f"{op.name}/{label}"
            says = f"{says}; {label}"
        self.add(
            name,
            op.do,
            op.name,
            says,
            faces if op.do != "own" or op.step.on != "all" else (),
            op.step.work,
            minutes,
            asks,
            also,
            least=least,
            lay=lay,
            removes_um=taken_um(removes, self.ground.facts),
            takes=removes,
            grit=self._grit(op),
            block_min=block,
            wait_after=self._wait_after(op) if last else None,
            place=self.here if self.by_choice and op.do == "own" and op.step.work == "quiet" else "",
            gun=bool(lay and lay.by == "spray"),
            splittable=_may_be_put_down(op, self.part, block),
            test=test,
            op=op,
        )

    def _minutes(self, op: Op, faces: tuple[str, ...]) -> tuple[Spread, float]:
        if op.step.minutes is not None:
            return Spread.exact(op.step.minutes), 0.0
        least = self.ground.likely("labour_least_min")
        if op.do == "own":
            return Spread.exact(least), 0.0
        halved = replace(op, shares=tuple(_on(op, faces)))
        return work_minutes(halved, self.areas, self.shaped, self.ground.facts), least

    def _block_min(self, op: Op) -> float:
        """Time inside the block without work: soak, haze, a paste that dulls before it is wiped."""
        if op.do == "wax":
            return self.ground.likely("wax_rest_min")
        material = self.ground.facts.materials.get(op.step.material)
        if op.do == "oil" or op.step.flood:
            return self.ground.likely("oil_soak_min")
        if op.do == "fill" and material and material.mechanism == "oxidative":
            dulls = self.ground.facts.practice["P38"].value
            return dulls.likely if dulls else 0.0
        return 0.0

    def _grit(self, op: Op) -> int:
        return fepa(op.step.grits[-1], self.ground.facts) if op.step.grits else 0

    def _wait_after(self, op: Op) -> Duration | None:
        if op.step.wait is None and op.do == "raise grain":
            dries = self.ground.facts.practice["P15"].value
            return Duration(dries.likely) if dries else None
        return op.step.wait

    def _touch(self, op: Op, faces: tuple[str, ...], lay: Lay | None) -> Taken:
        """Let it happen to the faces; returns the most an abrasive takes from any of them."""
        facts = self.ground.facts
        taken: Taken = ()
        for name in faces:
            skin = self.skins.get(name, Skin())
            if lay:
                self.skins[name] = skin.laid(lay, self.ground.facts.materials[lay.material])
            elif op.do in _ABRADES:
                removed, self.skins[name] = removal_parts(op, skin, facts)
                taken = max(taken, removed, key=lambda parts: taken_um(parts, facts))
        if lay:
            self.drying = faces
            if op.do != "wax":
                self.stay_due = True
        return taken

    def _asks(self, op: Op, faces: tuple[str, ...], first: bool) -> Asks:
        laid = self.laid_faces() if op.do == "own" and op.step.on == "all" else self.laid_faces(faces)
        self._check_rub(op, laid)
        return Asks(
            readiness=op.step.when if laid else "",
            faces=laid,
            at_least=op.step.at_least if first else None,
            at_most=op.step.at_most if first else None,
            abraded=bool(laid) and all(self.skins[f].abraded for f in laid),
            a_day=op.step.a_day if first else None,
        )

    def _check_rub(self, op: Op, laid: tuple[str, ...]) -> None:
        if op.step.when != "rub" and not any(p.readiness == "rub" for p in self.pending):
            return
        for name in laid:
            film = self.skins[name].film or self.skins[name].last
            material = self.ground.facts.materials[film.material] if film else None
            if material and "rub_out_ready" not in material.time_h:
                where = Where(file=self.ground.file, line=op.step.line, part=self.part.name, step=op.name)
                says = f"{material.name.split(' (')[0]} is not a finish that can be rubbed out."
                mend = "Leave out levelling and rubbing, or lay what hardens: shellac, lacquer, varnish."
                self.fault(Finding("cannot-be-rubbed", Severity.ERROR, where, says, mend))

    def _place_for(self, op: Op) -> str:
        if op.step.work == "quiet" and self.by_choice and op.do == "own":
            return self.here
        return self.ground.shop.place_for(op.step.work, self.here)


def _on(op: Op, faces: tuple[str, ...]) -> list[Share]:
    kept = [replace(share, faces=tuple(f for f in share.faces if f in faces)) for share in op.shares]
    return [share for share in kept if share.faces] or list(op.shares[:1])


def _may_be_put_down(op: Op, part: Part, block_min: float) -> bool:
    """Dusty and dirty work; quiet work with no wait after it, or on several parts; never a block."""
    if block_min or op.do in LAYING or op.step.work == "wet":
        return False
    if op.step.work in ("dusty", "dirty"):
        return True
    return op.do == "own" and (part.count > 1 or op.step.wait is None)
