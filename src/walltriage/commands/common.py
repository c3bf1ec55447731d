"""What commands share: the rules option, a compiled knowledge base, a progress bar."""

from __future__ import annotations

import gc
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

if TYPE_CHECKING:
    from walltriage.inference.triage import Triager


def rules_option(function: Callable[..., Any]) -> Callable[..., Any]:
    """``--rules DIR``: another knowledge base than the one shipped."""
    return click.option(
        "--rules",
        "rules_folder",
        type=click.Path(path_type=Path),
        help="Use the knowledge base in this folder.",
    )(function)


def load_triager(rules_folder: Path | None) -> Triager:
    """Read and compile the knowledge base."""
    from walltriage.inference.triage import Triager
    from walltriage.knowledge.kept import cache_folder
    from walltriage.knowledge.load import load_knowledge
    from walltriage.rules_folder import default_rules_folder

    with _nothing_thrown_away():
        return Triager(load_knowledge(rules_folder or default_rules_folder(), cache_folder()))


@contextmanager
def _nothing_thrown_away() -> Iterator[None]:
    """For making much that stays to the end: it is not searched for garbage, now or later."""
    gc.disable()
    try:
        yield
    finally:
        gc.freeze()
        gc.enable()


@contextmanager
def progress(label: str, total: int) -> Iterator[Callable[[], object]]:
    """A progress bar on stderr, on a terminal only; yields what to call at each step."""
    if not sys.stderr.isatty():
        yield lambda: None
        return
    with click.progressbar(length=total, label=label, file=sys.stderr) as bar:
        yield lambda: bar.update(1)
