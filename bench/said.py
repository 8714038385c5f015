"""One JSON line a figure: its name, value and unit, what it is held against, and the ratio to that."""

from __future__ import annotations

import json


def say(name: str, value: float, unit: str, against: str = "", ratio: float | None = None) -> None:
    """One figure."""
    row = {"name": name, "value": round(value, 4), "unit": unit, "against": against}
    print(json.dumps({**row, "ratio": None if ratio is None else round(ratio, 4)}), flush=True)
