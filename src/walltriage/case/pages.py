"""Which answers were given together: the pages of an interview, told by its steps in order."""

from __future__ import annotations

from collections.abc import Iterable

from walltriage.case.model import HOUSE, Step


def pages(steps: Iterable[Step]) -> list[tuple[Step, ...]]:
    """The steps page by page; a question asked by itself is a page of its own.

    What was answered on one page stands in a row, about one wall and its house; the same page
    about the next wall is another page.
    """
    found: list[list[Step]] = []
    for step in steps:
        if found and step.glance and _joins(found[-1], step):
            found[-1].append(step)
        else:
            found.append([step])
    return [tuple(page) for page in found]


def page_around(steps: Iterable[Step], step: Step) -> tuple[Step, ...]:
    """The steps of the page on which one was answered; empty where it was not."""
    return next((page for page in pages(steps) if step in page), ())


def _joins(page: list[Step], step: Step) -> bool:
    walls = {other.subject for other in page} - {HOUSE}
    return page[0].glance == step.glance and (step.subject == HOUSE or walls <= {step.subject})
