"""An interview without a terminal: answers, pages, back, change, and edits of the walls.

The session keeps every answer in the order given; the case is worked out from them afresh
after each step.  Answers to questions that no longer apply are set aside, not lost: they
count again when the answer that shut them out is changed back.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
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
)
from walltriage.case.plan import Plan
from walltriage.inference.looks.glance import Asked, Picked
from walltriage.interview import frame
from walltriage.interview.counted_case import CountedCase
from walltriage.interview.given import GivenAnswer, TakenBack
from walltriage.interview.planner import NextStep, Planner
from walltriage.interview.state import InterviewState


class Session(InterviewState):
    """One interview about one house; every public method leaves it consistent."""

    def __init__(self, planner: Planner, case: Case) -> None:
        super().__init__(planner, case)
        self._again: Step | None = None  # a question reached by going back
        self._settle()

    def answer(
        self, value: Any, sure: Sureness = "certain", note: str = "", step: Step | None = None
    ) -> None:
        """Answer the current question; :class:`AnswerError` when the value does not fit.

        ``step``: the question that was on the page, where what was noted since may have moved on.
        """
        step = step or self._current()
        self._given.add(step, self._made(step, value, sure, note))
        self._settle()

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
        self._given.add_page(back.given, back.to_name)
        self._settle()

    def keep(self) -> None:
        """Give the current question the answer it had before going back."""
        earlier = self.earlier
        if earlier is None:
            raise ValueError("no earlier answer to keep")
        self._given.add(self._current(), earlier)
        self._settle()

    def back(self) -> bool:
        """Take the last answer back and ask that question again; False at the start."""
        if not self.given:
            return False
        self._again = self._given.take_back(self.given[-1])
        self._settle()
        return True

    def remember(self, back: TakenBack) -> None:
        """Show what was taken back elsewhere as said before, where its page comes next."""
        self._given.remember(back)

    def change(self, step: Step, value: Any, sure: Sureness = "certain", note: str = "") -> None:
        """Replace an earlier answer; everything is worked out afresh."""
        self._given.change(step, self._made(step, value, sure, note))
        self._settle()

    def set_person(self, role: Role, reach: int, name: str) -> None:
        """Say who asks, how far they can go today, and what the case is called."""
        self._reframe(replace(self._frame, role=role, reach=reach, name=name))

    def set_client(self, client: Mapping[str, str]) -> None:
        """Note who the client is, by the ids of the fields for it."""
        self._reframe(replace(self._frame, client=client))

    def name_wall(self, wall_id: str, name: str) -> None:
        """Name a wall."""
        self._reframe(frame.with_name(self._frame, wall_id, name))

    def add_wall(self, name: str = "") -> str:
        """One more wall of the same house; returns its id."""
        self._reframe(frame.with_one_more(self._frame, name))
        return self._frame.walls[-1].id

    def set_looks(self, wall_id: str, looks: WallLooks) -> None:
        """Say what was seen from where to where along a wall."""
        self._reframe(frame.with_looks(self._frame, wall_id, looks))

    def set_plan(self, plan: Plan | None) -> None:
        """Draw the house anew; what follows from the plan is worked out afresh."""
        self._reframe(replace(self._frame, plan=plan))

    def set_drawing(self, drawing: Drawing | None) -> None:
        """Note the pages of the plan answered so far; no answer follows from them yet."""
        self._frame = replace(self._frame, drawing=drawing)
        self._counted.case = replace(self.case, drawing=drawing)

    def drop_wall(self, wall_id: str) -> bool:
        """Take a further wall away again, if nothing was answered about it."""
        if self._given.about(wall_id):
            return False
        return self.remove_wall(wall_id)

    def remove_wall(self, wall_id: str) -> bool:
        """Take a wall away with all that was said of it; False for the only one."""
        if len(self._frame.walls) == 1:
            return False
        self._given.drop(wall_id)
        self._reframe(frame.without_wall(self._frame, wall_id))
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
            given.append(GivenAnswer(step, self._made(step, value, sure, "" if given else note)))
        self._given.add_page(given, names)
        self._settle()

    def _made(self, step: Step, value: Any, sure: Sureness, note: str) -> Answer:
        question, units = self.question(step), self.case.units
        return make_answer(
            step.question, question, value, units=units, sure=sure, note=note,
            metric=is_metric(self.case),
        )  # fmt: skip

    def _reframe(self, changed: Case) -> None:
        self._frame = changed
        self._settle()

    def _settle(self) -> None:
        """Work out which answers count, the case they make, and the next question."""
        given = self._given
        self._counted = CountedCase(self.triager, self._frame, given.answers, given.to_name)
        self._plan, self._wall_id = self._next()
        place = self.question(self.step).place if self.step else ""
        self._left = self._left.then(self._plan, self._wall_id, place)

    def _next(self) -> tuple[NextStep, str]:
        again, self._again = self._again, None
        if again is not None and again.subject != HOUSE:
            return self._asking(self._plan_of(again.subject), again), again.subject
        for asked in self.case.walls:
            plan = self._plan_of(asked.id)
            if plan.step is not None:
                break
        return plan if again is None else self._asking(plan, again), asked.id

    def _plan_of(self, wall_id: str) -> NextStep:
        return self.planner.next_step(self.case, wall_id, self._counted.evaluation(wall_id))

    def _asking(self, plan: NextStep, again: Step) -> NextStep:
        """A question asked again, by itself; what follows it is as planned."""
        return replace(plan, step=again, stop=None, for_numbers=False, page=None)
