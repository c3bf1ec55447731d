"""The buyer's two pages: the verdict and why; what is open, what work it could be, whom to ask."""

from __future__ import annotations

from walltriage.report import parts
from walltriage.report.blocks import Figure, Item, Items, Section, Sheet
from walltriage.report.numbers import numbers
from walltriage.report.subject import Subject


def sheets(subject: Subject) -> list[Sheet]:
    """The pages of one wall."""
    first = Sheet(
        f"Wall: {subject.name}",
        (
            Section("The wall in the house", (Figure(subject.plan()),), "half"),
            Section("What could rest on it", (Figure(subject.section()),), "half"),
            parts.path_table(subject),
            *parts.contradictions(subject),
            *parts.reasons(subject),
        ),
        subject.banner(),
        one_page=True,
    )
    second = Sheet(
        f"Next steps: {subject.name}",
        (
            *parts.seen_along(subject),
            parts.still_open(subject),
            _work(subject),
            *numbers(subject, sketch=subject.depth >= 2),
            *_questions(subject),
            *parts.cautions(subject, "half"),
        ),
        has_size=subject.wall.numbers is not None,
        one_page=True,
    )
    return [first, second, *deeper(subject)]


def deeper(subject: Subject) -> list[Sheet]:
    """What depth 2 and 3 add: all evidence and all rules."""
    if subject.depth < 2:
        return []
    sections = (
        *parts.why_not(subject),
        *parts.evidence(subject),
        *parts.trace(subject),
        *parts.sources(subject),
    )
    return [Sheet(f"All reasons: {subject.name}", sections)]


def _work(subject: Subject) -> Section:
    """The classes of work it could be, told by what has to be built."""
    items = tuple(
        Item(f"{work.title}. {work.says}", f"To be built: {'; '.join(work.builds)}.")
        for work in subject.holding(subject.texts.work_classes)
    )
    return Section("What class of work this could be", (Items(items),))


def _questions(subject: Subject) -> list[Section]:
    asked = (
        ("Ask the seller", subject.texts.ask_seller),
        ("Ask the inspector", subject.texts.ask_inspector),
        ("Ask the engineer", subject.texts.ask_engineer),
    )
    return [
        Section(title, (parts.texts(subject.holding(items)),), "half") for title, items in asked
    ]
