"""Schema 2: photographs, and the day a piece was finished."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

from rakelight.store.never_changed import never_changed, once_only

revision = "0002"
down_revision = "0001"


def upgrade() -> None:
    """Make the table of photographs; their files stand beside the shop's file."""
    op.create_table(
        "photographs",
        sa.Column("hash", sa.String(64), primary_key=True),
        sa.Column("bytes", sa.Integer, nullable=False),
        sa.Column("added", sa.String(40), nullable=False),
    )
    for line in (*never_changed("photographs"), *once_only("photographs", "hash")):
        op.execute(line)
    op.add_column("pieces", sa.Column("finished", sa.String(40)))
