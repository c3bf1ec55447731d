"""How far interviews have come, what is known at that point, and what is chosen next."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from walltriage.case.model import ROLES
from walltriage.inference.belief.step import Beliefs
from walltriage.inference.columns.codes import Batch, Bools

STOPS = ("", "verdict", "scope", "length", "futile", "exhausted")
REASONS = ("worth", "must", "named", "sought", "numbers", "tape", "trouble")
PLACES = ("desk", "rooms", "upstairs", "attic", "below", "opened", "none")


@dataclass(frozen=True, slots=True)
class Progress:
    """How far ``n`` interviews have come.

    ``here`` (n,): index into ``PLACES`` of the last question asked, 0 before any; ``been``
    (n, places): where any question was asked.  ``asked`` (n,): questions asked about the
    wall itself.  ``reach`` (n,): highest effort the person can make.  ``role`` (n,):
    index into ``ROLES``.  ``to_name`` (n, q): questions about what was said to be there, and not
    yet which.
    """

    here: np.ndarray
    been: Bools
    asked: np.ndarray
    reach: np.ndarray
    role: np.ndarray
    to_name: Bools

    @classmethod
    def start(cls, walls: int, questions: int, reach: int = 4, role: str = "buyer") -> Progress:
        """Interviews in which nothing of so many questions has been asked, all by the same kind of
        person."""
        return cls(
            np.zeros(walls, np.int8),
            np.zeros((walls, len(PLACES)), bool),
            np.zeros(walls, np.int16),
            np.full(walls, reach, np.int8),
            np.full(walls, ROLES.index(role), np.int8),
            np.zeros((walls, questions), bool),
        )

    def rows(self, which: slice | np.ndarray) -> Progress:
        """Some of the interviews."""
        parts = (self.here, self.been, self.asked, self.reach, self.role, self.to_name)
        return Progress(*(part[which] for part in parts))

    def put(self, which: np.ndarray, moved: Progress) -> None:
        """Set how far some of the interviews have come in place, the inverse of :meth:`rows`."""
        self.here[which], self.been[which], self.asked[which] = moved.here, moved.been, moved.asked
        self.to_name[which] = moved.to_name


@dataclass(frozen=True, slots=True)
class Standing:
    """Where ``n`` interviews stand.

    ``left`` (n, q): questions that apply, are in reach, and have not been answered.  ``opened``
    (n, q): questions that an answer to a list has opened, or a thing that was seen.
    ``unsettling`` (n, q): of those left, those an answer to which would take "non-bearing" back;
    only of those that ``Choice.to_try`` names.
    ``fired`` (n, r): the rules that fired, in the order of ``Choice.rules``.  ``told``: the
    answers so far.  ``passed`` (n, q): questions that something on a page would have answered,
    which was not picked though its list was.
    """

    left: Bools
    opened: Bools
    unsettling: Bools
    fired: Bools
    beliefs: Beliefs
    progress: Progress
    told: Batch
    passed: Bools


@dataclass(frozen=True, slots=True)
class Chosen:
    """The next question of ``n`` interviews, or why there is none.

    ``question`` (n,): column of the question, -1 when the interview stops.  ``glance`` (n,): the
    glance on whose page it is asked with others, -1 for none.  ``reason`` (n,): why it is asked,
    index into ``REASONS``.  ``stop``
    (n,): index into ``STOPS``, 0 when it goes on.  ``for_numbers`` (n,): where the verdict
    stands and the question only sizes what the wall carries.  ``must`` (n, q): what is asked
    whatever it is worth.  ``worthwhile`` (n, q): what is worth asking besides, as things stand,
    or sought before "non-bearing" is said.
    """

    question: np.ndarray
    glance: np.ndarray
    reason: np.ndarray
    stop: np.ndarray
    for_numbers: Bools
    must: Bools
    worthwhile: Bools
