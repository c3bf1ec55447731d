"""Where the knowledge base lies when no folder is named."""

from __future__ import annotations

from pathlib import Path

from walltriage.errors import InputError, Problem


def default_rules_folder() -> Path:
    """The ``rules`` folder of the installed package, else of the checkout around ``src``.

    Raises :class:`InputError` when there is neither.
    """
    package = Path(__file__).resolve().parent
    for folder in (package / "rules", package.parents[1] / "rules"):
        if folder.is_dir():
            return folder
    problem = Problem("rules", 0, 0, "no rules folder found", "name one with --rules DIR")
    raise InputError(problem)
