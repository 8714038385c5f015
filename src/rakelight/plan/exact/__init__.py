"""Proven plans: the only room that asks OR-Tools. Nothing here is imported until a plan is asked of it."""
