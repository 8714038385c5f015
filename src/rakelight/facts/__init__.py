"""Tables of facts with their sources."""

from rakelight.facts.load import Facts, load

__all__ = ["Facts", "load"]
