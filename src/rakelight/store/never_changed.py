"""What the database itself refuses: changing or removing what was written, and writing it a second time."""

from __future__ import annotations

#: said by the database; a person sees it only where something else than rakelight writes into the file
SAYS = "what was told is never changed: tell a correction, or take it back"


def never_changed(table: str) -> tuple[str, ...]:
    """Statements that make a table one that is only added to."""
    return tuple(
        f"CREATE TRIGGER {table}_no_{how.lower()} BEFORE {how} ON {table} BEGIN SELECT RAISE(ABORT, '{SAYS}'); END"
        for how in ("UPDATE", "DELETE")
    )


def once_only(table: str, *keys: str) -> tuple[str, ...]:
    """Statements that refuse a row whose key is there: INSERT OR REPLACE would take the old one out unheard."""
    same = " OR ".join(f"{key} = NEW.{key}" for key in keys)
    return (
        f"CREATE TRIGGER {table}_once BEFORE INSERT ON {table} "
        f"WHEN EXISTS (SELECT 1 FROM {table} WHERE {same}) BEGIN SELECT RAISE(ABORT, '{SAYS}'); END",
    )
