"""Stretches of work in which nothing is searched for garbage.

Objects by the ten thousand, none of which refer to each other in circles, make Python look through
all of them again and again.
"""

from __future__ import annotations

import gc
from collections.abc import Iterator
from contextlib import contextmanager


@contextmanager
def garbage_left() -> Iterator[None]:
    """For work whose objects go by themselves when it is done."""
    searched = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if searched:
            gc.enable()


@contextmanager
def nothing_thrown_away() -> Iterator[None]:
    """For making much that stays to the end: it is not searched, now or later."""
    gc.disable()
    try:
        yield
    finally:
        gc.freeze()
        gc.enable()
