"""Where the knowledge base lies: inside the installed package, or in a checkout beside ``src``."""

from __future__ import annotations

from pathlib import Path

from walltriage.errors import refuse


def default_rules_folder() -> Path:
    """The rules shipped with the program; :class:`InputError` when neither place holds them."""
    package = Path(__file__).resolve().parent
    for folder in (package / "rules", package.parents[1] / "rules"):
        if (folder / "sources.yaml").is_file():
            return folder
    raise refuse("rules", "the knowledge base is missing", "reinstall, or give --rules DIR")
