"""Plain data on the way out."""

from __future__ import annotations

import json
from typing import Any


def data(value: dict[str, Any]) -> None:
    """Print an answer as JSON."""
    print(json.dumps(value, ensure_ascii=False, indent=2))
