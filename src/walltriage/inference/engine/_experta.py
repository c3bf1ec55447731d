"""Import experta 1.9.4 on Python 3.10 and later; every other module imports experta from here.

Its dependency frozendict 1.2 looks for ``collections.Mapping``, gone since 3.10, so the
name is lent for the length of the import.  experta also configures root logging and
swallows ImportError; both are undone here.
"""

from __future__ import annotations

import collections
import collections.abc
import logging

_handlers = logging.root.handlers[:]
collections.Mapping = collections.abc.Mapping  # type: ignore[attr-defined]
try:
    import experta
    import frozendict  # noqa: F401
finally:
    del collections.Mapping  # type: ignore[attr-defined]
    logging.root.handlers[:] = _handlers

if not hasattr(experta, "KnowledgeEngine"):
    raise ImportError("experta is installed without its dependencies frozendict and schema")

from experta import Fact, KnowledgeEngine, Rule  # noqa: E402
from experta.abstract import Matcher, Strategy  # noqa: E402
from experta.activation import Activation  # noqa: E402
from experta.agenda import Agenda  # noqa: E402

__all__ = [
    "Activation",
    "Agenda",
    "Fact",
    "KnowledgeEngine",
    "Matcher",
    "Rule",
    "Strategy",
    "experta",
]
