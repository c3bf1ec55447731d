"""Record the interviews in ``transcripts_demo/`` afresh: ``python -m tests.record_transcripts``.

``tests/demo_houses/`` holds one case file for each, with all that its person could tell.  The
planner asks, that person answers, and what comes out is written with the order of the questions.
To be run after a change of the rules or of the planner.
"""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from walltriage.case.model import HOUSE, UNKNOWN, Answer, Case
from walltriage.case.read import read_case
from walltriage.case.write import write_case
from walltriage.inference.looks.glance import picked_by, word_for_all
from walltriage.inference.record import outcome
from walltriage.inference.triage import Triager
from walltriage.interview.planner import Planner
from walltriage.interview.session import Session
from walltriage.knowledge.load import load_knowledge

HERE = Path(__file__).resolve().parent
HOUSES = HERE / "demo_houses"
TRANSCRIPTS = HERE.parent / "transcripts_demo"


def told(person: Case, subject: str, question: str) -> Answer:
    """What this person answers: what they know, or that they do not know."""
    answers = person.house if subject == HOUSE else person.wall(subject).answers
    return answers.get(question, Answer(UNKNOWN, None, UNKNOWN))


def interview(planner: Planner, person: Case) -> Case:
    """A whole interview with one person, as it is recorded."""
    walls = tuple(replace(wall, answers={}) for wall in person.walls)
    session = Session(planner, replace(person, house={}, walls=walls))
    while session.step is not None:
        if session.page is not None:
            look_at(session, person)
            continue
        answer = told(person, session.step.subject, session.step.question)
        session.answer(answer.given, answer.sure, answer.note)
    case = session.case
    for step in case.asked:  # by whom and when, which the interview does not ask
        answer = told(person, step.subject, step.question)
        if answer.value == case.answers_of(step.subject)[step.question].value:
            case = case.with_answer(step.subject, step.question, answer)
    return replace(case, outcome=outcome(planner.triager.finding(case)))


def look_at(session: Session, person: Case) -> None:
    """Answer a page of several things as this person answers each question of it."""
    page, wall, questions = session.page, session.wall_id, session.triager.base.questions

    def answer(name: str) -> Answer:
        return told(person, HOUSE if questions[name].scope == HOUSE else wall, name)

    word = word_for_all(page, answer)
    if word:
        session.nothing_known(word)
    else:
        session.answer_page(picked_by(page, answer))


def main() -> None:
    """Write every transcript, and tell which questions nobody had an answer to."""
    triager = Triager(load_knowledge(HERE.parent / "rules"))
    planner = Planner(triager)
    for path in sorted(HOUSES.glob("*.yaml")):
        person = read_case(path, triager.base.questions)
        case = interview(planner, person)
        write_case(TRANSCRIPTS / path.name, case)
        verdicts = ", ".join(wall["verdict"] for wall in case.outcome["walls"])
        print(f"{path.name}: {len(case.asked)} questions, {verdicts}")
        for step in case.asked:
            answers = person.house if step.subject == HOUSE else person.wall(step.subject).answers
            if step.question not in answers and len(answers) > 1:
                print(f"  no answer to {step.subject}/{step.question}")


if __name__ == "__main__":
    main()
