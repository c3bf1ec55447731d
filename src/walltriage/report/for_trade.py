"""The trade's page a wall: may it be priced, what to look at, what the quote leaves out."""

from __future__ import annotations

from dataclasses import replace

from walltriage.language import say
from walltriage.report import parts
from walltriage.report.blocks import Blank, Blanks, Item, Items, Paragraph, Section, Sheet
from walltriage.report.cautions import cautions
from walltriage.report.for_buyer import deeper
from walltriage.report.house_sheet import together
from walltriage.report.number_words import work_lines
from walltriage.report.numbers import numbers
from walltriage.report.observations import put_down
from walltriage.report.subject import Request, Subject

MOST_CAUTIONS = 3
"""Beside the usual ones, on a page that has to stay one."""


def sheets(request: Request) -> list[Sheet]:
    """One page a wall, and what greater depth adds."""
    walls = [sheet for wall in request.subjects() for sheet in _sheets(wall)]
    asked = tuple(together(request))
    return [*walls, Sheet(say("Several walls together"), asked, has_size=True)] if asked else walls


def _sheets(subject: Subject) -> list[Sheet]:
    page = Sheet(
        say("Pricing sheet: {name}", name=subject.name),
        (
            _price(subject),
            *parts.contradictions([subject]),
            *parts.opening_up(subject, cautions_too=False),
            *parts.seen_along(subject),
            Section(say("What could rest on it"), (parts.path_line(subject, named=False),), "half"),
            Section(say("Look at these first"), (_checks(subject),), "half"),
            Section(
                say("What may hide in it"),
                (parts.texts(subject.holding(subject.texts.hidden_in_wall)),),
                "half",
            ),
            Section(
                say("Exclusions for the quote"),
                (parts.texts(subject.holding(subject.texts.quote_exclusions)),),
                "half",
            ),
            *cautions([subject], "half", say("Shoring, permit, dust, utilities"), MOST_CAUTIONS),
            *_class_of_work(subject),
            *put_down([subject]),
            Section("Measured", (_measured(subject),)),
        ),
        has_size=subject.wall.numbers is not None,
        one_page=True,
    )
    sizes = numbers(subject) if subject.depth >= 2 else []
    sized = (
        [Sheet(say("Numbers: {name}", name=subject.name), tuple(sizes), has_size=True)]
        if sizes
        else []
    )
    return [page, *sized, *deeper(subject)]


def _price(subject: Subject) -> Section:
    """The answer beside the verdict; it takes the place of what the verdict means."""
    answer, banner = subject.holding(subject.texts.pricing)[0], subject.banner()
    said = (Paragraph(answer.says, "strong"), Paragraph(answer.because))
    blocks = (replace(banner, lines=(*said, *banner.lines[1:])),)
    return Section(say("May this be priced as a partition?"), blocks)


def _checks(subject: Subject) -> Items:
    """What would settle this wall, then the checks that hold for any without an opening-up plan."""
    fixed = [item.says for item in subject.holding(subject.texts.before_any_cut)]
    if subject.wall.opening is not None:
        fixed = []
    open_checks = [check.ask for check in subject.wall.next_checks]
    return Items(tuple(Item(text) for text in (*open_checks, *fixed)), "boxes")


def _class_of_work(subject: Subject) -> list[Section]:
    """The load, what keeps it from being sized, and the class of work; sizes are an engineer's."""
    if subject.wall.numbers is None:
        return []
    lines = work_lines(subject.wall.numbers)
    items = Items(tuple(Item(line) for line in lines))
    return (
        [Section(say("Class of work, from what was measured"), (items,), "half")] if lines else []
    )


def _measured(subject: Subject) -> Blanks:
    """The lines to fill in, with what was measured already."""
    blanks = []
    for field in subject.texts.site_measurements:
        given = subject.given(field.filled_by)
        blanks.append(Blank(field.says, "" if given else field.unit, given))
    return Blanks(tuple(blanks))
