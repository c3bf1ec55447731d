"""The same person through every door: in a browser, at a terminal, in a case file, in a batch.

``python -m tests.desk.all_doors --people 200`` lets that many random people answer whatever they
are asked, and prints every difference; exit status 1 when there is any.
"""

from __future__ import annotations

import argparse
import random
import sys
import tempfile
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

from tests.desk.browser import Desks, OneDesk
from tests.desk.test_client import answer_as, case_in, hold
from tests.inference.answer_sets import random_answers
from tests.inference.both_doors import Count, differences
from walltriage.bulk.blocks import Block
from walltriage.case.model import HOUSE, Case, Wall, as_said
from walltriage.case.read import parse_case
from walltriage.case.write import case_text
from walltriage.inference.columns.evaluator import ColumnEvaluator
from walltriage.inference.triage import Triager
from walltriage.interview.planner import Planner
from walltriage.interview.session import Session
from walltriage.knowledge.load import load_knowledge
from walltriage.report.finding_json import finding_line
from walltriage.rules_folder import default_rules_folder


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


def at_a_terminal(triager: Triager, person: Case) -> Session:
    """The interview, answered as this person would."""
    walls = tuple(replace(wall, answers={}) for wall in person.walls)
    session = Session(Planner(triager), replace(person, house={}, walls=walls))
    answer_as(session, person)
    return session


def in_a_browser(desk: OneDesk, person: Case) -> Case:
    """The case that the desk keeps when this person has answered every page."""
    names = tuple(wall.name for wall in person.walls)
    key, token = desk.house(name=person.name, role=person.role, walls=names)
    browser = desk.browser()
    browser.get(f"/c/{token}")
    browser.submit({"reach": str(person.reach)})
    hold(browser, person)
    return case_in(desk, key)


def doors_differ(
    triager: Triager, columns: ColumnEvaluator, desk: OneDesk, person: Case, count: Count
) -> Iterator[str]:
    """Every way in which two doors differ for one person."""
    session, kept = at_a_terminal(triager, person), in_a_browser(desk, person)
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
    columns, count, found = ColumnEvaluator(triager.base), Count(), []
    with tempfile.TemporaryDirectory() as folder:
        desks = Desks(triager, Path(folder))
        desk = desks.make()
        for seed in range(given.first, given.first + given.people):
            person = random_person(triager, seed)
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
