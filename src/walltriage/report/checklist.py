"""A page to take along before a visit: what to look at, in walking order, with boxes to tick."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Iterator

from walltriage.case.model import HOUSE, Answer, Case, Role, Wall
from walltriage.inference.looks.choice import danger
from walltriage.inference.looks.policy import looking_costs
from walltriage.inference.looks.trial import Tried
from walltriage.inference.triage import Triager
from walltriage.knowledge.base import AskedQuestion
from walltriage.knowledge.report_texts import ReportTexts, SiteItem

WALK = (
    ("desk", "Before you go, or ask the people who live there"), ("outside", "Outside"),
    ("rooms", "In the rooms, at the wall"), ("upstairs", "One floor up, over the wall"),
    ("attic", "In the attic, over the wall"), ("below", "Below the wall"),
)  # fmt: skip
MOST_HERE = 3  # beside what is always asked, so that a page holds all
MOST_EFFORT = 2  # nothing comes off and nothing is opened on a first visit
WIDE = 96
SKETCH_LINES = 6


def checklist(
    triager: Triager, texts: ReportTexts, role: Role, known: dict[str, Answer]
) -> list[str]:
    """The page as lines of text; ``known`` is what is known of the house by now."""
    case = Case(role=role, reach=MOST_EFFORT, house=known, walls=(Wall("wall"),))
    chosen = _chosen(triager, case)
    lines = ["Walls: what to look at on a visit", "=" * 33, ""]
    lines += textwrap.wrap("House: " + "_" * 30 + "  Wall: " + "_" * 26, WIDE)
    sketched = False
    for place, title in WALK:
        here = [question for question in chosen if question.place == place]
        photos = [item for item in texts.photos if item.place == place]
        if not here and not photos:
            continue
        lines += ["", title, "-" * len(title)]
        for question in here:
            lines += _asked(question)
            sketch = (question.entry.sketch or "").expandtabs(4).rstrip().split("\n")
            if not sketched and 1 < len(sketch) <= SKETCH_LINES:
                sketched = True
                lines += ["      " + line for line in sketch]
        lines += _photos(photos)
    if texts.standing_cautions is not None:
        lines += ["", *textwrap.wrap(texts.standing_cautions.says, WIDE)]
    return lines


def _chosen(triager: Triager, case: Case) -> list[AskedQuestion]:
    """What is always asked, and in each place what would change most for its effort."""
    base, answers = triager.base, triager.answers(case, "wall")
    result = triager.evaluate(case, "wall")
    open_ones = [
        base.questions[name]
        for name in base.questions
        if name in triager.evaluator.applicable(result) and name not in answers
        and _for_a_visit(base.questions[name], case.role)
    ]  # fmt: skip
    changes = next(
        triager.trial.changes([Tried(answers, result.beliefs, [q.id for q in open_ones])])
    )
    always = {q.id for q in open_ones if q.entry.first} | danger(triager.worth)[0]
    always |= {q.id for q in open_ones if q.entry.opens}
    told = [q for q in open_ones if triager.worth.uses[q.id].paths]
    best = sorted(told, key=lambda q: -changes[q.id].decibans / looking_costs(q))
    taken = dict.fromkeys(q.id for q in open_ones if q.id in always)
    for place, _ in WALK:
        more = [q.id for q in best if q.place == place and q.id not in always and q.scope != HOUSE]
        taken |= dict.fromkeys(more[: MOST_HERE if place != "desk" else 0])
    return [base.questions[name] for name in taken]


def _for_a_visit(question: AskedQuestion, role: Role) -> bool:
    entry = question.entry
    return entry.kind != "computed" and entry.effort <= MOST_EFFORT and role in entry.who


def _asked(question: AskedQuestion) -> Iterator[str]:
    yield from textwrap.wrap(question.entry.ask, WIDE, subsequent_indent="  ")
    if question.entry.options:
        boxes = "  ".join(f"[_] {option.means}" for option in question.entry.options)
        yield from textwrap.wrap(
            boxes + "  [_] ?", WIDE, initial_indent="    ", subsequent_indent="    "
        )
    else:
        yield "    " + "_" * 20


def _photos(items: Iterable[SiteItem]) -> Iterator[str]:
    for item in items:
        yield from textwrap.wrap(f"[_] Photo: {item.says}", WIDE, subsequent_indent="    ")
