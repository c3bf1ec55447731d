"""Every answer as a row: what was asked, what was seen, how surely, by whom, when, from where."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from itertools import compress
from textwrap import shorten

from walltriage.case.model import SUREST_FIRST, Sureness
from walltriage.inference.finding import Finding, Observation
from walltriage.language import say
from walltriage.report.blocks import Block, Item, Items, Paragraph, Section, Table
from walltriage.report.subject import Subject

SURE_WORDS: dict[Sureness, str] = {
    "checked": "checked",
    "confirmed": "looked at twice",
    "certain": "certain",
    "fairly": "fairly sure",
    "guess": "a guess",
}
PLACE_WORDS = {
    "desk": "desk or outside",
    "rooms": "the rooms",
    "upstairs": "the story above",
    "attic": "the attic",
    "below": "below",
    "opened": "opened up",
    "none": "worked out",
    "outside": "outside",
}
MOST_NOTES, LONGEST_NOTE = 4, 160
BY_PLAN = "the plan"
"""Who is noted for what a drawn plan gives."""
WALKING_ORDER = ("outside", "desk", "rooms", "upstairs", "attic", "below", "opened", "none")


def observation_table(title: str, observed: Iterable[Observation]) -> Table:
    """The answers in walking order; who said it and notes only where anybody put them down."""
    rows = sorted(observed, key=lambda row: WALKING_ORDER.index(row.place))
    columns = ("Asked", "Answer", say("How sure"), say("By, when"), say("Seen from"), "Note")
    shares = [29, 21, 9, 13, 15, 13]
    noted = [
        True,
        True,
        True,
        any(r.by or r.seen_on for r in rows),
        True,
        any(r.note for r in rows),
    ]
    spare = sum(share for share, keep in zip(shares, noted, strict=True) if not keep)
    shares[0] += spare * 2 // 3
    shares[1] += spare - spare * 2 // 3
    return Table(
        title,
        tuple(compress(columns, noted)),
        tuple(tuple(compress(_row(row), noted)) for row in rows),
        tuple(compress(shares, noted)),
    )


def put_down(subjects: Iterable[Subject]) -> list[Section]:
    """The notes beside answers, for pages without the table of answers; none for no note."""
    walls = list(subjects)
    house = [(row, "") for row in walls[0].request.finding.observed]
    own = [(row, wall.name) for wall in walls for row in wall.wall.observed]
    noted = [
        Item(
            f"{name}: {_told(row)}" if name and len(walls) > 1 else _told(row),
            shorten(row.note, LONGEST_NOTE, placeholder=" …"),
        )
        for row, name in (*house, *own)
        if row.note
    ]
    if not noted:
        return []
    blocks: list[Block] = [Items(tuple(noted[:MOST_NOTES]))]
    if (left := len(noted) - MOST_NOTES) > 0:
        blocks.append(Paragraph(say("{n} more in the record.", n=left), "quiet"))
    return [Section(say("Noted beside the answers"), tuple(blocks), "half")]


def _told(row: Observation) -> str:
    """What was answered; a number says little without its question."""
    return f"{row.ask} {row.says}" if row.says[:1].isdigit() else row.says


def surer(row: Observation) -> int:
    """How sure an answer is, as a number that is lower the surer it is; the surest for none."""
    return 0 if row.sure is None else SUREST_FIRST.index(row.sure)


def _row(row: Observation) -> tuple[str, ...]:
    computed = row.place == "none"
    by = ", ".join(part for part in (row.by, row.seen_on) if part)
    return (
        row.ask,
        row.says,
        "—" if row.sure is None else say(SURE_WORDS[row.sure]),
        say("the program") if computed else by or say("not noted"),
        say(PLACE_WORDS[row.place]),
        row.note or "—",
    )


def seen_by(finding: Finding) -> Table:
    """Who gave how many answers about house and walls, from where, and how surely."""
    counted: dict[tuple[str, str], Counter[Sureness]] = {}
    for row in (*finding.observed, *(row for wall in finding.walls for row in wall.observed)):
        if row.sure is not None:
            counted.setdefault((row.place, row.by), Counter())[row.sure] += 1
    rows = tuple(
        (
            say(PLACE_WORDS[place]),
            by or say("not noted"),
            *(str(sures[sure] or "—") for sure in SURE_WORDS),
        )
        for (place, by), sures in sorted(
            counted.items(), key=lambda one: (WALKING_ORDER.index(one[0][0]), one[0][1])
        )
    )
    columns = (
        say("Seen from"),
        say("By"),
        *(say(word).capitalize() for word in SURE_WORDS.values()),
    )
    return Table(say("Answers, counted"), columns, rows, (24, 20, 14, 13, 15, 14))
