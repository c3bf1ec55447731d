"""Several questions on one page: which things are on it, and what its answer says to each question.

What is not seen of a glance (:mod:`walltriage.knowledge.glances`) is answered by not being picked;
what is picked is asked about by its own question.  For one interview and for many alike.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass

import numpy as np

from walltriage.case.model import OUT_OF_REACH, UNKNOWN, Answer
from walltriage.inference.columns.codes import FIRST_VALUE, Batch, Bools, Coder
from walltriage.inference.looks.live_ways import LiveWays
from walltriage.knowledge.base import KnowledgeBase
from walltriage.knowledge.glances import (
    NONE_OF_THESE,
    ONE_OR_MORE,
    Glance,
    GlanceItem,
    lists_of,
    singles_of,
)  # fmt: skip
from walltriage.knowledge.terms import branches

FEWEST_ITEMS = 2  # fewer are asked by their own question


@dataclass(frozen=True, slots=True)
class Picked:
    """What was said on such a page: the things ``seen``, and those one could not tell of."""

    seen: frozenset[int] = frozenset()
    unsure: frozenset[int] = frozenset()


@dataclass(frozen=True, slots=True)
class Asked:
    """A page as it is put: only those things of a glance that nobody has told of."""

    glance: Glance
    items: tuple[GlanceItem, ...]

    @property
    def lists(self) -> tuple[str, ...]:
        """The lists it takes in."""
        return lists_of(self.items)

    @property
    def questions(self) -> tuple[str, ...]:
        """What it answers when nothing is seen."""
        return (*self.lists, *singles_of(self.items))

    def answers(self, picked: Picked) -> dict[str, str]:
        """Option by question, but for what was seen and has to be asked about."""
        found: dict[str, str] = {}
        for name in self.lists:
            parts = self.parts(name)
            unsure = UNKNOWN if parts & picked.unsure else NONE_OF_THESE
            found[name] = ONE_OR_MORE if parts & picked.seen else unsure
        silent = {name for name in self.lists if found[name] == NONE_OF_THESE}
        told = [(at, item) for at, item in enumerate(self.items) if item.of not in silent]
        for question in dict.fromkeys(name for _, item in told for name in item.told):
            about = [(at, item) for at, item in told if question in item.told]
            seen = {item.seen.get(question, "") for at, item in about if at in picked.seen}
            if len(seen) == 1 and "" not in seen:
                found[question] = seen.pop()
            elif not seen:
                usual = next((i.unseen[question] for _, i in about if question in i.unseen), "")
                doubtful = [item for at, item in about if at in picked.unsure]
                # a thing that tells of another question too may be unclear for that one's sake
                own = len(doubtful) == len(about) or any(len(i.told) == 1 for i in doubtful)
                found[question] = usual if not doubtful else UNKNOWN if own else ""
        return {question: value for question, value in found.items() if value}

    def parts(self, of: str) -> set[int]:
        """Where the things of a list are."""
        return {at for at, item in enumerate(self.items) if item.of == of}

    def nothing_known(self, word: str) -> dict[str, str]:
        """Option by question when one does not know, or cannot get there (``word``)."""
        return dict.fromkeys(self.questions, word)

    def to_name(self, picked: Picked) -> tuple[str, ...]:
        """The questions that tell what was seen, and those of which the page told nothing."""
        told = self.answers(picked)
        named = [
            name
            for at, item in enumerate(self.items)
            for name in (*item.told, *item.names)
            if at in picked.seen or (name in item.told and (name in item.unseen or not item.of))
        ]
        silent = {n for item in self.items if told.get(item.of or "") == NONE_OF_THESE
                  for n in item.told}  # fmt: skip
        return tuple(
            name for name in dict.fromkeys(named) if name not in told and name not in silent
        )


def asked_of(glance: Glance, left: Collection[str], shut_out: Collection[str] = ()) -> Asked:
    """The page of a glance for somebody to whom the questions ``left`` are open.

    ``shut_out``: questions that cannot apply by what was told; a thing of a list is left out where
    that is all it would be told by.
    """
    return Asked(
        glance,
        tuple(
            item
            for item in glance.items
            if any(name in left for name in item.shown_with)
            and not (item.of and all(name in shut_out for name in item.told_by))
        ),
    )


def picked_by(page: Asked, answer: Callable[[str], Answer]) -> Picked:
    """What somebody would say who answers each question so.

    Of a list that they would answer by itself, the answer counts; "one or more" of it, where all
    that can be named is not there, is taken to mean its first thing.
    """
    told = {(name, value) for item in page.items for name, value in item.seen.items()}
    seen, unsure = set(), set()
    for at, item in enumerate(page.items):
        if item.told and not item.unseen:
            if all(answer(name).value == value for name, value in item.seen.items()):
                seen.add(at)
            elif not any(answer(name).is_real for name in item.seen):
                unsure.add(at)
        for name, clear in item.unseen.items():
            given = answer(name)
            if given.value == clear:
                continue
            other = name not in item.seen and (name, given.value) not in told
            if given.is_real and (given.value == item.seen.get(name) or other):
                seen.add(at)
            elif not given.is_real or not _can_say(page, name, given.value):
                unsure.add(at)
    for name in page.lists:
        parts, said = page.parts(name), answer(name).value
        if said == NONE_OF_THESE:
            seen, unsure = seen - parts, unsure - parts
        elif said == ONE_OR_MORE and not seen & parts:
            # a thing that says itself what it is would say more than was said
            some = [at for at in parts if not page.items[at].seen]
            unnamed = [at for at in some if not page.items[at].unseen]
            seen.add(min(unnamed or some or parts))
    return Picked(frozenset(seen), frozenset(unsure - seen))


def _can_say(page: Asked, name: str, value: str) -> bool:
    """Whether some thing on the page stands for this answer, or for any other than the usual."""
    about = [item for item in page.items if name in item.told]
    return any(name not in item.seen or item.seen[name] == value for item in about)


def word_for_all(page: Asked, answer: Callable[[str], Answer]) -> str:
    """What somebody would say to every question: "unknown", "out_of_reach"; "" if anything else."""
    words = {answer(name).value for name in page.questions}
    if words == {UNKNOWN}:
        return UNKNOWN
    return OUT_OF_REACH if words and words <= {UNKNOWN, OUT_OF_REACH} else ""


class Glances:
    """The glances of one knowledge base in columns: which page holds a question."""

    def __init__(self, base: KnowledgeBase, coder: Coder) -> None:
        self.glances = base.glances
        self._live = LiveWays(base, coder)
        # by glance: the questions that tell what the things of its lists are
        self._told_by = [
            frozenset(name for item in glance.items if item.of for name in item.told_by)
            for glance in self.glances
        ]
        self._applies = {
            name: branches(base.questions[name].entry.applies)
            for name in frozenset().union(*self._told_by)
        }
        column = {name: index for index, name in enumerate(base.questions)}
        self._holds = np.zeros((len(self.glances), len(column)), bool)
        # by glance: the questions that it answers, and with which each of its things is shown
        self._answered = [frozenset((*glance.lists, *glance.singles)) for glance in self.glances]
        self._shown_with = [[item.shown_with for item in glance.items] for glance in self.glances]
        for row, answered in enumerate(self._answered):
            self._holds[row, [column[name] for name in answered]] = True
        self._shown = [
            [np.array([column[name] for name in shown_with]) for shown_with in items]
            for items in self._shown_with
        ]
        # what a thing of a list says by itself, and nothing by not being picked
        self._said_alone = [
            (column[item.of], column[name])
            for glance in self.glances for item in glance.items if item.of and not item.unseen
            for name in item.seen
        ]  # fmt: skip
        names = tuple(base.questions)
        self._one_or_more = {
            of: FIRST_VALUE + base.questions[names[of]].values.index(ONE_OR_MORE)
            for of, _ in self._said_alone
        }

    def holding(self, question: np.ndarray, left: Bools) -> np.ndarray:
        """The glance (n,) on which each question (n,) is asked, -1 where it is asked by itself.

        ``left`` (n, q): what is open, but for what is still to be named: that is asked by itself.
        """
        found = np.full(len(question), -1, np.int16)
        open_here = (question >= 0) & left[np.arange(len(question)), question]
        holds = self._holds[:, question] & open_here
        for row in np.flatnonzero(holds.any(axis=1)).tolist():
            rows, shown = np.flatnonzero(holds[row]), self._shown[row]
            open_items = sum(left[np.ix_(rows, item)].any(axis=1).astype(int) for item in shown)
            found[rows[open_items >= FEWEST_ITEMS]] = row
        return found

    def shut_out(self, told: Batch, glance: np.ndarray) -> list[set[str]]:
        """For each wall, the questions about things of lists on its glance, of those ``glance``
        (n,), that cannot apply by what was told."""
        walls: list[set[str]] = [set() for _ in range(len(told))]
        for which in np.unique(glance).tolist():
            rows = np.flatnonzero(glance == which)
            here = told.rows(rows)
            for name in self._told_by[which]:
                cannot = ~self._live.may_hold(self._applies[name], here)
                for row in rows[cannot].tolist():
                    walls[row].add(name)
        return walls

    def passed(self, told: Batch, to_name: Bools) -> Bools:
        """Questions (n, q) that a thing of a list would have answered, had it been picked when
        another thing of the same list was; nothing is still to be named of them."""
        found = np.zeros(to_name.shape, bool)
        for of, column in self._said_alone:
            found[:, column] |= told.codes[:, of] == self._one_or_more[of]
        return found & ~to_name

    def answers(self, given: Bools, which: Bools) -> np.ndarray:
        """How many answers (n,) the questions ``given`` (n, k), of those ``which`` (q,), took: one
        for all that stand on one page."""
        on_page = given.astype(int) @ self._holds[:, which].T.astype(int)
        alone = given & ~self._holds[:, which].any(axis=0)
        found: np.ndarray = (on_page > 0).sum(axis=1) + alone.sum(axis=1)
        return found

    def together(self, wanted: Bools) -> Bools:
        """How many of the ``wanted`` (n, q) the page of each question answers (n, q), itself
        counted; 1 where it is asked by itself."""
        on_page = wanted.astype(int) @ self._holds.T.astype(int)
        found: Bools = np.maximum(on_page @ self._holds.astype(int), 1)
        return found

    def pages(self, likely: Mapping[str, object] | Collection[str], left: Collection[str]) -> int:
        """How many pages these questions make."""
        singles, used, left = set(likely), 0, set(left)
        for answered, items in zip(self._answered, self._shown_with, strict=True):
            here = singles & answered
            if here and sum(not left.isdisjoint(names) for names in items) >= FEWEST_ITEMS:
                used += 1
                singles -= here
        return used + len(singles)
