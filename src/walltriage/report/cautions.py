"""The warnings of a page, and the walls that have to stay for one to be free."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from walltriage.language import say, say_count
from walltriage.report.blocks import Item, Items, Paragraph, Section
from walltriage.report.subject import Subject

SPECIAL_CAUTIONS = 3
"""So many are told beside the usual ones where there is little room."""
LETTERS_A_CAUTION = 105
"""On average, where there is little room; the gravest is always told."""
CAUTIONS_TITLE = "Before anyone cuts, drills or leans on it"


def cautions(
    subjects: Iterable[Subject],
    width: Any = "full",
    title: str = CAUTIONS_TITLE,
    special: int | None = None,
) -> list[Section]:
    """The warnings that fired for any of the walls, each once, those before any hole first.

    With ``special`` the usual ones are told in short, and of the others so many, the gravest first.
    """
    walls = list(subjects)
    fired = {caution.rule: caution for wall in walls for caution in wall.wall.cautions}
    ordered = sorted(fired.values(), key=lambda caution: not caution.before_opening)
    standing = walls[0].texts.standing_cautions if walls else None
    stay = [Item(text) for wall in walls if (text := lines_that_stay(wall))]
    if special is None or standing is None:
        sourced = any(wall.depth >= 2 for wall in walls)
        items = [Item(caution.text, caution.source if sourced else "") for caution in ordered]
        return [Section(title, (Items((*stay, *items)),), width)] if items else []
    rank = {rule: place for place, rule in enumerate(standing.gravest)}
    others = [caution for caution in ordered if caution.rule not in standing.covers]
    others.sort(key=lambda caution: rank.get(caution.rule, len(rank)))
    letters = 0
    told: list[Item] = []
    for caution in others[:special]:
        letters += len(caution.text)
        if not told or letters <= special * LETTERS_A_CAUTION:
            told.append(Item(caution.text))
    return [Section(title, (Paragraph(standing.says), Items((*stay, *told))), width)]


def lines_that_stay(subject: Subject) -> str:
    """Which walls hold the joists over this one, by name; empty where none was named."""
    names = subject.wall.relies_on
    if not names:
        return ""
    return say_count(
        "{names} holds the joists over {wall}, as they were followed, and has to stay: this wall "
        "is free only because that one is there.",
        "{names} hold the joists over {wall}, as they were followed, and have to stay: this wall "
        "is free only because those are there.",
        len(names),
        names=say(" and ").join(names),
        wall=subject.wall.name,
    )
