"""The trade's page to price by: may it be priced, what hides in it, what the quote leaves out."""

from __future__ import annotations

from walltriage.report import parts
from walltriage.report.blocks import Blanks, Item, Items, Paragraph, Section, Sheet
from walltriage.report.for_buyer import deeper
from walltriage.report.marks import path_marks
from walltriage.report.numbers import numbers
from walltriage.report.subject import Subject


def sheets(subject: Subject) -> list[Sheet]:
    """The page of one wall; numbers take a page of their own, with their note."""
    page = Sheet(
        f"Pricing sheet: {subject.name}",
        (
            _price(subject),
            *parts.contradictions(subject),
            _paths(subject),
            Section(
                "What may hide in it",
                (parts.texts(subject.holding(subject.texts.hidden_in_wall)),),
                "half",
            ),
            Section("Checks before any cut", (_checks(subject),), "half"),
            Section(
                "Exclusions for the quote",
                (parts.texts(subject.holding(subject.texts.quote_exclusions)),),
                "half",
            ),
            *parts.cautions(subject, "half", "Shoring, permit, dust, utilities"),
            Section(
                "Measured on site",
                (Blanks(tuple((b.says, b.unit) for b in subject.texts.site_measurements)),),
            ),
        ),
        subject.banner(),
        one_page=True,
    )
    sizes = numbers(subject)
    sized = [Sheet(f"Numbers: {subject.name}", tuple(sizes), has_size=True)] if sizes else []
    return [page, *sized, *deeper(subject)]


def _price(subject: Subject) -> Section:
    answer = subject.holding(subject.texts.pricing)[0]
    blocks = (Paragraph(answer.says, "strong"), Paragraph(answer.because))
    return Section("May this be priced as a partition?", blocks)


def _paths(subject: Subject) -> Section:
    """The load paths in one line each: a page to price by has no room for more."""
    marks = path_marks(subject.wall.load_paths)
    told = " · ".join(f"{mark.number} {mark.title}: {mark.word}" for mark in marks)
    return Section("What could rest on it", (Paragraph(told),))


def _checks(subject: Subject) -> Items:
    """What would settle this wall, then the checks that hold for any."""
    fixed = [item.says for item in subject.holding(subject.texts.before_any_cut)]
    open_checks = [check.ask for check in subject.wall.next_checks]
    return Items(tuple(Item(text) for text in (*open_checks, *fixed)), "boxes")
