"""What was answered in one interview, in the order given: noted, taken back, kept, changed."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass, replace

from walltriage.case.model import HOUSE, Answer, Case, Step
from walltriage.case.pages import page_around


@dataclass(frozen=True, slots=True)
class GivenAnswer:
    """One answer with the question it was given to."""

    step: Step
    answer: Answer


@dataclass(frozen=True, slots=True)
class TakenBack:
    """What was said on a page, or to a question asked by itself, before going back over it."""

    given: tuple[GivenAnswer, ...]
    to_name: tuple[Step, ...] = ()

    def is_of(self, glance: str, wall_id: str) -> bool:
        """Whether it was said on this page of several things, about this wall and its house."""
        steps = [item.step for item in self.given]
        return all(s.glance == glance and s.subject in (HOUSE, wall_id) for s in steps)


class AnswersSoFar:
    """The answers of one interview; ``to_name`` are questions about what was said to be there, and
    not yet which.

    ``answers`` holds every answer, whether it counts as things stand or not.
    """

    def __init__(self, case: Case) -> None:
        self.answers = in_order(case)
        self.to_name = list(case.to_name)
        self.page_back: TakenBack | None = None
        self._taken_back: dict[Step, Answer] = {}

    def add(self, step: Step, answer: Answer) -> None:
        """Note one answer as the last."""
        self.answers = [item for item in self.answers if item.step != step]
        self.answers.append(GivenAnswer(step, answer))
        self._taken_back.pop(step, None)

    def add_page(self, given: Sequence[GivenAnswer], names: Sequence[Step]) -> None:
        """Note all that was said on one page, and what is to be named of it."""
        steps = {item.step for item in given}
        self.answers = [item for item in self.answers if item.step not in steps] + list(given)
        self.to_name = [step for step in self.to_name if step not in names] + list(names)
        self.page_back = None

    def take_back(self, last: GivenAnswer) -> Step | None:
        """Take an answer back, with all of its page if it was given on one; the step to ask again
        where it was asked by itself."""
        if last.step.glance:
            self._take_page_back(last.step)
            return None
        self.answers.remove(last)
        self._taken_back[last.step] = last.answer
        return last.step

    def _take_page_back(self, step: Step) -> None:
        page = page_around((item.step for item in self.answers), step)
        names = to_name_of(page, self.to_name)
        self.page_back = TakenBack(
            tuple(item for item in self.answers if item.step in page), tuple(names)
        )
        self.answers = [item for item in self.answers if item.step not in page]
        self.to_name = [step for step in self.to_name if step not in names]

    def remember(self, back: TakenBack) -> None:
        """Show this again as said before, where its page or its question comes next."""
        (first, *_) = back.given
        if first.step.glance:
            self.page_back = back
        else:
            self._taken_back[first.step] = first.answer

    def earlier(self, step: Step) -> Answer | None:
        """What was said to a question before going back over it."""
        return self._taken_back.get(step)

    def change(self, step: Step, answer: Answer) -> None:
        """Replace an answer where it stands; :class:`KeyError` where there is none."""
        places = [index for index, item in enumerate(self.answers) if item.step == step]
        if not places:
            raise KeyError(step)
        self.answers[places[0]] = GivenAnswer(step, answer)

    def about(self, subject: str) -> bool:
        """Whether anything was said of a wall."""
        return any(item.step.subject == subject for item in self.answers)

    def drop(self, subject: str) -> None:
        """Forget all that was said of a wall."""
        self.answers = [item for item in self.answers if item.step.subject != subject]
        self.to_name = [step for step in self.to_name if step.subject != subject]


def to_name_of(page: Collection[Step], to_name: Iterable[Step]) -> list[Step]:
    """Of what is still to be named, what was picked on a page."""
    glances = {step.glance for step in page} - {""}
    subjects = {HOUSE, *(step.subject for step in page)}
    return [step for step in to_name if step.glance in glances and step.subject in subjects]


def in_order(case: Case) -> list[GivenAnswer]:
    """A case's answers in the order they were asked; those never asked come first."""
    answers = {Step(HOUSE, name): answer for name, answer in case.house.items()}
    for wall in case.walls:
        answers |= {Step(wall.id, name): answer for name, answer in wall.answers.items()}
    asked = [step for step in dict.fromkeys(case.asked) if step in answers]
    before = [step for step in answers if step not in asked]
    return [GivenAnswer(step, answers[step]) for step in (*before, *asked)]


def case_of(frame: Case, given: Sequence[GivenAnswer], to_name: Sequence[Step]) -> Case:
    """The case that these answers make of a house and its walls (``frame``)."""
    steps = tuple(item.step for item in given)
    named = set(steps)
    left = tuple(step for step in to_name if step not in named)
    answers: dict[str, dict[str, Answer]] = {wall.id: {} for wall in frame.walls}
    answers[HOUSE] = {}
    for item in given:
        own = answers.setdefault(item.step.subject, {})
        own.pop(item.step.question, None)  # answered anew, it comes last
        own[item.step.question] = item.answer
    walls = tuple(replace(wall, answers=answers[wall.id]) for wall in frame.walls)
    return replace(frame, house=answers[HOUSE], walls=walls, asked=steps, to_name=left)
