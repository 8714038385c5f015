"""Rules: what may be wrong with a piece, its schedules, or a plan."""

from rakelight.rules.checking import check
from rakelight.rules.registry import Rule, rules

__all__ = ["Rule", "check", "rules"]
