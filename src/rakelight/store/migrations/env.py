"""Runs the migrations on the connection given, in the transaction that is open on it."""

from __future__ import annotations

from alembic import context

context.configure(connection=context.config.attributes["connection"], transactional_ddl=True)
context.run_migrations()
