"""What is worth saying of a piece that reads well: faces that get no finish."""

from __future__ import annotations

from rakelight.errors import Finding, Severity, Where
from rakelight.piece.faces import said_faces
from rakelight.piece.finish import named_for
from rakelight.piece.model import Face, Part, Piece


def check_piece(piece: Piece) -> list[Finding]:
    """Findings on the faces of a piece's parts, in order of the file."""
    found: list[Finding] = []
    for part in piece.parts.values():
        if part.joined:
            continue
        bare = [f for f in part.faces if f.coated and not _finished(piece, part, f)]
        found.extend(_without_finish(piece, part, bare))
    return found


def _finished(piece: Piece, part: Part, face: Face) -> bool:
    """Whether a part, or one it is joined into, lays anything on a face."""
    if named_for(part, face):
        return True
    for user in piece.users_of(part.name):
        carried = next((f for f in user.faces if (part.name, face.name) in f.members), None)
        if carried and _finished(piece, user, carried):
            return True
    return False


def _without_finish(piece: Piece, part: Part, bare: list[Face]) -> list[Finding]:
    where = Where(piece.file, part.line, part.name)
    coated = [f for f in part.faces if f.coated]
    if f"part.{part.name}.finish" in piece.lines and not part.finish:
        return []  # it could not be read, and that has been said
    if len(bare) == len(coated) and bare:
        shown = [f.name for f in bare if f.role == "show"]
        severity = Severity.WARNING if shown else Severity.NOTE
        says = f"{part.shown} gets no finish: it stays bare."
        return [
            Finding(
                "no-finish", severity, where, says, 'Write finish = "oil-and-wax", or the schedule you want.'
            )
        ]
    found = []
    shown = [f.name for f in bare if f.role == "show"]
    if shown:
        does = "shows but gets" if len(shown) == 1 and not shown[0].endswith("s") else "show but get"
        says = f"{part.shown}: {said_faces(shown)} {does} no finish."
        mend = f'Name one in finish, or write faces = {{ {_key(shown[0])} = "bare" }} to leave it so.'
        found.append(Finding("show-without-finish", Severity.WARNING, where, says, mend))
    for face in bare:
        if face.role == "inside":
            closed = "closed " if face.closed else ""
            says = f"{part.shown}: the inside of the {closed}{part.kind} gets nothing."
            mend = f'Name a finish for it, as {face.name} = "seal-only" in finish, or leave it bare.'
            found.append(Finding("inside-bare", Severity.NOTE, where, says, mend).at(face=face.name))
    return found


def _key(name: str) -> str:
    return f'"{name}"' if " " in name else name
