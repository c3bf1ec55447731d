"""What answers weigh on each load path, for one wall or many: the one place that works it out.

A look from the attic along a wall's top took in the whole top (W), or only a part of it (P);
nobody can be sure which.  With X in {bears, does not} and the conditions c of a path told of
by answers a_c,

    P(a | X) = P(W) prod_c sum_g P(g|X) P(a_c|g)
             + P(P) prod_c sum_g P(g|X) P'(a_c|g),

where P' lets a share of what stands in the unseen part show as "nothing there" to the answers
of that look.  P(P) comes from the facts of the situation (``guards.yaml``, ``partial_look``).
Works in odds and plain products, row by row the same for one wall as for a million, so that
tests can hold the two equal to the last bit.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

import numpy as np

from walltriage.inference.belief.evidence import Index, likelihoods
from walltriage.inference.belief.tree import TEN_LOG, Belief, ConditionTable
from walltriage.inference.columns.codes import Bools, Floats
from walltriage.knowledge.base import KnowledgeBase

Joint = list[Floats]  # P(answers | state), one (n,) for each state
Pair = tuple[Floats, Floats]  # of what bears, and of what does not


@dataclass(slots=True)
class Told:
    """What ``n`` walls' answers and situations tell the belief.

    ``codes``: evidence codes (n,) by clue, for clues that read any answer.  ``facts``: where a
    fact (name, value) of the situation holds (n,), for the facts the belief reads.
    """

    walls: int
    codes: dict[str, Index] = field(default_factory=dict)
    facts: dict[tuple[str, str], np.ndarray] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Shown:
    """One clue: its condition, whether the look along the top tells it, and P(answer | state)
    by state and evidence code."""

    condition: str
    along_top: bool
    table: Floats


@dataclass(frozen=True, slots=True)
class Joints:
    """What answers show of a condition: those of the look along the top, and the others; all
    together if that look took in the whole top, and if it took in a part.  ``met`` (n,): where
    there are any, ``along`` (n,): where some are of that look."""

    top: Joint | None
    rest: Joint | None
    whole: Joint
    partly: Joint
    met: Bools
    along: Bools


@dataclass(frozen=True, slots=True)
class Weighed:
    """What ``n`` walls' answers show: of each condition told of, and of each path as
    :meth:`Kernel.groups` has it.  ``part`` (n,): chance that a look along the top took in only a
    part of it."""

    joints: Mapping[str, Joints]
    groups: Mapping[str, tuple[Floats, Pair, Pair]]
    part: Floats

    def ratios(self) -> dict[str, Floats]:
        """P(answers | bears) / P(answers | does not) of each path (n,)."""
        return {
            path: plain * mixed(self.part, whole, hidden)
            for path, (plain, whole, hidden) in self.groups.items()
        }


class Kernel:
    """The belief tables of a knowledge base, ready for rows of evidence."""

    def __init__(self, base: KnowledgeBase, belief: Belief) -> None:
        self.base, self.tables = base, belief.tables
        partial = base.guards.partial_look
        place = partial.place if partial else None
        self.clues: dict[str, Shown] = {}
        for path in base.paths.values():
            for condition, clues in path.clues.items():
                table = self.tables[path.id][condition]
                for clue in clues:
                    if clue.id not in self.clues:
                        along = base.questions[clue.question].place == place
                        shown = likelihoods(base, clue, table)
                        self.clues[clue.id] = Shown(condition, along, shown)
        # what clues show of a condition, and what a part of the top hides, no path changes
        self._any = {n: t for tables in self.tables.values() for n, t in tables.items()}
        self._of_path = {path: tuple(tables) for path, tables in self.tables.items()}
        self._usual = {
            path: {name: _pairs(table.bearing, table.not_bearing) for name, table in of.items()}
            for path, of in self.tables.items()
        }

    def facts(self) -> set[tuple[str, str]]:
        """The facts (name, value) of the situation that the belief reads."""
        partial = self.base.guards.partial_look
        read = {(partial.fact, value) for value in partial.in_100} if partial else set()
        for table in self._any.values():
            read |= {(fact, value) for fact, value, _ in table.where}
        return read

    def weigh(self, told: Told, paths: Iterable[str] | None = None) -> Weighed:
        """What the answers show of all paths, or of some."""
        joints = self.joints(told)
        groups = {
            path: self.groups(path, told, joints)
            for path in (self.tables if paths is None else paths)
        }
        return Weighed(joints, groups, self.seen_in_part(told))

    def ratios(self, told: Told, paths: Iterable[str] | None = None) -> dict[str, Floats]:
        """P(answers | bears) / P(answers | does not) of each path (n,)."""
        return self.weigh(told, paths).ratios()

    def shares(self, path: str, told: Told) -> dict[str, float]:
        """One wall's weight of evidence on a path, in decibans, split over its answers.

        The answer that weighs most alone counts in full; each further one adds what it
        changes, so that the parts add up to the whole.
        """
        of = [c for c in told.codes if self.clues[c].condition in self.tables[path]]
        if not of:
            return {}
        alone = self._stacked(path, told, [[name] for name in of])
        order = [of[i] for i in sorted(range(len(of)), key=lambda i: (-abs(alone[i]), of[i]))]
        upto = self._stacked(path, told, [order[: i + 1] for i in range(len(order))])
        return {
            name: float(now - before)
            for name, now, before in zip(order, upto, [0.0, *upto[:-1]], strict=True)
        }

    def _stacked(self, path: str, told: Told, sets: list[list[str]]) -> Floats:
        """The weight on a path of each of some sets of one wall's clues, in decibans."""
        codes = {
            name: np.array([code[0] if name in kept else 0 for kept in sets])
            for name, code in told.codes.items()
            if self.clues[name].condition in self.tables[path]
        }
        facts = {fact: np.repeat(holds, len(sets)) for fact, holds in told.facts.items()}
        weight: Floats = TEN_LOG * np.log10(
            self.ratios(Told(len(sets), codes, facts), [path])[path]
        )
        return weight

    def joints(self, told: Told) -> dict[str, Joints]:
        """By condition: what the answers show of each of its states."""
        top: dict[str, Joint] = {}
        rest: dict[str, Joint] = {}
        met: dict[str, Bools] = {}
        along: dict[str, Bools] = {}
        for name, code in told.codes.items():
            clue = self.clues[name]
            of = top if clue.along_top else rest
            shown = [table.take(code, mode="clip") for table in clue.table]
            for found in (met, along) if clue.along_top else (met,):
                seen = found.get(clue.condition)
                found[clue.condition] = code != 0 if seen is None else seen | (code != 0)
            if clue.condition in of:
                for column, factor in zip(of[clue.condition], shown, strict=True):
                    column *= factor
            else:
                of[clue.condition] = shown
        never = np.zeros(told.walls, bool)
        return {
            name: joined_looks(
                self._any[name], top.get(name), rest.get(name), met[name], along.get(name, never)
            )
            for name in met
        }

    def groups(
        self, path: str, told: Told, joints: Mapping[str, Joints]
    ) -> tuple[Floats, Pair, Pair]:
        """What a path's answers come to: the ratio of those no partial look touches; and both
        sides of the rest, if the whole top was seen and if only a part was."""
        plain = np.ones(told.walls)
        whole: Pair = (np.ones(told.walls), np.ones(told.walls))
        hidden = whole
        for name in self._of_path[path]:
            if name not in joints:
                continue
            joint, sides = joints[name], self.sides(path, name, told)
            seen = weighed(sides, joint.whole)
            # whatever other rows were told, each row comes out the same to the last bit
            plain *= np.where(joint.met & ~joint.along, seen[0] / seen[1], 1.0)
            if joint.top is not None:
                missed = weighed(sides, joint.partly)
                whole, hidden = (
                    (so_far[0] * np.where(joint.along, factor[0], 1.0),
                     so_far[1] * np.where(joint.along, factor[1], 1.0))
                    for so_far, factor in ((whole, seen), (hidden, missed))
                )  # fmt: skip
        return plain, whole, hidden

    def seen_in_part(self, told: Told) -> Floats:
        """Chance that the look along the top took in only a part of it (n,)."""
        partial = self.base.guards.partial_look
        if partial is None:
            return np.zeros(told.walls)
        found = np.full(told.walls, partial.otherwise / 100)
        for value, share in partial.in_100.items():
            holds = told.facts.get((partial.fact, value))
            if holds is not None:
                found[holds] = share / 100
        return found

    def sides(self, path: str, name: str, told: Told) -> list[Pair]:
        """P(state | bears), P(state | does not) for each state, each (n,) or one for all."""
        found = self._usual[path][name]
        where = self.tables[path][name].where
        for fact, value, sides in reversed(where):  # the first that holds counts
            holds = told.facts.get((fact, value))
            if holds is not None and holds.any():
                found = [
                    (np.where(holds, bears, old[0]), np.where(holds, clear, old[1]))
                    for bears, clear, old in zip(
                        sides.bearing, sides.not_bearing, found, strict=True
                    )
                ]
        return found


def _pairs(bearing: Iterable[float], not_bearing: Iterable[float]) -> list[Pair]:
    return [
        (np.array([bears]), np.array([clear]))
        for bears, clear in zip(bearing, not_bearing, strict=True)
    ]


def weighed(sides: list[Pair], joint: Joint) -> Pair:
    """P(answers | bears) and P(answers | does not)."""
    bears, clear = sides[0][0] * joint[0], sides[0][1] * joint[0]
    for side, column in zip(sides[1:], joint[1:], strict=True):
        bears = bears + side[0] * column
        clear = clear + side[1] * column
    return bears, clear


def in_part(table: ConditionTable, joint: Joint) -> Joint:
    """What a look along the top shows of each state, if only a part of it was seen."""
    if table.in_part is None:
        return joint
    found = []
    for seen_as in table.in_part:
        shares = [(share, column) for share, column in zip(seen_as, joint, strict=True) if share]
        total = shares[0][0] * shares[0][1]
        for share, column in shares[1:]:
            total = total + share * column
        found.append(total)
    return found


def joined_looks(
    table: ConditionTable, top: Joint | None, rest: Joint | None, met: Bools, along: Bools
) -> Joints:
    """What the answers of a condition show together; some of either kind there must be."""
    if top is None:
        assert rest is not None
        return Joints(None, rest, rest, rest, met, along)
    hidden = in_part(table, top)
    if rest is None:
        return Joints(top, None, top, hidden, met, along)
    whole = [a * b for a, b in zip(top, rest, strict=True)]
    partly = [a * b for a, b in zip(hidden, rest, strict=True)]
    return Joints(top, rest, whole, partly, met, along)


def mixed(part: Floats, whole: Pair, hidden: Pair) -> Floats:
    """The ratio of the answers, the look along the top having taken in a part so likely."""
    bears, clear = ((1 - part) * w + part * h for w, h in zip(whole, hidden, strict=True))
    ratio: Floats = bears / clear
    return ratio
