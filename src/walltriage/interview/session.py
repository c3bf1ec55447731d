"""An interview without a terminal: what was answered, what comes next, back and change.

The session keeps every answer in the order given; the case is worked out from them afresh
after each step.  Answers to questions that no longer apply are set aside, not lost: they
count again when the answer that shut them out is changed back.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cache
from typing import Any

from walltriage.case.answers import make_answer
from walltriage.case.looks import WallLooks
from walltriage.case.measure import is_metric
from walltriage.case.model import (
    HOUSE,
    OUT_OF_REACH,
    UNKNOWN,
    Answer,
    Case,
    Drawing,
    Role,
    Step,
    Sureness,
    Wall,
)
from walltriage.case.plan import Plan
from walltriage.inference.engine.compile import Firing
from walltriage.inference.engine.evaluate import Evaluation
from walltriage.inference.finding import Finding
from walltriage.inference.looks.glance import Asked, Picked
from walltriage.inference.triage import Triager
from walltriage.interview.planner import NextStep, Planner
from walltriage.knowledge.base import AskedQuestion
from walltriage.knowledge.schema_guards import CautionRule

_ALONE = "house"  # stands for "no wall" where only the house is evaluated


@dataclass(frozen=True, slots=True)
class GivenAnswer:
    """One answer with the question it was given to."""

    step: Step
    answer: Answer


@dataclass(frozen=True, slots=True)
class Left:
    """About how many questions are left in this place, and in all; ``grew`` when that is more than
    was told before, by more than two."""

    here: int
    in_all: int
    grew: bool = False


MOST_GROWTH = 2
CHAIR = ("desk", "none")  # what one knows is asked wherever one stands


@dataclass(frozen=True, slots=True)
class TakenBack:
    """What was said on a page of several things before going back over it."""

    given: tuple[GivenAnswer, ...]
    to_name: tuple[Step, ...]


class Session:
    """One interview about one house; every public method leaves it consistent."""

    _case: Case
    _evaluations: dict[str, Evaluation]  # of the case as it stands, by wall

    def __init__(self, planner: Planner, case: Case) -> None:
        self.planner = planner
        self.triager: Triager = planner.triager
        walls = tuple(replace(wall, answers={}) for wall in case.walls) or (Wall("wall1"),)
        self._frame = replace(case, house={}, walls=walls, asked=(), to_name=(), outcome=None)
        self._case = self._frame
        self._given = _in_order(case)
        self._to_name = list(case.to_name)
        self._taken_back: dict[Step, Answer] = {}
        self._page_back: TakenBack | None = None
        self._left = Left(0, 0)
        self._again: Step | None = None  # a question reached by going back
        self._settle()

    @property
    def case(self) -> Case:
        """The case as it stands."""
        return self._case

    @property
    def walls(self) -> tuple[Wall, ...]:
        return self._case.walls

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
        return tuple(self._counted)

    @property
    def set_aside(self) -> tuple[GivenAnswer, ...]:
        """Answers to questions that do not apply as things stand."""
        return tuple(item for item in self._given if item not in self._counted)

    @property
    def back_to(self) -> str:
        """The place that the current question sends somebody to a second time; "" for none.

        What is known from a chair is no place.
        """
        if self.step is None:
            return ""
        subjects = (HOUSE, self._wall_id)
        steps = [item.step for item in self._counted if item.step.subject in subjects]
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
        back, page = self._page_back, self.page
        if back is None or page is None or back.given[0].step.glance != page.glance.id:
            return None
        return back

    @property
    def earlier(self) -> Answer | None:
        """What was said to the current question before going back over it."""
        return self._taken_back.get(self.step) if self.step else None

    @property
    def blocked(self) -> set[str]:
        """Places nobody can get to, by the answers so far."""
        return self.planner.closed_places(self._case, self._wall_id)

    def finding(self) -> Finding:
        """The finding for all walls."""
        return self.triager.finding(self._case)

    def clashes(self) -> tuple[str, ...]:
        """Ids of the contradictions between answers about the current wall."""
        evaluation = self._evaluation(self._wall_id)
        return tuple(firing.rule for firing in evaluation.fired("contradiction"))

    def fired(self, wall_id: str, kind: str) -> tuple[Firing, ...]:
        """The rules of a kind that hold for a wall, by the answers so far."""
        return tuple(self._evaluation(wall_id).fired(kind))

    def cautions_before(self, place: str) -> tuple[CautionRule, ...]:
        """What to mind before a look in a place, by the answers so far."""
        fired = {firing.rule for firing in self._evaluation(self._wall_id).fired("caution")}
        cautions = self.triager.base.cautions.cautions
        return tuple(c for c in cautions if c.before_look_in == place and c.id in fired)

    def answer(
        self, value: Any, sure: Sureness = "certain", note: str = "", step: Step | None = None
    ) -> None:
        """Answer the current question; :class:`AnswerError` when the value does not fit.

        ``step``: the question that was on the page, where what was noted since may have moved on.
        """
        step = step or self._current()
        given = make_answer(
            step.question, self.question(step), value, units=self.case.units, sure=sure, note=note,
            metric=is_metric(self.case),
        )  # fmt: skip
        self._append(step, given)

    def unknown(self, note: str = "") -> None:
        """Answer "don't know" to the current question."""
        self.answer(UNKNOWN, note=note)

    def out_of_reach(self, note: str = "") -> None:
        """Answer "can't get there" to the current question."""
        self.answer(OUT_OF_REACH, note=note)

    def answer_page(
        self,
        picked: Picked,
        sure: Sureness = "certain",
        note: str = "",
        page: Asked | None = None,
    ) -> None:
        """Answer the current page: what was seen of it, and what one could not tell of.

        Nothing seen answers all its questions; what was seen is asked about next.  ``page``: the
        one that was shown, where what was noted since may have moved on.
        """
        page = page or self._current_page()
        names = [self._step_of(name, page) for name in page.to_name(picked)]
        self._answer_all(page, page.answers(picked), sure, note, names)

    def nothing_known(self, word: str, note: str = "") -> None:
        """Answer "don't know" or "can't get there" to all of the current page."""
        page = self._current_page()
        self._answer_all(page, page.nothing_known(word), "certain", note, [])

    def keep_page(self) -> None:
        """Give the current page the answers it had before going back."""
        back = self.earlier_page
        if back is None:
            raise ValueError("no earlier answers to keep")
        self._append_all(back.given, back.to_name)

    def keep(self) -> None:
        """Give the current question the answer it had before going back."""
        earlier = self.earlier
        if earlier is None:
            raise ValueError("no earlier answer to keep")
        self._append(self._current(), earlier)

    def back(self) -> bool:
        """Take the last answer back and ask that question again; False at the start."""
        if not self._counted:
            return False
        last = self._counted[-1]
        if last.step.glance:
            self._page_taken_back(last.step)
        else:
            self._given.remove(last)
            self._taken_back[last.step] = last.answer
            self._again = last.step
        self._settle()
        return True

    def _page_taken_back(self, last: Step) -> None:
        """Take back all that was said on the page of the last answer."""

        def same(step: Step) -> bool:
            return step.glance == last.glance

        of_page = [item for item in self._given if same(item.step)]
        names = [step for step in self._to_name if same(step)]
        self._page_back = TakenBack(tuple(of_page), tuple(names))
        self._given = [item for item in self._given if not same(item.step)]
        self._to_name = [step for step in self._to_name if not same(step)]

    def change(self, step: Step, value: Any, sure: Sureness = "certain", note: str = "") -> None:
        """Replace an earlier answer; everything is worked out afresh."""
        places = [index for index, item in enumerate(self._given) if item.step == step]
        if not places:
            raise KeyError(step)
        given = make_answer(
            step.question, self.question(step), value, units=self.case.units, sure=sure, note=note,
            metric=is_metric(self.case),
        )  # fmt: skip
        self._given[places[0]] = GivenAnswer(step, given)
        self._settle()

    def set_person(self, role: Role, reach: int, name: str) -> None:
        """Say who asks, how far they can go today, and what the case is called."""
        self._frame = replace(self._frame, role=role, reach=reach, name=name)
        self._settle()

    def set_client(self, client: Mapping[str, str]) -> None:
        """Note who the client is, by the ids of the fields for it."""
        self._frame = replace(self._frame, client=client)
        self._settle()

    def name_wall(self, wall_id: str, name: str) -> None:
        """Name a wall."""
        walls = tuple(
            replace(wall, name=name) if wall.id == wall_id else wall for wall in self._frame.walls
        )
        self._frame = replace(self._frame, walls=walls)
        self._settle()

    def add_wall(self, name: str = "") -> str:
        """One more wall of the same house; returns its id."""
        taken = {wall.id for wall in self._frame.walls}
        number = next(n for n in range(1, len(taken) + 2) if f"wall{n}" not in taken)
        self._frame = replace(self._frame, walls=(*self._frame.walls, Wall(f"wall{number}", name)))
        self._settle()
        return f"wall{number}"

    def set_looks(self, wall_id: str, looks: WallLooks) -> None:
        """Say what was seen from where to where along a wall."""
        walls = tuple(
            replace(wall, looks=looks) if wall.id == wall_id else wall for wall in self._frame.walls
        )
        self._frame = replace(self._frame, walls=walls)
        self._settle()

    def set_plan(self, plan: Plan | None) -> None:
        """Draw the house anew; what follows from the plan is worked out afresh."""
        self._frame = replace(self._frame, plan=plan)
        self._settle()

    def set_drawing(self, drawing: Drawing | None) -> None:
        """Note the pages of the plan answered so far; no answer follows from them yet."""
        self._frame = replace(self._frame, drawing=drawing)
        self._case = replace(self._case, drawing=drawing)

    def drop_wall(self, wall_id: str) -> bool:
        """Take a further wall away again, if nothing was answered about it."""
        if any(item.step.subject == wall_id for item in self._given):
            return False
        return self.remove_wall(wall_id)

    def remove_wall(self, wall_id: str) -> bool:
        """Take a wall away with all that was said of it; False for the only one."""
        if len(self._frame.walls) == 1:
            return False
        self._given = [item for item in self._given if item.step.subject != wall_id]
        self._to_name = [step for step in self._to_name if step.subject != wall_id]
        walls = tuple(wall for wall in self._frame.walls if wall.id != wall_id)
        plan = self._frame.plan
        if plan is not None:
            plan = replace(plan, walls=tuple(w for w in plan.walls if w.wall != wall_id))
        self._frame = replace(self._frame, walls=walls, plan=plan)
        self._settle()
        return True

    def _current(self) -> Step:
        if self.step is None:
            raise ValueError("the interview is complete")
        return self.step

    def _current_page(self) -> Asked:
        if self.page is None:
            raise ValueError("the current question is asked by itself")
        return self.page

    def _step_of(self, question: str, page: Asked) -> Step:
        house = self.triager.base.questions[question].scope == HOUSE
        return Step(HOUSE if house else self._wall_id, question, page.glance.id)

    def _answer_all(
        self, page: Asked, values: Mapping[str, str], sure: Sureness, note: str, names: list[Step]
    ) -> None:
        given: list[GivenAnswer] = []
        for name, value in values.items():
            step = self._step_of(name, page)
            answer = make_answer(
                name, self.question(step), value, units=self.case.units, sure=sure,
                note=note if not given else "",
            )  # fmt: skip
            given.append(GivenAnswer(step, answer))
        self._append_all(given, names)

    def _append_all(self, given: Sequence[GivenAnswer], names: Sequence[Step]) -> None:
        steps = {item.step for item in given}
        self._given = [item for item in self._given if item.step not in steps] + list(given)
        self._to_name = [step for step in self._to_name if step not in names] + list(names)
        self._page_back = None
        self._settle()

    def _append(self, step: Step, answer: Answer) -> None:
        self._given = [item for item in self._given if item.step != step]
        self._given.append(GivenAnswer(step, answer))
        self._taken_back.pop(step, None)
        self._settle()

    def _settle(self) -> None:
        """Work out which answers count, the case they make, and the next question."""
        counted = list(self._given)
        while True:
            self._case, self._evaluations = self._case_of(counted), {}
            applicable = cache(self._applicable)
            keep = [item for item in counted if self._applies(item.step, applicable)]
            if len(keep) == len(counted):
                break
            counted = keep
        self._counted = counted
        self._plan, self._wall_id = self._next()
        self._left = self._count_left()

    def _count_left(self) -> Left:
        """What is told of the questions left: it does not grow by more than two unsaid."""
        before, now = self._left.in_all, self._plan.in_all
        return Left(self._plan.more_here, now, bool(self.given) and now > before + MOST_GROWTH)

    def _next(self) -> tuple[NextStep, str]:
        again, self._again = self._again, None
        if again is not None:
            wall = self._case.walls[0].id if again.subject == HOUSE else again.subject
            more = self.planner.next_step(self._case, wall, self._evaluation(wall))
            return replace(more, step=again, stop=None, for_numbers=False, page=None), wall
        for asked in self._case.walls:
            plan = self.planner.next_step(self._case, asked.id, self._evaluation(asked.id))
            if plan.step is not None:
                break
        return plan, asked.id

    def _case_of(self, given: list[GivenAnswer]) -> Case:
        steps = tuple(item.step for item in given)
        named = set(steps)
        left = tuple(step for step in self._to_name if step not in named)
        answers: dict[str, dict[str, Answer]] = {wall.id: {} for wall in self._frame.walls}
        answers[HOUSE] = {}
        for item in given:
            own = answers.setdefault(item.step.subject, {})
            own.pop(item.step.question, None)  # answered anew, it comes last
            own[item.step.question] = item.answer
        walls = tuple(replace(wall, answers=answers[wall.id]) for wall in self._frame.walls)
        return replace(self._frame, house=answers[HOUSE], walls=walls, asked=steps, to_name=left)

    def _applies(self, step: Step, applicable: Callable[[str], frozenset[str]]) -> bool:
        if self.question(step).entry.applies is None:
            return True
        if step.subject != HOUSE:
            return step.question in applicable(step.subject)
        # the first wall is worked out in any case, and of many walls the house alone settles most
        first, *others = (wall.id for wall in self._case.walls)
        return any(step.question in applicable(subject) for subject in (first, _ALONE, *others))

    def _applicable(self, subject: str) -> frozenset[str]:
        """The questions that apply to a wall, or to the house alone, as the case stands."""
        return self.triager.evaluator.applicable(self._evaluation(subject))

    def _evaluation(self, subject: str) -> Evaluation:
        """The evaluation of a wall, or of the house alone; worked out once for a case."""
        known = self._evaluations.get(subject)
        if known is None:
            case = self._case
            if subject == _ALONE:
                case = replace(case, walls=(Wall(_ALONE),))
            known = self._evaluations[subject] = self.triager.evaluate(case, subject)
        return known


def _in_order(case: Case) -> list[GivenAnswer]:
    """A case's answers in the order they were asked; those never asked come first."""
    answers = {Step(HOUSE, name): answer for name, answer in case.house.items()}
    for wall in case.walls:
        answers |= {Step(wall.id, name): answer for name, answer in wall.answers.items()}
    asked = [step for step in dict.fromkeys(case.asked) if step in answers]
    before = [step for step in answers if step not in asked]
    return [GivenAnswer(step, answers[step]) for step in (*before, *asked)]
