"""The same person through every door: in a browser, at a terminal, in a case file, in a batch.

``python -m tests.desk.all_doors --people 200`` lets that many random people answer whatever they
are asked, every third of them at walls that one thing alone keeps from being told, and prints every
difference; exit status 1 when there is any.
"""

from __future__ import annotations

import argparse
import random
import sys
import tempfile
from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path

from tests.desk.browser import Desks, OneDesk
from tests.desk.test_client import StandsBy, answer_as, case_in, hold
from tests.inference.answer_sets import random_answers
from tests.inference.both_doors import Count, differences
from tests.record_transcripts import told
from walltriage.bulk.blocks import Block
from walltriage.case.model import HOUSE, SURENESS, UNKNOWN, Answer, Case, Wall, as_said
from walltriage.case.read import parse_case
from walltriage.case.write import case_text
from walltriage.inference.alone import alone_in_the_way, looks_behind
from walltriage.inference.columns.evaluator import ColumnEvaluator
from walltriage.inference.triage import Triager
from walltriage.interview.planner import Planner
from walltriage.interview.session import Session
from walltriage.knowledge.load import load_knowledge
from walltriage.report.finding_json import finding_line
from walltriage.rule_testing.rule_cases import case_answers
from walltriage.rules_folder import default_rules_folder

HELD_UP_EVERY = 3
MOST_DRAWS = 2000


@dataclass(slots=True)
class DoorCount(Count):
    """What was compared, and how often a second look was offered in a browser."""

    second_looks: int = 0

    def __str__(self) -> str:
        return f"{Count.__str__(self)}, {self.second_looks} second looks"


def random_person(triager: Triager, seed: int) -> Case:
    """Somebody with one to three walls who knows a part of what may be asked, right or wrong."""
    draw, questions = random.Random(seed), triager.base.questions
    walls = []
    for number in range(1, draw.randint(1, 3) + 1):
        known = random_answers(triager.base, seed * 5 + number, draw.choice([0.3, 0.6, 0.9]))
        asked = {
            n: replace(a, sure=as_said(a.sure)) for n, a in known.items()
            if questions[n].entry.kind != "computed"
        }  # fmt: skip
        walls.append(Wall(f"wall{number}", f"Wall {number}", answers=asked))
    house = {n: a for n, a in walls[0].answers.items() if questions[n].scope == HOUSE}
    return Case(
        f"house {seed}",
        house,
        tuple(
            replace(w, answers={n: a for n, a in w.answers.items() if n not in house})
            for w in walls
        ),
        role=draw.choice(["buyer", "trade"]),
        reach=draw.randint(1, 4),
    )


def held_up_person(triager: Triager, seed: int) -> Case:
    """Somebody with one or two walls that carry nothing, of which one thing alone, seen and told,
    keeps each from being called so."""
    draw, base = random.Random(seed), triager.base
    verdict = next(v for v in base.guards.verdicts if v.id == "verdict_non_bearing")
    clear = case_answers(base, verdict.cases.fires[0])
    seen = [q for q in base.questions.values() if q.entry.kind in base.guards.seen_kinds]

    def stopped(scope: str) -> dict[str, Answer]:
        for _ in range(MOST_DRAWS):
            question = draw.choice([q for q in seen if q.scope == scope and q.entry.options])
            value = draw.choice(question.entry.options).id
            sure = draw.choice(SURENESS)
            answers = clear | {question.id: Answer(value, None, value, sure)}
            result = triager.evaluator.evaluate(answers)
            stop = alone_in_the_way(base, result)
            if stop is not None and looks_behind(base, stop, result.firings, answers):
                return answers
        raise AssertionError(f"nothing of the {scope} stands alone before a clear wall")

    walls_told = [stopped("wall")] if draw.random() < 0.8 else [stopped(HOUSE)]
    walls_told += [stopped("wall")] if draw.random() < 0.3 else []
    house = {n: a for n, a in walls_told[0].items() if base.questions[n].scope == HOUSE}
    walls = tuple(
        Wall(f"wall{number}", f"Wall {number}",
             answers={n: a for n, a in answers.items() if n not in house})
        for number, answers in enumerate(walls_told, 1)
    )  # fmt: skip
    return Case(f"held up {seed}", house, walls, role=draw.choice(["buyer", "trade"]), reach=4)


class LooksAgain(StandsBy):
    """Somebody who, looking again, finds the same, or something else, or leaves it: by chance, but
    the same behind every door."""

    def __init__(self, triager: Triager, person: Case) -> None:
        super().__init__(person)
        self.questions = triager.base.questions

    def again(self, mark: tuple[str, str], lines: list[str]) -> tuple[str, Answer] | None:
        self.asked.append((mark, lines))
        draw = random.Random(f"{self.person.name} {mark} {lines}")
        line = draw.choice(lines)
        subject, name = line.split("/")
        before, options = told(self.person, subject, name), self.questions[name].entry.options
        what = draw.choice(["leaves it", "the same", "the same", "another", "unknown"])
        if what == "leaves it":
            return None
        value = before.given or before.value
        if what == "unknown":
            value = UNKNOWN
        elif what == "another" and options:
            value = draw.choice([o.id for o in options if o.id != before.value])
        return line, Answer(value, None, value, draw.choice(SURENESS))


def at_a_terminal(triager: Triager, person: Case, second: StandsBy) -> Session:
    """The interview, answered as this person would."""
    walls = tuple(replace(wall, answers={}) for wall in person.walls)
    session = Session(Planner(triager), replace(person, house={}, walls=walls))
    answer_as(session, person, second)
    return session


def in_a_browser(desk: OneDesk, person: Case, second: StandsBy) -> Case:
    """The case that the desk keeps when this person has answered every page."""
    names = tuple(wall.name for wall in person.walls)
    key, token = desk.house(name=person.name, role=person.role, walls=names)
    browser = desk.browser()
    browser.get(f"/c/{token}")
    browser.submit({"reach": str(person.reach)})
    hold(browser, person, second)
    assert browser.path.endswith("/end"), browser.text
    return case_in(desk, key)


def doors_differ(
    triager: Triager, columns: ColumnEvaluator, desk: OneDesk, person: Case, count: DoorCount
) -> Iterator[str]:
    """Every way in which two doors differ for one person."""
    here, there = LooksAgain(triager, person), LooksAgain(triager, person)
    session, kept = at_a_terminal(triager, person, here), in_a_browser(desk, person, there)
    count.second_looks += len(there.asked)
    if here.asked != there.asked:
        yield f"{person.name}: other second looks in the browser than at the terminal"
    finding = finding_line(triager.finding(kept))
    if kept != session.case:
        yield f"{person.name}: another case in the browser than at the terminal"
    if finding != finding_line(session.finding()):
        yield f"{person.name}: another finding in the browser than at the terminal"
    text = case_text(kept)
    again = parse_case(text, person.name, triager.base.questions)
    if finding != finding_line(triager.finding(again)):
        yield f"{person.name}: another finding from the file"
    block = Block(f"{person.name}.yaml", "case", data=text.encode())
    yield from differences(triager, columns, [block], count)


def main() -> int:
    """Let many people through all doors."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--people", type=int, default=200)
    parser.add_argument("--first", type=int, default=0)
    given = parser.parse_args()
    triager = Triager(load_knowledge(default_rules_folder()))
    columns, count, found = ColumnEvaluator(triager.base), DoorCount(), []
    with tempfile.TemporaryDirectory() as folder:
        desks = Desks(triager, Path(folder))
        desk = desks.make()
        for seed in range(given.first, given.first + given.people):
            make = held_up_person if seed % HELD_UP_EVERY == 0 else random_person
            person = make(triager, seed)
            for line in doors_differ(triager, columns, desk, person, count):
                print(line, flush=True)
                found.append(line)
            if seed % 20 == 19:
                print(f"{seed + 1} people, {len(found)} differences", file=sys.stderr)
        desks.close()
    print(f"{count}; {len(found)} differences")
    return 1 if found else 0


if __name__ == "__main__":
    raise SystemExit(main())
