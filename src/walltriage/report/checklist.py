"""One page to take along before a visit: what to look at, in walking order, with boxes to tick."""

from __future__ import annotations

import html
import textwrap
from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from walltriage.case.model import Answer, Case, Role, Wall
from walltriage.inference.looks.glance import FEWEST_ITEMS, Asked, asked_of
from walltriage.inference.looks.policy import looking_costs
from walltriage.inference.looks.trial import Tried
from walltriage.inference.looks.trouble import danger
from walltriage.inference.triage import Triager
from walltriage.knowledge.base import AskedQuestion, KnowledgeBase
from walltriage.knowledge.report_texts import ReportTexts, SiteItem
from walltriage.language import code, say

WALK = (
    ("desk", "Before you go, or ask the people who live there"), ("outside", "Outside"),
    ("rooms", "In the rooms, at the wall"), ("upstairs", "One floor up, over the wall"),
    ("attic", "In the attic, over the wall"), ("below", "Below the wall"),
)  # fmt: skip
ABOVE_IS, ABOVE = "above_wall", ("only_attic", "rooms_all_along")
MOST_HERE, LEAST_WORTH = 4, 1e-9
MOST_EFFORT = 2  # nothing comes off and nothing is opened on a first visit
WIDE, MOST_LINES = 104, 84  # a letter page, printed small
MOST_SKETCHES, SKETCH_LINES = 2, 5
ROOM = 8  # lines kept for drawings
_PAGE = """<!doctype html>
<html lang="{language}"><head><meta charset="utf-8"><title>{title}</title><style>
@page {{ size: letter; margin: 0.4in }}
body {{ margin: 0 }}
pre {{ font: 8.7pt/8.7pt monospace; margin: 0 }}
</style></head><body><pre>{text}</pre></body></html>
"""


@dataclass(frozen=True, slots=True)
class _Look:
    """One thing to look at: its lines, and how much it is expected to change for its effort."""

    place: str
    lines: tuple[str, ...]
    sketch: tuple[str, ...] = ()
    worth: float = 0.0


def checklist(
    triager: Triager, texts: ReportTexts, role: Role, known: dict[str, Answer]
) -> list[str]:
    """The page as lines of text; ``known`` is what is known of the house by now.

    What is always asked comes first, then as much of what would change most as there is room for.
    """
    case = Case(role=role, reach=MOST_EFFORT, house=known, walls=(Wall("wall"),))
    needed, more = _looks(triager, case)
    foot = texts.standing_cautions
    last = textwrap.wrap(foot.says, WIDE) if foot is not None else []
    taken = list(needed)
    for look in sorted(more, key=lambda look: -look.worth):
        if len(_page(texts, [*taken, look])) + len(last) <= MOST_LINES - ROOM:
            taken.append(look)
    lines, left = _page(texts, taken), MOST_SKETCHES
    for look in sorted(taken, key=lambda look: look.place == "rooms"):
        if look.sketch and left and len(lines) + len(look.sketch) + len(last) <= MOST_LINES:
            left -= 1
            at = lines.index(look.lines[-1]) + 1
            lines[at:at] = look.sketch
    return [*lines, *last]


def as_html(lines: list[str]) -> str:
    """The page for a browser's printer, set so that it fills one sheet."""
    return _PAGE.format(language=code(), title=lines[0], text=html.escape("\n".join(lines)))


def _page(texts: ReportTexts, looks: list[_Look]) -> list[str]:
    lines = [
        say(
            "WALLS: WHAT TO LOOK AT ON A VISIT   House: {house}  Wall: {wall}",
            house="_" * 24, wall="_" * 18,
        )
    ]  # fmt: skip
    for place, title in WALK:
        here = [look for look in looks if look.place == place]
        photos = [item for item in texts.photos if item.place == place]
        if here or photos:
            lines.append(f"-- {say(title)} ".ljust(WIDE, "-"))
            lines += [line for look in here for line in look.lines]
            lines += _photos(photos)
    return lines


def _looks(triager: Triager, case: Case) -> tuple[list[_Look], list[_Look]]:
    """What is always asked, and what else there is to see: the most telling of each place.

    Before a visit nobody knows whether an attic or rooms are above the wall: it is both in turn.
    """
    found: dict[str, _Look] = {}
    for above in ABOVE:
        wall = Wall("wall", answers={"above_wall": Answer(above)})
        for look in _looks_under(triager, replace(case, walls=(wall,))):
            found.setdefault(look.lines[0], look)
    more = sorted((look for look in found.values() if look.worth), key=lambda look: -look.worth)
    here: Counter[str] = Counter()
    best = []
    for look in more:
        here[look.place] += 1
        if here[look.place] <= MOST_HERE:
            best.append(look)
    return [look for look in found.values() if not look.worth], best


def _looks_under(triager: Triager, case: Case) -> Iterator[_Look]:
    """All that can be seen of a wall, by the questions that apply; a worth where it is a choice."""
    base, answers = triager.base, triager.answers(case, "wall")
    applicable = triager.evaluator.applicable(triager.evaluate(case, "wall"))
    names = {
        name for name, question in base.questions.items()
        if name in applicable and name not in answers and _for_a_visit(question, case.role)
    }  # fmt: skip
    yield _of_question(base.questions[ABOVE_IS])
    on_a_page: set[str] = set()
    for glance in base.glances:
        page = asked_of(glance, names)
        own = [item for item in page.items if item.of or names & {*item.told}]
        if len(own) >= FEWEST_ITEMS and _in_every_interview(base, page):
            on_a_page |= {*page.questions, *(name for i in page.items for name in i.told)}
            yield _of_page(page, base.questions[page.questions[0]].place)
    alone = [q for q in base.questions.values() if q.id in names - on_a_page]
    always = danger(triager.worth)[0]
    needed = [q for q in alone if q.entry.first or q.id in always or case.role in q.entry.always]
    yield from (_of_question(question) for question in needed)
    told = [
        q for q in alone
        if triager.worth.uses[q.id].paths and q not in needed and q.place != "desk"
    ]  # fmt: skip
    beliefs = triager.evaluate(case, "wall").beliefs
    trial = Tried(answers, beliefs, [question.id for question in told])
    changes = next(iter(triager.trial.changes([trial])))
    for question in told:
        worth = changes[question.id].decibans / looking_costs(question)
        yield _of_question(question, max(worth, LEAST_WORTH))


def _in_every_interview(base: KnowledgeBase, page: Asked) -> bool:
    """Whether nobody is spared this page: it has a list, what comes first, or what is sought before
    "non-bearing" is said.  What is asked now and then has to be worth its lines."""
    sought = base.guards.sought_before_non_bearing
    return any(
        name in sought or base.questions[name].entry.first or base.questions[name].entry.opens
        for name in page.questions
    )


def _for_a_visit(question: AskedQuestion, role: Role) -> bool:
    entry = question.entry
    return entry.kind != "computed" and entry.effort <= MOST_EFFORT and role in entry.who


def _of_page(page: Asked, place: str) -> _Look:
    """Things seen at one look: a box before each."""
    boxes = "  ".join(f"[_] {item.says}" for item in page.items)
    ask = textwrap.wrap(page.glance.ask, WIDE)
    sketch = _drawing(page.glance.sketch)
    return _Look(place, (*ask, *_boxes(boxes + "  [_] " + say("none"))), sketch)


def _of_question(question: AskedQuestion, worth: float = 0.0) -> _Look:
    """One question with a box before each answer, or a line to write on."""
    entry = question.entry
    if not entry.options:
        lines = textwrap.wrap(entry.ask + " " + "_" * 16, WIDE)
    else:
        boxes = "  ".join(f"[_] {min(o.says, o.means, key=len)}" for o in entry.options)
        lines = [*textwrap.wrap(entry.ask, WIDE), *_boxes(boxes + "  [_] ?")]
    return _Look(question.place, tuple(lines), _drawing(entry.sketch), worth)


def _drawing(sketch: str | None) -> tuple[str, ...]:
    """A small drawing line by line; a larger one is left out."""
    lines = (sketch or "").expandtabs(4).rstrip().split("\n")
    return tuple("      " + line for line in lines) if 1 < len(lines) <= SKETCH_LINES else ()


def _boxes(text: str) -> list[str]:
    """Boxes and their words, none parted from its box."""
    glued = text.replace("[_] ", "[_]\0")
    lines = textwrap.wrap(glued, WIDE, initial_indent="  ", subsequent_indent="  ")
    return [line.replace("\0", " ") for line in lines]


def _photos(items: Iterable[SiteItem]) -> Iterator[str]:
    """Photos to take, with how many of each."""
    shown = "  ".join(f"[_] {item.count} x {item.says}" for item in items)
    if shown:
        yield from _boxes(say("Photos: {shown}", shown=shown))
