"""The buyer's two pages, for one wall or several: what it means for the offer; what to do next."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from walltriage.knowledge.report_texts import TextItem
from walltriage.language import say
from walltriage.report import parts
from walltriage.report.blocks import Figure, Item, Items, Paragraph, Section, Sheet
from walltriage.report.cautions import SPECIAL_CAUTIONS, cautions
from walltriage.report.house_sheet import together
from walltriage.report.observations import put_down
from walltriage.report.reasons import MOST_REASONS, strongest
from walltriage.report.subject import ItemT, Request, Subject

MOST_DRAWN = 3
"""Walls that are drawn each for itself; more would not leave the pages legible."""


def sheets(request: Request) -> list[Sheet]:
    """Two pages, and what greater depth adds for each wall."""
    walls = request.subjects()
    first = Sheet(say("What it means for the offer"), tuple(_offer(walls)), one_page=True)
    second = Sheet(say("What nobody knows yet, and what to do"), tuple(_next(walls)), one_page=True)
    return [first, second, *(sheet for wall in walls for sheet in deeper(wall))]


def _offer(walls: list[Subject]) -> Iterator[Section]:
    alone = len(walls) == 1
    for wall in walls:
        yield parts.banner(wall, say("Wall: {name}", name=wall.name), meaning=alone)
    if not alone:
        yield parts.meanings(walls)
    if alone:
        yield Section(say("The wall in the house"), (Figure(walls[0].plan()),), "half")
        yield Section(say("What could rest on it"), (Figure(walls[0].section()),), "half")
    elif len(walls) <= MOST_DRAWN:
        many = len(walls) > 2
        for wall in walls:
            plan = Figure(wall.plan(), small=many)
            yield Section(
                say("In the house: {name}", name=wall.name), (plan,), "third" if many else "half"
            )
    yield _work(walls)
    if alone:
        yield parts.path_table(walls[0])
    else:
        yield Section(
            say("What could rest on them"), tuple(parts.path_line(wall) for wall in walls)
        )
    most = MOST_REASONS if len(walls) <= 2 else 2
    for wall in walls:
        title = say("The reasons that count most") + ("" if alone else f": {wall.name}")
        shown = tuple(parts.reason(one, wall.depth) for one in strongest(wall.wall, most))
        if shown:
            yield Section(title, (Items(shown),), "full" if alone else "half")


def _next(walls: list[Subject]) -> Iterator[Section]:
    yield from parts.contradictions(walls)
    if len(walls) == 1:
        yield from parts.seen_along(walls[0])
    yield parts.still_open(walls, say("What would settle it"))
    yield from parts.opening_short(walls)
    yield from put_down(walls)
    yield from together(walls[0].request)
    texts = walls[0].texts
    for title, items in (
        (say("Ask the seller"), texts.ask_seller),
        (say("Ask the inspector"), texts.ask_inspector),
        (say("Ask the engineer"), texts.ask_engineer),
    ):
        yield Section(title, (parts.texts(_of_any(walls, items)),), "half")
    yield from cautions(walls, "half", special=SPECIAL_CAUTIONS)


def _work(walls: list[Subject]) -> Section:
    """The classes of work it could be, told by what has to be built; no sizes, no prices."""
    items = []
    for work in _of_any(walls, walls[0].texts.work_classes):
        names = [wall.name for wall in walls if work in wall.holding([work])]
        which = "" if len(walls) == len(names) else f" ({', '.join(names)})"
        built = (
            say("To be built: {builds}.", builds="; ".join(work.builds)) if len(walls) == 1 else ""
        )
        items.append(Item(f"{work.title}{which}. {work.says}", built))
    lead = Paragraph(say("Have these priced before the offer; the price of the house may follow."))
    return Section(say("What class of work this could be"), (lead, Items(tuple(items))))


def _of_any(walls: Iterable[Subject], items: Iterable[ItemT]) -> list[ItemT]:
    """The fixed texts that hold for at least one of the walls, in their order."""
    wanted: list[TextItem] = [item for wall in walls for item in wall.holding(items)]
    return [item for item in items if item in wanted]


def deeper(subject: Subject) -> list[Sheet]:
    """What depth 2 and 3 add: all evidence, and at depth 3 all rules."""
    if subject.depth < 2:
        return []
    sections = (
        *parts.why_not(subject),
        *parts.evidence(subject),
        *parts.trace(subject),
        *parts.sources(subject.request),
    )
    return [Sheet(say("All reasons: {name}", name=subject.name), sections)]
