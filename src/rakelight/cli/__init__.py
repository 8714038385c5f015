"""The command line: the same verbs as the pages, for people and, with --json, for other programs."""

from rakelight.cli.app import main

__all__ = ["main"]
