"""Schema 1: texts, pieces, schedules, settings, events and kept plans."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

from rakelight.store.never_changed import never_changed, once_only

revision = "0001"
down_revision = None


def upgrade() -> None:
    """Make the tables."""
    op.create_table(
        "texts",
        sa.Column("hash", sa.String(64), primary_key=True),
        sa.Column("body", sa.Text, nullable=False),
    )
    op.create_table(
        "pieces",
        sa.Column("key", sa.String(100), primary_key=True),
        sa.Column("name", sa.Text, nullable=False),
        sa.Column("file", sa.Text, nullable=False),
        sa.Column("text_hash", sa.String(64), sa.ForeignKey("texts.hash"), nullable=False),
        sa.Column("added", sa.String(40), nullable=False),
        sa.Column("put_away", sa.String(40)),
    )
    op.create_table(
        "schedules",
        sa.Column("name", sa.String(100), primary_key=True),
        sa.Column("text_hash", sa.String(64), sa.ForeignKey("texts.hash"), nullable=False),
    )
    op.create_table(
        "piece_schedules",
        sa.Column("piece", sa.String(100), sa.ForeignKey("pieces.key"), primary_key=True),
        sa.Column("name", sa.String(100), primary_key=True),
        sa.Column("text_hash", sa.String(64), sa.ForeignKey("texts.hash"), nullable=False),
    )
    op.create_table(
        "settings",
        sa.Column("name", sa.String(100), primary_key=True),
        sa.Column("value", sa.Text, nullable=False),
    )
    op.create_table(
        "events",
        sa.Column("seq", sa.Integer, primary_key=True, autoincrement=True),
        sa.Column("id", sa.String(100), nullable=False, unique=True),
        sa.Column("piece", sa.String(100), sa.ForeignKey("pieces.key")),
        sa.Column("kind", sa.String(20), nullable=False),
        sa.Column("happened", sa.String(40), nullable=False),
        sa.Column("written", sa.String(40), nullable=False),
        sa.Column("maker", sa.Text, nullable=False),
        sa.Column("device", sa.Text, nullable=False),
        sa.Column("task", sa.Text, nullable=False),
        sa.Column("what", sa.Text, nullable=False),
        sa.Column("more", sa.Text, nullable=False),
        sqlite_autoincrement=True,
    )
    op.create_index("events_of_piece", "events", ["piece", "seq"])
    op.create_index("events_of_kind", "events", ["kind", "seq"])
    op.create_table(
        "plans",
        sa.Column("event", sa.String(100), sa.ForeignKey("events.id"), primary_key=True),
        sa.Column("body", sa.Text, nullable=False),
    )
    for line in (
        *never_changed("events"), *once_only("events", "id", "seq"),
        *never_changed("plans"), *once_only("plans", "event"),
        *never_changed("texts"), *once_only("texts", "hash"),
    ):  # fmt: skip
        op.execute(line)
