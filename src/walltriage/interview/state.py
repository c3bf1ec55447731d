"""Where an interview stands: all that can be read of it, and nothing that changes it."""

from __future__ import annotations

from walltriage.case.model import HOUSE, Answer, Case, Step, Wall
from walltriage.inference.engine.compile import Firing
from walltriage.inference.engine.evaluate import Evaluation
from walltriage.inference.finding import Finding
from walltriage.inference.looks.glance import Asked
from walltriage.inference.triage import Triager
from walltriage.interview.counted_case import CountedCase
from walltriage.interview.frame import frame_of
from walltriage.interview.given import AnswersSoFar, GivenAnswer, TakenBack
from walltriage.interview.left import Left
from walltriage.interview.planner import NextStep, Planner
from walltriage.knowledge.base import AskedQuestion
from walltriage.knowledge.schema_guards import CautionRule

CHAIR = ("desk", "none")  # what one knows is asked wherever one stands


class InterviewState:
    """One interview about one house as it stands."""

    _counted: CountedCase
    _plan: NextStep
    _wall_id: str

    def __init__(self, planner: Planner, case: Case) -> None:
        self.planner = planner
        self.triager: Triager = planner.triager
        self._frame = frame_of(case)
        self._given = AnswersSoFar(case)
        self._left = Left(0, 0)

    @property
    def case(self) -> Case:
        """The case as it stands."""
        return self._counted.case

    @property
    def walls(self) -> tuple[Wall, ...]:
        return self.case.walls

    @property
    def step(self) -> Step | None:
        """The question to ask now; None when the interview is complete."""
        return self._plan.step

    @property
    def next(self) -> NextStep:
        """The current question with what the planner says about it."""
        return self._plan

    @property
    def left(self) -> Left:
        """How much is left, as it is told with the current question."""
        return self._left

    @property
    def wall_id(self) -> str:
        """The wall being asked about (the last one when all are done)."""
        return self._wall_id

    def question(self, step: Step) -> AskedQuestion:
        return self.triager.base.questions[step.question]

    @property
    def given(self) -> tuple[GivenAnswer, ...]:
        """The answers that count, in the order asked."""
        return self._counted.counted

    @property
    def set_aside(self) -> tuple[GivenAnswer, ...]:
        """Answers to questions that do not apply as things stand."""
        return tuple(item for item in self._given.answers if item not in self.given)

    @property
    def back_to(self) -> str:
        """The place that the current question sends somebody to a second time; "" for none.

        What is known from a chair is no place.
        """
        if self.step is None:
            return ""
        subjects = (HOUSE, self._wall_id)
        steps = [item.step for item in self.given if item.step.subject in subjects]
        places = [p for p in (self.question(step).place for step in steps) if p not in CHAIR]
        here = self.question(self.step).place
        return here if here in places and places[-1] != here else ""

    @property
    def page(self) -> Asked | None:
        """The things on the page with which the current question is asked, if it is not asked by
        itself.  It may be answered by itself all the same."""
        return self._plan.page

    @property
    def earlier_page(self) -> TakenBack | None:
        """What was said on the current page before going back over it."""
        back, page = self._given.page_back, self.page
        fits = back and page and back.is_of(page.glance.id, self._wall_id)
        return back if fits else None

    @property
    def earlier(self) -> Answer | None:
        """What was said to the current question before going back over it."""
        return self._given.earlier(self.step) if self.step else None

    @property
    def blocked(self) -> set[str]:
        """Places nobody can get to, by the answers so far."""
        return self.planner.closed_places(self.case, self._wall_id)

    def finding(self) -> Finding:
        """The finding for all walls."""
        return self.triager.finding(self.case)

    def clashes(self) -> tuple[str, ...]:
        """Ids of the contradictions between answers about the current wall."""
        evaluation = self._counted.evaluation(self._wall_id)
        return tuple(firing.rule for firing in evaluation.fired("contradiction"))

    @property
    def out_of_scope(self) -> tuple[tuple[str, str], ...]:
        """What shuts the current wall out as far as can be asked: (house or wall id, rule id)."""
        evaluation = self._counted.evaluation(self._wall_id)
        return self.planner.out_of_scope(self.case, self._wall_id, evaluation)

    def evaluation(self, wall_id: str) -> Evaluation:
        """What the engine found for a wall, by the answers so far."""
        return self._counted.evaluation(wall_id)

    def fired(self, wall_id: str, kind: str) -> tuple[Firing, ...]:
        """The rules of a kind that hold for a wall, by the answers so far."""
        return tuple(self._counted.evaluation(wall_id).fired(kind))

    def cautions_before(self, place: str) -> tuple[CautionRule, ...]:
        """What to mind before a look in a place, by the answers so far."""
        fired = {firing.rule for firing in self._counted.evaluation(self._wall_id).fired("caution")}
        cautions = self.triager.base.cautions.cautions
        return tuple(c for c in cautions if c.before_look_in == place and c.id in fired)
