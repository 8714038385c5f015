"""Plain data on the way out, and how wide text may be."""

from __future__ import annotations

import json
import shutil
from typing import Any


def data(value: dict[str, Any]) -> None:
    """Print an answer as JSON."""
    print(json.dumps(value, ensure_ascii=False, indent=2, allow_nan=False))


def width() -> int:
    """Columns to write in: the terminal's, 100 where there is none."""
    return min(max(shutil.get_terminal_size((100, 24)).columns, 50), 120)
