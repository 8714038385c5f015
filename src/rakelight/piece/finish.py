"""What a part says of its finish: one schedule, or one by face or role, whole or from one step to another."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from rakelight.errors import Misread, Severity
from rakelight.piece.kinds import ROLES
from rakelight.piece.model import Face, FinishUse, Part
from rakelight.reading import Table, text

_MEND = 'Write a schedule\'s name, as finish = "oil-and-wax", or { show = "oil-and-wax" }.'


def read_finish(
    table: Table, faces: tuple[Face, ...], picked: Callable[[str], list[str]]
) -> dict[str, FinishUse]:
    """`finish` of a part by face, role or "all"; names of several faces are written out to each of them."""
    value = table.data.get("finish")
    if value is None:
        return {}
    if not isinstance(value, dict):
        name = table.take("finish", _schedule)
        return {"all": FinishUse(name, line=table.line("finish"))} if name else {}
    given = table.child("finish")
    if given is None:
        return {}
    if "as" in given:
        use = _use(table, "finish")
        return {"all": use} if use else {}
    roles = {face.name: face.role for face in faces}
    exact: dict[str, FinishUse] = {}
    spread: dict[str, FinishUse] = {}
    for key in given.data:
        use = _use(given, key)
        if key == "all":
            exact |= {key: use} if use else {}
            continue
        try:
            names = picked(key)
        except Misread as bad:
            if key not in ROLES:
                given.fault(
                    "unknown-face", bad.says, f"{bad.mend} Or name a role: {', '.join(ROLES[:3])}.", key
                )
            elif use and _role_takes(given, key):
                exact[key] = use
            continue
        coated = _may_take(given, key, names, roles)
        (exact if coated == [key] else spread).update(dict.fromkeys(coated, use) if use else {})
    return spread | exact


def named_for(part: Part, face: Face) -> FinishUse | None:
    """What a part lays on a face: a face beats a role, a role beats `all`, and `all` leaves out the inside.

    None where nothing is named for it, or its role takes no finish.
    """
    if not face.coated:
        return None
    role_or_all = part.finish.get(face.role) or (None if face.role == "inside" else part.finish.get("all"))
    return part.finish.get(face.name) or role_or_all


def _role_takes(given: Table, role: str) -> bool:
    """Whether a role may be finished; else a finding."""
    return bool(_may_take(given, role, [role], {role: role}))


def _may_take(given: Table, key: str, names: list[str], roles: dict[str, str]) -> list[str]:
    """Those of the named faces that may be finished; a finding where none may."""
    if any(roles[n] in ("show", "hidden", "inside") for n in names):
        return [n for n in names if roles[n] in ("show", "hidden", "inside")]
    masked = [n for n in names if roles[n] in ("glue", "fitting")]
    if masked:
        _refuse(given, key, roles[masked[0]])
        return []
    given.fault(
        "finish-on-bare",
        f"{key} is {roles[names[0]]}, so it gets no finish, yet one is named for it.",
        f'Leave it out, or write faces = {{ {key} = "show" }}.',
        key,
        severity=Severity.WARNING,
    )
    return []


def _refuse(given: Table, key: str, role: str) -> None:
    says = f"{key} is masked ({role}): no finish may be named for it."
    given.fault("finish-on-glue", says, "Leave it out, or give the face another role in faces.", key)


def _schedule(value: Any) -> str:
    try:
        return text(value)
    except Misread:
        raise Misread("this names no schedule.", _MEND) from None


def _use(table: Table, key: str) -> FinishUse | None:
    line = table.line(key)
    if not isinstance(table.data[key], dict):
        name = table.take(key, _schedule)
        return FinishUse(name, line=line) if name else None
    use = table.child(key)
    assert use is not None
    use.only(("as", "from", "to"), "a finish")
    name = use.need("as", _schedule, 'Write { as = "shellac-and-wax", to = "coat" }.')
    first, last = use.take("from", text), use.take("to", text)
    return FinishUse(name, first or "", last or "", line) if name else None
