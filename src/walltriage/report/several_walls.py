"""The result of several walls on one screen: what they share is told once for the house.

From the fullest version to the shortest, so that the fullest with room on a screen is shown.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass

from walltriage.inference.finding import LEVELS
from walltriage.language import say
from walltriage.report import parts, words
from walltriage.report.blocks import (
    Banner,
    Block,
    Item,
    Items,
    Paragraph,
    Section,
    Sheet,
)
from walltriage.report.number_words import number_lines
from walltriage.report.reasons import strongest
from walltriage.report.subject import Request, Subject, shortened

SHORT_NAME = 48
_VERDICTS = ("likely_bearing", "cannot_tell", "likely_non_bearing")


@dataclass(frozen=True, slots=True)
class Room:
    """How much there is room for.

    ``reasons`` and ``numbers`` (lines) a wall; ``looks`` and ``clashes`` and ``special`` cautions
    in all; ``apart``: a blank line between walls; ``leaning``: which way, 1 in short, 2 in a
    sentence, 3 with what to plan for; ``names``: of the walls, where something holds for some;
    ``walls``: how many of them, 0 for all.
    """

    reasons: int
    looks: int
    special: int
    clashes: int = 2
    apart: bool = False
    leaning: int = 1
    names: bool = True
    paths: bool = False
    numbers: int = 0
    opening: bool = False
    walls: int = 0


ON_A_SCREEN = (
    Room(2, 3, 3, apart=True, leaning=3),
    Room(2, 2, 3, leaning=3),
    Room(1, 2, 3, leaning=3),
    Room(1, 2, 2, leaning=2),
    Room(1, 1, 2, leaning=2),
    Room(1, 1, 1, 1),
    Room(1, 1, 1, 1, names=False),
    Room(0, 1, 1, 1, names=False),
    *(Room(0, 1, 1, 1, names=False, walls=most) for most in range(20, 1, -1)),
)
BEHIND_IT = tuple(
    Room(reasons, 4, special, 4, reasons > 1, 3, True, True, numbers, True)
    for reasons, numbers, special in (
        (4, 9, 6), (4, 5, 6), (3, 3, 6), (2, 2, 4), (2, 1, 3), (1, 1, 3), (1, 0, 3), (0, 0, 3),
    )
)  # fmt: skip


def versions(
    request: Request, end: Callable[[int], Iterable[Section]]
) -> Iterator[Callable[[], tuple[Sheet, ...]]]:
    """From the fullest to the shortest; ``end`` gives cautions and limits, with so many special
    cautions."""
    walls = sorted(request.subjects(), key=_urgency)
    for room in ON_A_SCREEN if request.depth == 1 else BEHIND_IT:
        yield lambda room=room: _sheets(request, walls, room, end(room.special))  # type: ignore[misc]


def _urgency(subject: Subject) -> tuple[int, int]:
    wall = subject.wall
    return -LEVELS.index(wall.referral.level), _VERDICTS.index(wall.verdict)


def _sheets(
    request: Request, walls: list[Subject], room: Room, end: Iterable[Section]
) -> tuple[Sheet, ...]:
    shown = walls[: room.walls] if room.walls else walls
    case = shortened(request.finding.case)
    title = (
        say("{case}: {walls} walls", case=case, walls=len(walls))
        if case
        else say("{walls} walls", walls=len(walls))
    )
    sections = [*_walls(shown, room, len(walls) - len(shown))]
    sections.append(_meanings(walls, room))
    if room.looks:
        sections += _looks(walls, room)
    if room.opening:
        sections += parts.opening_short(walls, places=room.apart)
    return (Sheet(title, (*sections, *end)),)


def _walls(walls: list[Subject], room: Room, left_out: int) -> Iterator[Section]:
    """Clashes first, then each wall, the most urgent first."""
    for clashes in parts.contradictions(walls):
        [block] = clashes.blocks
        assert isinstance(block, Items)
        items = tuple(Item(item.text) for item in block.items[: room.clashes])
        yield Section(clashes.title, (Items(items),))
    told_of = [tuple(_wall(wall, room)) for wall in walls]
    if left_out:
        told_of.append(
            (Paragraph(say("... and {left_out} more, less urgent: -v", left_out=left_out)),)
        )
    if room.apart:
        yield from (Section("", blocks) for blocks in told_of)
    else:
        yield Section("", tuple(block for blocks in told_of for block in blocks))


def _wall(subject: Subject, room: Room) -> Iterator[Block]:
    wall = subject.wall
    name = shortened(wall.name or wall.id, SHORT_NAME)
    lines = []
    if wall.leaning is not None and room.leaning == 1:
        lines.append(Paragraph(say("Leans: {wall}.", wall=words.leaning_words(wall))))
    elif wall.leaning is not None:
        work = f" {wall.leaning.work}" if room.leaning > 2 else ""
        lines.append(Paragraph(f"{wall.leaning.text}{work}"))
    elif wall.verdict == "likely_non_bearing":
        lines.append(Paragraph(words.chance_sentence(wall)))
    yield Banner(wall.verdict, say(words.VERDICT_WORDS[wall.verdict]), tuple(lines), name)
    if room.paths:
        yield parts.path_line(subject, named=False)
    items = [Item(evidence.text) for _, evidence in strongest(wall, room.reasons)]
    if room.numbers and wall.numbers is not None:
        items += map(Item, number_lines(wall.numbers, subject.request.audience)[: room.numbers])
    if items:
        yield Items(tuple(items))


def _meanings(walls: list[Subject], room: Room) -> Section:
    """What the verdicts mean, and who has to be called, each once."""
    meaning = parts.meanings(walls)
    levels: dict[tuple[str, str], list[str]] = {}
    for subject in walls:
        referral = subject.wall.referral
        levels.setdefault((say(words.LEVEL_WORDS[referral.level]), referral.text), []).append(
            subject.name
        )
    called = [
        Paragraph(_for(f"{level}. {text}", names, walls, room), "strong")
        for (level, text), names in levels.items()
    ]
    return Section("", (*meaning.blocks, *called))


def _looks(walls: list[Subject], room: Room) -> Iterator[Section]:
    """What would settle the walls that are open, each look once; the most useful of each first."""
    checks: dict[str, tuple[str, list[str]]] = {}
    deepest = max((len(wall.wall.next_checks) for wall in walls), default=0)
    for place in range(deepest):
        for wall in walls:
            for check in wall.wall.next_checks[place : place + 1]:
                text = f"{check.ask} ({say(words.EFFORT_WORDS[check.effort])})"
                checks.setdefault(check.question, (text, []))[1].append(wall.name)
    items = (Item(_for(text, names, walls, room)) for text, names in checks.values())
    chosen = tuple(items)[: room.looks]
    if chosen:
        yield Section(say("What would settle it, most useful first"), (Items(chosen, "numbers"),))


def _for(text: str, names: list[str], walls: list[Subject], room: Room) -> str:
    """A text that holds for some of the walls, with their names where there is room for them."""
    return parts.for_walls(text, names, len(walls)) if room.names else text
