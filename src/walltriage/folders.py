"""The user's own folders, as the XDG base directory standard names them."""

from __future__ import annotations

import os
import sys
import tempfile
from pathlib import Path


def user_folder(variable: str, *usual: str) -> Path:
    """``$variable/walltriage``, else that folder under the home folder.

    A relative value is ignored, as that standard asks.  On Windows it is the folder of local
    application data instead.  A user without a home folder, as in some containers, gets a
    folder of their own among the temporary ones.
    """
    given = Path(os.environ.get(variable, ""))
    if given.is_absolute():
        return given / "walltriage"
    local = Path(os.environ.get("LOCALAPPDATA", ""))
    if sys.platform == "win32" and local.is_absolute():
        return local.joinpath("walltriage", usual[-1])
    try:
        home = Path.home()
    except RuntimeError:
        user = os.getuid() if hasattr(os, "getuid") else "user"
        return Path(tempfile.gettempdir(), f"walltriage-of-{user}", *usual)
    return home.joinpath(*usual, "walltriage")
