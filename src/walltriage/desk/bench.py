"""The knowledge base at work for many houses at once.

The engine works on one thing at a time, so whoever uses it holds the lock.  Interviews under way
are kept with the text of the case they stand for: the next answer then costs one evaluation, not
all of them.  No number stands for the text: a house that comes after a deleted one can have its
number and its revision, and must never see its answers.
"""

from __future__ import annotations

import json
from collections import OrderedDict
from collections.abc import Iterator
from contextlib import contextmanager
from threading import RLock

from walltriage.case.model import Case
from walltriage.case.read import case_from
from walltriage.case.write import case_data
from walltriage.inference.triage import Triager
from walltriage.interview.planner import Planner
from walltriage.interview.session import Session
from walltriage.yamltree import Tree

KEPT = 200  # interviews; one takes a few hundred kilobytes


class Bench:
    """One compiled knowledge base and the interviews that go on."""

    def __init__(self, triager: Triager) -> None:
        self.triager = triager
        self.base = triager.base
        self._planner = Planner(triager)
        self._lock = RLock()
        self._sessions: OrderedDict[int, tuple[str, Session]] = OrderedDict()

    @contextmanager
    def engine(self) -> Iterator[Triager]:
        """The engine, for nobody else meanwhile."""
        with self._lock:
            yield self.triager

    def case_of(self, text: str) -> Case:
        """A case as it is kept; ids of earlier editions of the rules are understood."""
        return case_from(Tree("register", json.loads(text), {}), self.base.questions, "house")

    def take(self, house_id: int, text: str) -> Session:
        """The interview of a house, for the caller alone; made anew when it has moved on."""
        with self._lock:
            kept = self._sessions.pop(house_id, None)
            if kept is not None and kept[0] == text:
                return kept[1]
            return self.session(self.case_of(text))

    def put_back(self, house_id: int, text: str, session: Session) -> None:
        """Keep an interview for the next page; ``session`` must stand for that text."""
        with self._lock:
            self._sessions[house_id] = (text, session)
            self._sessions.move_to_end(house_id)
            while len(self._sessions) > KEPT:
                self._sessions.popitem(last=False)

    def session(self, case: Case) -> Session:
        """An interview that goes on from a case."""
        with self._lock:
            return Session(self._planner, case)


def text_of(case: Case) -> str:
    """A case as it is kept: the data of a case file, in one line of JSON."""
    return json.dumps(case_data(case), ensure_ascii=False, separators=(",", ":"))
