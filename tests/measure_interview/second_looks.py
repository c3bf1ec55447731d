"""What second looks bring to interviews that do not end with "bearing", one answer at a time.

Held as at the terminal: what clashes is looked at once more, then what alone is in the way, the
guesses that are, and what "non-bearing" rests on alone, each offered once; what was given anew may
lead to more questions.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from tests.measure_interview.people import Asked, everything_told
from tests.measure_interview.walk import CLEAR, OPEN, Group, groups_of
from walltriage.case.model import SURENESS, Answer
from walltriage.inference.columns.evaluator import VERDICTS
from walltriage.inference.looks.column_planner import STOPS
from walltriage.inference.triage import Triager
from walltriage.interview.given import GivenAnswer
from walltriage.interview.planner import Planner
from walltriage.interview.session import Session
from walltriage.interview.stands_alone import GUESSES, answer_anew, to_offer, told_of
from walltriage.lab.house.build import generator
from walltriage.lab.house.truth import PATHS
from walltriage.lab.interviews import Held, Interviewer, as_case
from walltriage.lab.looked_again import look_again
from walltriage.lab.reporter import Person

SCOPE = STOPS.index("scope")
CLASH = "clash"
Tell = Callable[[str], Answer]
"""What somebody tells of a question, by its id."""


@dataclass(frozen=True, slots=True)
class SecondLooks:
    """What came of ``walls`` left open, of which ``bears`` bear, and of the ``clear`` ones.

    ``offered`` of both had something to look at again, ``guesses`` of them a guess; ``asked`` is
    how many more questions were put, in the mean of those offered.  ``missed`` bear and were called
    non-bearing then, of all interviews.  ``groups`` count questions of the first round and after.
    """

    walls: int
    bears: int
    clear: int
    offered: int
    guesses: int
    asked: float
    missed: int
    groups: tuple[Group, ...]


def second_looks(
    interviewer: Interviewer, walls: Sequence[Asked], held: Held, seed: int
) -> SecondLooks:
    """Second looks at all walls that their interviews left open, beside those at all answers."""
    evaluator = interviewer.evaluator
    planner, nothing = Planner(Triager(interviewer.base)), np.zeros(len(PATHS), bool)
    verdicts, questions = evaluator.evaluate(held.batch).verdict, held.counted.sum(axis=1)
    left = np.flatnonzero((verdicts == OPEN) & (held.stop != SCOPE)).tolist()
    clear = np.flatnonzero(verdicts == CLEAR).tolist()
    now, counted, offers = verdicts.copy(), questions.copy(), []
    for row in (*left, *clear):
        wall = walls[row]
        case = as_case(interviewer.base, held.given[row], wall.kind, row, nothing, wall.person)
        session = Session(planner, case)
        before = len(session.given)
        marks = list(
            _looked_again(
                session, _teller(interviewer, wall.person),
                _teller(interviewer, _second(wall.person, seed, row)),
            )
        )  # fmt: skip
        now[row] = VERDICTS.index(session.evaluation(session.wall_id).verdict)
        counted[row] += len(session.given) - before
        if marks:
            offers.append((row, any(mark.startswith(GUESSES) for mark in marks)))
    told = everything_told(evaluator, walls)
    everything = look_again(
        evaluator, told, lambda row: _teller(interviewer, _second(walls[row].person, seed, row))
    )
    bears = np.array([wall.bears for wall in walls])
    rows = [row for row, _ in offers]
    return SecondLooks(
        len(left), int(bears[left].sum()), len(clear),
        len(offers), sum(guess for _, guess in offers),
        float((counted - questions)[rows].mean()) if rows else 0.0,
        int((bears & (now == CLEAR)).sum()),
        groups_of(walls, evaluator.evaluate(everything).verdict, now, counted),
    )  # fmt: skip


def _second(person: Person, seed: int, row: int) -> Person:
    """The same person at the second look, whatever is looked at."""
    return person.look_again(generator(seed, row, f"second looks {person.kind}"), measured=False)


def _teller(interviewer: Interviewer, person: Person) -> Tell:
    column, questions = interviewer.evaluator.coder.column, interviewer.base.questions
    return lambda name: person.answer(questions[name], column[name])


def _looked_again(session: Session, first: Tell, second: Tell) -> Iterator[str]:
    """Go on to the end with second looks; yields the rule of each thing that was offered."""
    offered: set[tuple[str, str]] = set()
    done: set[str] = set()
    while True:
        while (step := session.step) is not None:  # each question by itself
            answer = first(step.question)
            session.answer(answer.given, answer.sure)
        clash = _in_a_clash(session, done)
        if clash is not None:
            done.add(clash.step.question)
            _look(session, second, clash)
            yield CLASH
            continue
        alone = to_offer(session, offered)
        if alone is None:
            return
        offered.add(alone.mark)
        # whoever was least sure of something looks at that
        _look(session, second, max(alone.told, key=lambda g: SURENESS.index(g.answer.sure)))
        yield alone.rule


def _in_a_clash(session: Session, done: set[str]) -> GivenAnswer | None:
    """An answer that clashes with others and was not looked at again."""
    rules = {rule.id: rule for rule in session.triager.base.contradictions}
    told = (
        item for name in session.clashes()
        for item in told_of(session, session.wall_id, rules[name].questions)
    )  # fmt: skip
    return next((item for item in told if item.step.question not in done), None)


def _look(session: Session, second: Tell, item: GivenAnswer) -> None:
    """What is said at the second look; whoever cannot tell then leaves it as it was."""
    answer = second(item.step.question)
    if answer.is_real:
        answer_anew(session, item, answer.given, answer.sure, "")
