"""What a firm's packet says in fewer lines where there is much of it, so that it keeps its pages.

Everything that is shortened here is whole in the data that travels with the report.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from walltriage.case.model import NO_ANSWER
from walltriage.inference.finding import Observation
from walltriage.language import say, say_count
from walltriage.report.blocks import Block, Item, Items, Paragraph, Section
from walltriage.report.observations import (
    BY_PLAN,
    PLACE_WORDS,
    SURE_WORDS,
    WALKING_ORDER,
    observation_table,
)
from walltriage.report.subject import Depth, Subject
from walltriage.report.words import capitalized

MOST_CLASHES_IN_FULL, MOST_CLASHES = 4, 9
"""Contradictions with what was answered, and those said at all; the others are counted."""


def clashes(walls: Sequence[Subject]) -> list[Section]:
    """Answers that cannot all be true: the first with all that was said, the last only counted."""
    found = [(wall, clash) for wall in walls for clash in wall.wall.contradictions]
    items = []
    for number, (wall, clash) in enumerate(found[:MOST_CLASHES]):
        said = clash.text if len(walls) == 1 else f"{wall.name}: {clash.text}"
        answers = "; ".join(f"{answer.ask} {answer.says}" for answer in clash.answers)
        items.append(Item(said, answers if number < MOST_CLASHES_IN_FULL else ""))
    left = found[MOST_CLASHES:]
    if left:
        names = ", ".join(dict.fromkeys(wall.name for wall, _ in left))
        more = say_count(
            "{count} more, at {walls}: see the data that comes with this packet.",
            "{count} more, at {walls}: see the data that comes with this packet.",
            len(left),
            walls=names,
        )
        items.append(Item(more))
    title = say("These answers cannot all be right: look again")
    return [Section(title, (Items(tuple(items)),))] if items else []


def observations(
    title: str, observed: Iterable[Observation], depth: Depth, heading: str, most: int
) -> Section:
    """What people told, row by row; what nobody knew and what was worked out, in a line each.

    Of more than ``most`` rows those without a note are said place by place instead, each in the
    words of its answer; at depth 3 every row is in the table.
    """
    rows, unknown, drawn = [], [], []
    for row in observed:
        if depth < 3 and (row.place == "none" or row.by == BY_PLAN):
            drawn.append(said_in_line(row))
        elif depth < 3 and row.value == NO_ANSWER[0] and not row.note:
            unknown.append(row.ask)
        else:
            rows.append(row)
    in_short = [row for row in rows if not row.note] if depth < 3 and len(rows) > most else []
    tabled = [row for row in rows if row not in in_short]
    blocks: list[Block] = [observation_table(title, tabled)] if tabled else []
    blocks += _by_place(in_short)
    if unknown:
        blocks.append(Paragraph(say("Asked, and not known: {asked}", asked=" ".join(unknown))))
    if drawn:
        told = "; ".join(drawn)
        blocks.append(Paragraph(say("From the plan, or worked out: {drawn}.", drawn=told)))
    return Section(heading, tuple(blocks))


def _by_place(rows: Sequence[Observation]) -> Iterator[Paragraph]:
    """A paragraph for each place, the answers of one sureness and person together."""
    for place in WALKING_ORDER:
        told: dict[tuple[str, str], list[str]] = {}
        for row in rows:
            if row.place == place:
                sure = say(SURE_WORDS[row.sure]) if row.sure is not None else say("not known")
                told.setdefault((sure, row.by), []).append(said_in_line(row))
        groups = [
            say("{sure}, by {by}: {answers}", sure=sure, by=by, answers="; ".join(answers))
            if by
            else say("{sure}: {answers}", sure=sure, answers="; ".join(answers))
            for (sure, by), answers in told.items()
        ]
        if groups:
            where = say(PLACE_WORDS[place])
            said = ". ".join(capitalized(group) for group in groups)
            yield Paragraph(say("{place}. {answers}.", place=capitalized(where), answers=said))


def said_in_line(row: Observation) -> str:
    """An answer in a line of many: a number with what was asked, other answers by themselves."""
    return row.says if row.number is None else f"{row.ask} {row.says}"
