"""One part on the bench while its sessions are written down: where it stands, what lies on it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

from rakelight.errors import Finding
from rakelight.facts.load import Facts
from rakelight.piece.model import Part
from rakelight.schedule.film_of import Skin
from rakelight.schedule.ops import Op
from rakelight.schedule.rags import rags_after
from rakelight.schedule.says import board_says
from rakelight.schedule.steps import Duration
from rakelight.schedule.tasks import NO_RAGS, Asks, Lay, Task
from rakelight.shop.model import Shop
from rakelight.spread import Spread


@dataclass(frozen=True)
class Session:
    """One session for all alike parts, before lots: minutes are for one of them."""

    task: Task
    one: Spread
    least_min: float = 0.0
    trips: bool = False  # carried: small parts several at once
    op: Op | None = None
    rags: Spread = NO_RAGS  # minutes for what is wet with drying oil, once for all parts of a lot

    @property
    def wet(self) -> bool:
        """Whether it lays something, or wets the wood: parts must stand to dry after it."""
        return self.task.lay is not None or self.task.work == "wet"


@dataclass(frozen=True)
class Pending:
    """A `wait` on its way to the next session."""

    readiness: str
    faces: tuple[str, ...]
    test: str
    at_least: Duration | None


@dataclass
class Ground:
    """What sessions of any part need to know."""

    shop: Shop
    facts: Facts
    found: list[Finding] = field(default_factory=list)
    file: str = ""

    def likely(self, id: str) -> float:
        """Likely value of a figure."""
        return self.facts.figures[id].value.likely


#: nothing need be true before
NOTHING = Asks()


class Bench:
    """One part, or its test board, as its sessions are written down one after another."""

    def __init__(
        self,
        part: Part,
        ground: Ground,
        shaped: frozenset[str] = frozenset(),
        skins: Mapping[str, Skin] | None = None,
        board: bool = False,
    ) -> None:
        self.part = part
        self.ground = ground
        self.shaped = shaped
        self.board = board
        self.prefix = f"{part.name}/board" if board else part.name
        old = {f.name for f in part.faces if part.old_on(f.name) and not board}
        self.skins: dict[str, Skin] = {f.name: Skin(coats=int(f.name in old)) for f in part.faces} | dict(skins or {})
        self.areas = {f.name: f.area_m2 for f in part.faces}
        self.here = ground.shop.first_place.name
        self.by_choice = False  # stands here because a `move` step says so
        self.turning = part.both_faces == "turned" and not board
        self.up = ""  # side that lies up: lower, upper; "" either
        self.drying: tuple[str, ...] = ()  # faces laid last
        self.stay_due = False  # something but wax was laid since it last stood where it cures
        self.pending: list[Pending] = []
        self.behind: list[str] = []  # own steps the next session waits for
        self.rows: list[Session] = []
        self.ids: dict[str, int] = {}
        known = part.cures_in in ground.shop.places
        self.cures_in = part.cures_in if known else ""

    # -- what is asked --------------------------------------------------------------------------

    def laid_faces(self, names: Sequence[str] = ()) -> tuple[str, ...]:
        """Those of some faces (default all) on which anything lies."""
        return tuple(n for n in (names or self.skins) if self.skins.get(n, Skin()).last)

    def fault(self, finding: Finding) -> None:
        """Note what is wrong, once."""
        if not self.board and finding not in self.ground.found:
            self.ground.found.append(finding)

    def merged(self, asks: Asks, own_test: str = "") -> tuple[Asks, tuple[Asks, ...], str]:
        """What a session asks together with the waits before it: all of it must be so."""
        also: list[Asks] = []
        test = own_test
        for wait in self.pending:
            test = wait.test or test
            if wait.readiness and wait.faces:
                if wait.readiness == asks.readiness or not asks.readiness:
                    faces = tuple(dict.fromkeys((*asks.faces, *wait.faces)))
                    asks = replace(asks, readiness=wait.readiness, faces=faces)
                else:
                    also.append(Asks(wait.readiness, wait.faces))
            if wait.at_least:
                if asks.at_least is None:
                    asks = replace(asks, at_least=wait.at_least)
                else:
                    also.append(Asks(at_least=wait.at_least))
        self.pending = []
        return asks, tuple(also), test

    # -- carrying -------------------------------------------------------------------------------

    def cure(self) -> None:
        """Carry the part to where it cures, if it has one and anything must dry."""
        if self.cures_in and self.here != self.cures_in and self.stay_due:
            after = slug(self.rows[-1].task.id.removeprefix(f"{self.prefix}/")) if self.rows else "start"
            self.carry(self.cures_in, f"after-{after}")
            self.stay_due = False

    def carry(
        self,
        to: str,
        label: str,
        asks: tuple[Asks, ...] = (),
        over: Lay | None = None,
        test: str = "",
        op: Op | None = None,
        follows: tuple[str, ...] = (),
    ) -> None:
        """Carry the part to a place: dust-free where a dry or bare face can be held, else ready to handle."""
        if to == self.here and op is None:
            return
        laid = self.laid_faces()
        main, also = (asks[0], asks[1:]) if asks else (Asks(), ())
        if op is not None:
            main, also, test = self.merged(main, op.step.test)
            main = replace(main, at_least=op.step.at_least or main.at_least)
        hold = Asks(self._to_carry(), laid) if laid else Asks()
        if main.readiness or not laid:
            also = (*also, hold) if laid else also
        else:
            main = replace(main, readiness=hold.readiness, faces=laid)
        if over and main.readiness in ("next coat", "wax"):
            main = replace(main, over=over)
        name = f"to-{slug(to)}-{label}" if label else f"to-{slug(to)}"
        places = self.ground.shop.places
        away = [places[p].carry_min for p in (self.here, to) if p != self.ground.shop.first_place.name]
        minutes = Spread.exact(max(away, default=self.ground.likely("carry_min")))
        if op is not None and op.step.minutes is not None:
            minutes = Spread.exact(op.step.minutes)
        says = f"Carry to the {to}"
        step = op.name if op else "move"
        self.add(
            name, "move", step, says, (), "quiet", minutes, main, also, test=test, move_to=to, trips=True,
            op=op, follows=follows, wait_after=op.step.wait if op else None,
        )  # fmt: skip
        self.here = to
        self.by_choice = False

    def _to_carry(self) -> str:
        """Readiness to be carried: dust-free, held by a dry or bare face; all freshly laid: handle.

        What is wiped off (oil, stain) leaves no film to print: dust-free is enough.
        """
        free = [f.name for f in self.part.faces if f.name not in self.drying]
        last = [self.skins[n].last for n in self.drying if n in self.skins]
        wiped = all(lay is None or lay.dry_um <= 0 for lay in last)
        return "dust-free" if free or wiped else "handle"

    # -- writing down ---------------------------------------------------------------------------

    def add(
        self,
        name: str,
        do: str,
        step: str,
        says: str,
        faces: tuple[str, ...],
        work: str,
        minutes: Spread,
        asks: Asks = NOTHING,
        also: tuple[Asks, ...] = (),
        least: float = 0.0,
        trips: bool = False,
        op: Op | None = None,
        **more: object,
    ) -> Task:
        """Write down a session; minutes are for one part."""
        if self.behind:
            more["follows"] = (*more.get("follows", ()), *self.behind)  # type: ignore[misc]
            self.behind = []
        task = Task(
            id=self._id(name),
            part=self.part.name,
            step=step,
            do=do,
            says=board_says(says) if self.board else says,
            faces=faces,
            work=work,
            minutes=minutes,
            asks=asks,
            also=also,
            board=self.board,
            scheduled=op.step if op else None,
            by_date=op.step.by_date if op else "",
            tools=op.step.tools if op else (),
            area_m2=sum(self.areas.get(f, 0.0) for f in faces),
            **more,  # type: ignore[arg-type]
        )
        self.rows.append(Session(task, minutes, least, trips, op, rags_after(task, self.ground.facts)))
        return task

    def known(self, name: str) -> bool:
        """Whether a session is called so already."""
        return f"{self.prefix}/{slug(name)}" in self.ids

    def _id(self, name: str) -> str:
        base = f"{self.prefix}/" + "/".join(slug(word) for word in name.split("/"))
        self.ids[base] = self.ids.get(base, 0) + 1
        return base if self.ids[base] == 1 else f"{base}-{self.ids[base]}"


def slug(words: str) -> str:
    """Words as they stand in an id."""
    kept = "".join(c.lower() if c.isalnum() else " " for c in words)
    return "-".join(kept.split()) or "step"
