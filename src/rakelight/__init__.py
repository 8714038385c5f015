"""Plans the finishing of one-off furniture and carries it through to the date."""

__version__ = "0.1.0"
