"""How an interview is led: what is worth a person's while, how long, where to and back.

One set of numbers for the interview with one person and for many at once in the study.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from walltriage.knowledge.base import AskedQuestion

EFFORT_COST = (1.0, 2.0, 5.0, 10.0, 20.0)  # by effort 0 to 4
FAR = frozenset({"upstairs", "below", "attic", "opened"})  # nobody is sent there twice


def _move_cost() -> Mapping[str, float]:
    return {"desk": 0.0, "rooms": 1.0, "upstairs": 2.0, "below": 3.0, "attic": 3.0, "opened": 3.0}


@dataclass(frozen=True, slots=True)
class InterviewPolicy:
    """The numbers; worths are in wasted "cannot tell"s.

    * ``most_wall_questions``: attention falls off after a quarter of an hour.
    * ``most_out_of_scope``: questions about a wall of a building that such answers cannot clear.
    * ``nearly``, ``most_when_nearly_there``: whoever has come this close to "non-bearing"
      (times its mark) is not sent home a few answers short of it.
    * ``hopeless``: times the mark of "non-bearing"; where even clear answers to all that is left
      stay above it, nothing more is asked for the sake of that verdict.
    * ``floor``: least worth per effort for which anybody is bothered, but for the spans that
      whoever has a tape is asked to measure.  Somebody who stays in
      the rooms is then let off after about ten questions about the wall, and somebody in the
      attic is asked all that helps to close a load path.
    * ``gate_worth``: lifting the last thing in the way of a verdict saves half a "cannot tell".
    * ``gate_nearness``: how fast that falls off while the chance that the wall bears is above
      the mark of "non-bearing": the power of mark over chance.
    * ``early_gate_worth``: what a gate asks for by name is best seen while one is there anyway.
    * ``part_of_way``: how much of lifting it an answer does that touches the load path in the way,
      and is no look at it.
    * ``scope_worth``: a building out of scope ends the interview early; few are.
    * ``move_cost``: extra effort of walking somewhere, in the units of ``EFFORT_COST``.
    * ``going_back``: times the effort, to be sent back where one has been.
    * ``near_effort``: up to here an observation is made from where people stand anyway.
    * ``usual_questions``, ``last_questions``: how many an interview takes in the median, and what
      is told to be left once that many were asked.
    * ``closed_after``: "don't know"s and "can't get there"s after which a far place is left
      alone, as long as nothing else was said there.
    """

    most_wall_questions: int = 25
    most_out_of_scope: int = 14
    nearly: float = 4.0
    most_when_nearly_there: int = 38
    hopeless: float = 1.5
    floor: float = 0.002
    gate_worth: float = 0.5
    gate_nearness: float = 1.0
    early_gate_worth: float = 0.02
    part_of_way: float = 0.2
    scope_worth: float = 0.1
    move_cost: Mapping[str, float] = field(default_factory=_move_cost)
    going_back: float = 2.0
    near_effort: int = 1
    usual_questions: int = 22
    last_questions: int = 5
    closed_after: int = 2


def looking_costs(question: AskedQuestion, policy: InterviewPolicy | None = None) -> float:
    """Effort of going to look, the walk there included, in the units of ``EFFORT_COST``."""
    walk = (policy or InterviewPolicy()).move_cost.get(question.place, 0.0)
    return EFFORT_COST[question.entry.effort] + walk
