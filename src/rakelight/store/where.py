"""Where the shop's file lies when it is not named."""

from __future__ import annotations

import os
import sys
from pathlib import Path

#: names the shop's file where no option does
VARIABLE = "RAKELIGHT_SHOP"
NAME = "shop.rakelight"


def shop_file(said: Path | None = None) -> Path:
    """The shop's file: the one said, else the one the variable RAKELIGHT_SHOP names, else in the user's data folder."""
    if said is not None:
        return said
    named = os.environ.get(VARIABLE, "").strip()
    return Path(named).expanduser() if named else data_folder() / NAME


def data_folder() -> Path:
    """The user's folder for data of this program, as the system has it."""
    if sys.platform == "win32":
        home = os.environ.get("LOCALAPPDATA") or str(Path.home() / "AppData" / "Local")
        return Path(home) / "rakelight"
    if sys.platform == "darwin":
        return Path.home() / "Library" / "Application Support" / "rakelight"
    return Path(os.environ.get("XDG_DATA_HOME") or Path.home() / ".local" / "share") / "rakelight"
