"""The facade: all that the command line and the pages may call."""

from rakelight.desk.one_piece import Answer, Desk, NotFound, Refused, open_desk

__all__ = ["Answer", "Desk", "NotFound", "Refused", "open_desk"]
