"""The tables as they are now, for queries; the migrations make them. Words: docs/shop-file.md."""

from __future__ import annotations

import sqlalchemy as sa

#: says that a database is a shop's file: "Rake" in four bytes
APPLICATION_ID = 0x52616B65
#: number of the newest migration
SCHEMA = 2

metadata = sa.MetaData()

texts = sa.Table(
    "texts",
    metadata,
    sa.Column("hash", sa.String(64), primary_key=True),
    sa.Column("body", sa.Text, nullable=False),
)

pieces = sa.Table(
    "pieces",
    metadata,
    sa.Column("key", sa.String(100), primary_key=True),
    sa.Column("name", sa.Text, nullable=False),
    sa.Column("file", sa.Text, nullable=False),
    sa.Column("text_hash", sa.String(64), sa.ForeignKey("texts.hash"), nullable=False),
    sa.Column("added", sa.String(40), nullable=False),
    sa.Column("put_away", sa.String(40)),
    sa.Column("finished", sa.String(40)),
)

schedules = sa.Table(
    "schedules",
    metadata,
    sa.Column("name", sa.String(100), primary_key=True),
    sa.Column("text_hash", sa.String(64), sa.ForeignKey("texts.hash"), nullable=False),
)

piece_schedules = sa.Table(
    "piece_schedules",
    metadata,
    sa.Column("piece", sa.String(100), sa.ForeignKey("pieces.key"), primary_key=True),
    sa.Column("name", sa.String(100), primary_key=True),
    sa.Column("text_hash", sa.String(64), sa.ForeignKey("texts.hash"), nullable=False),
)

settings = sa.Table(
    "settings",
    metadata,
    sa.Column("name", sa.String(100), primary_key=True),
    sa.Column("value", sa.Text, nullable=False),
)

events = sa.Table(
    "events",
    metadata,
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
sa.Index("events_of_piece", events.c.piece, events.c.seq)
sa.Index("events_of_kind", events.c.kind, events.c.seq)

plans = sa.Table(
    "plans",
    metadata,
    sa.Column("event", sa.String(100), sa.ForeignKey("events.id"), primary_key=True),
    sa.Column("body", sa.Text, nullable=False),
)

photographs = sa.Table(
    "photographs",
    metadata,
    sa.Column("hash", sa.String(64), primary_key=True),
    sa.Column("bytes", sa.Integer, nullable=False),
    sa.Column("added", sa.String(40), nullable=False),
)
