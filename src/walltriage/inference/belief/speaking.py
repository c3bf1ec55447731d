"""Which answers speak against a load path, or for it, each by itself; the same for all walls."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from functools import cached_property

import numpy as np

from walltriage.case.model import DEGREES
from walltriage.inference.belief.evidence import evidence_code
from walltriage.inference.belief.kernel import Kernel, Told
from walltriage.inference.belief.tree import Belief
from walltriage.inference.columns.codes import Bools, Floats
from walltriage.knowledge.base import KnowledgeBase
from walltriage.knowledge.schema import Clue

Codes = list[tuple[str, Bools]]
"""Clues, each with what holds of its evidence codes (codes,)."""


class Speaking:
    """The answers of a knowledge base that speak for or against its load paths."""

    def __init__(self, base: KnowledgeBase, belief: Belief, kernel: Kernel) -> None:
        self.base, self.belief, self.kernel = base, belief, kernel
        self._live = [clue for clue in base.clues() if clue.status != "retired"]
        self._plainly_for: dict[str, Codes] = {}
        self._logs: dict[tuple[str, str], Mapping[str, Floats]] = {}
        self.against = {path: self._looks_against(path) for path in base.paths}
        """By path: clues that somebody sees, with the codes that speak against it."""

    def _looks_against(self, path: str) -> Codes:
        guessed = evidence_code(0, DEGREES.index("guess"))  # what was only guessed nobody saw
        found: Codes = []
        for clue in self._clues_of(path):
            if is_direct(self.base, clue):
                against = self._speaks(clue, np.less, path)
                against[guessed :: len(DEGREES)] = False
                if against.any():
                    found.append((clue.id, against))
        return found

    def plainly_for(self, path: str) -> Codes:
        """Clues with the codes that by themselves speak plainly for a path.  Worked out for the
        first wall that asks for it: most never do."""
        if path not in self._plainly_for:
            times = self.base.guards.thresholds["contrary_answer_at_least"]

            def plainly(bears: Floats, clear: Floats) -> Bools:
                speaks: Bools = 10 ** (bears - clear) >= times
                return speaks

            speak = [(clue.id, self._speaks(clue, plainly, path)) for clue in self._clues_of(path)]
            self._plainly_for[path] = [one for one in speak if one[1].any()]
        return self._plainly_for[path]

    def _clues_of(self, path: str) -> Iterable[Clue]:
        return (clue for clue in self._live if clue.condition in self.belief.tables[path])

    @cached_property
    def adverse(self) -> list[tuple[dict[str, np.ndarray], bool]]:
        """Groups of clues, each with the codes that speak for bearing; whether the whole group
        goes with one of them, as the clues of one question do.  Most walls never ask for it."""
        adverse: dict[str, np.ndarray] = {}
        groups: dict[tuple[str, str], list[str]] = {}
        for clue in self._live:
            paths = [p for p, tables in self.belief.tables.items()
                     if clue.condition in tables and self.base.paths[p].entry.bears]  # fmt: skip
            if not paths:
                continue
            adverse[clue.id] = np.logical_or.reduce(
                [self._speaks(clue, np.greater, path) for path in paths]
            )
            place = self.base.questions[clue.question].place
            for key in (("question", clue.question), ("condition", clue.condition),
                        ("place", place)):  # fmt: skip
                groups.setdefault(key, []).append(clue.id)
        return [
            ({name: adverse[name] for name in names}, kind == "question")
            for (kind, _), names in groups.items()
        ]

    def _speaks(self, clue: Clue, than: Callable[[Floats, Floats], Bools], path: str) -> Bools:
        """By evidence code (codes,): whether that answer alone weighs so on the path."""
        bears, clear = self._alone(path, clue.condition)[clue.id]
        speaks = than(bears, clear)
        speaks[0] = False  # no evidence
        return speaks

    def _alone(self, path: str, condition: str) -> Mapping[str, Floats]:
        """By clue of a condition: the logarithms of how likely each answer is, by evidence code,
        where the path bears and where it does not (2, codes); all clues of it in one go."""
        if (path, condition) not in self._logs:
            table = self.belief.tables[path][condition]
            shown = [self.kernel.clues[clue].table for clue in table.rows]  # as likely in any path
            sides = np.array((table.bearing, table.not_bearing))[:, :, None]
            logs = np.log10((sides * np.concatenate(shown, axis=1)).sum(axis=1))
            ends = np.cumsum([codes.shape[1] for codes in shown])[:-1]
            self._logs[path, condition] = dict(
                zip(table.rows, np.split(logs, ends, axis=1), strict=True)
            )
        return self._logs[path, condition]


def told_of(told: Told, clues: Codes, walls: int) -> Bools:
    """Where any of these codes was told (n,)."""
    found = np.zeros(walls, bool)
    for clue, codes in clues:
        code = told.codes.get(clue)
        if code is not None:
            found |= codes.take(code, mode="clip")
    return found


def is_direct(base: KnowledgeBase, clue: Clue) -> bool:
    """Whether a clue is a direct look at its load path, with one's own eyes."""
    return clue.direct and base.questions[clue.question].entry.kind in base.guards.seen_kinds
