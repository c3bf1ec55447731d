"""The result on a screen: what counts in 40 lines a wall, then deeper; the same blocks as on paper.

Depth 1 is what a person reads at once, 2 what stands behind it, 3 everything there is.
"""

from __future__ import annotations

from collections.abc import Iterator

from walltriage.inference.finding import NextCheck
from walltriage.language import say
from walltriage.report import opening_words, parts, words
from walltriage.report.blocks import Figure, Item, Items, Mark, Paragraph, Section, Sheet, Table
from walltriage.report.cautions import SPECIAL_CAUTIONS, cautions
from walltriage.report.fitting import fullest
from walltriage.report.number_words import number_findings, number_lines, number_steps
from walltriage.report.reasons import strongest, weighed, weight_words
from walltriage.report.several_walls import versions
from walltriage.report.subject import Request, Subject

MOST_LOOKS, MOST_LOOKS_IN_SHORT = 3, 2
MOST_CLASHES = 2
MOST_REASONS = 3
"""On the first page; for and against each, behind it."""
MOST_LINES = {1: 40, 2: 120}
"""On a screen of 80 columns, by depth."""
MORE = {
    1: "More: walltriage triage FILE -v; everything, with the rules: -vv.",
    2: "Everything, with the rules: walltriage triage FILE -vv.",
}


def sheets(request: Request, taken: int = 0) -> tuple[Sheet, ...]:
    """One sheet a wall, what holds for all of them after the last; several walls of a house
    together, as far as there is room for them beside the lines ``taken`` already."""
    walls = request.subjects()
    room = MOST_LINES.get(request.depth)
    if room is None or len(walls) == 1:
        shown = [Sheet(_title(wall), tuple(_wall(wall))) for wall in walls]
        return (*shown, Sheet("", tuple(_last(request, walls)), has_verdict=False))
    several = versions(request, lambda special: _last(request, walls, special))
    return fullest(several, room - taken)


def _title(subject: Subject) -> str:
    case = subject.request.finding.case
    return f"{case}: {subject.name}" if case else subject.name


def _wall(subject: Subject) -> Iterator[Section]:
    yield parts.banner(subject)
    if subject.depth == 1:
        yield from _in_short(subject)
        return
    yield from parts.contradictions([subject])
    yield _paths(subject)
    yield from _reasons(subject)
    yield from _why_not(subject)
    if subject.wall.next_checks:  # what would settle each path stands in the table
        yield _looks(subject.wall.next_checks, how=True)
    yield from _along(subject)
    yield from _opening(subject)
    yield from _numbers(subject)
    if subject.depth >= parts.DEEPEST:
        yield from _not_counted(subject)
        yield from parts.evidence(subject)
        yield from parts.trace(subject)


def _in_short(subject: Subject) -> Iterator[Section]:
    wall = subject.wall
    clashes = tuple(Item(clash.text) for clash in wall.contradictions[:MOST_CLASHES])
    if clashes:
        yield Section(say("These answers cannot all be right: look again"), (Items(clashes),))
    reasons = tuple(
        Item(f"{evidence.text} ({weight_words(evidence)})")
        for _, evidence in strongest(wall, MOST_REASONS)
    )
    if reasons:
        yield Section(say("What counts most"), (Items(reasons),))
    looks = 1 if clashes else MOST_LOOKS_IN_SHORT
    if wall.next_checks:
        yield _looks(wall.next_checks[:looks], how=False)


def _looks(checks: tuple[NextCheck, ...], *, how: bool) -> Section:
    """The looks that would settle the wall, and how each is taken."""
    items = tuple(
        Item(f"{check.ask} ({say(words.EFFORT_WORDS[check.effort])})", check.look if how else "")
        for check in checks
    )
    return Section(say("What would settle it, most useful first"), (Items(items, "numbers"),))


def _why_not(subject: Subject) -> Iterator[Section]:
    """What stood in the way of each verdict; the first few where there is more to read."""
    for section in parts.why_not(subject):
        [block] = section.blocks
        assert isinstance(block, Items)
        left = len(block.items) - MOST_LOOKS
        if subject.depth >= parts.DEEPEST or left <= 0:
            yield section
        else:
            more = Paragraph(say("... and {left} more: -vv", left=left), "quiet")
            yield Section(section.title, (Items(block.items[:MOST_LOOKS]), more))


def _paths(subject: Subject) -> Section:
    """Each load path, its status and why, as a list: a table is narrow at 80 columns."""
    [table] = parts.path_table(subject).blocks
    assert isinstance(table, Table)
    items = tuple(
        Item(f"{title} [{mark.word}]: {why}")
        for _, title, mark, why in table.rows
        if isinstance(mark, Mark)
    )
    return Section(say("The ways load can reach this wall"), (Items(items, "numbers"),))


def _reasons(subject: Subject) -> Iterator[Section]:
    titles = (say("Speaks for bearing"), say("Speaks against"))
    for title, chosen in zip(titles, weighed(subject.wall, 1.0), strict=True):
        shown = {one[1].text: parts.reason(one, 1) for one in chosen}
        most = len(shown) if subject.depth >= parts.DEEPEST else MOST_REASONS
        if shown:
            yield Section(title, (Items(tuple(list(shown.values())[:most])),))


def _along(subject: Subject) -> Iterator[Section]:
    drawing = subject.elevation()
    if drawing is not None:
        yield Section(say("Along the wall"), (Figure(drawing),))


def _opening(subject: Subject) -> Iterator[Section]:
    """The steps in a line or two each; what each outcome means at the greatest depth."""
    plan = subject.wall.opening
    if plan is None:
        return
    deep = subject.depth >= parts.DEEPEST
    first = (Paragraph(say("First: {first}", first=" ".join(plan.first))),) if deep else ()
    steps = tuple(
        Item(
            f"{step.title}. {opening_words.how_words(step, plan)}"
            if deep
            else f"{step.title}: {opening_words.place_words(step, plan)}.",
            opening_words.outcome_words(step) if deep else "",
        )
        for step in plan.steps
    )
    yield Section(say("How to open it up"), (*first, Items(steps, "numbers")))


def _numbers(subject: Subject) -> Iterator[Section]:
    found, audience = subject.wall.numbers, subject.request.audience
    if found is None:
        return
    lines = [*number_lines(found, audience), *number_findings(found, audience)]
    if subject.depth >= parts.DEEPEST and audience == "firm":
        lines += number_steps(found)
    title = say("Preliminary numbers (for an engineer to check, not for construction)")
    yield Section(title, (Items(tuple(Item(line) for line in lines)),))


def _not_counted(subject: Subject) -> Iterator[Section]:
    asked = {row.question: row.ask for row in subject.answers().values()}
    items = tuple(
        Item(
            say(
                "{asked} {answer}. Not counted, because {because}.",
                asked=asked.get(item.question, item.question),
                answer=item.answer,
                because=item.because,
            )
        )
        for item in subject.wall.not_counted
    )
    if items:
        yield Section(say("Answers that did not count"), (Items(items),))


def _last(request: Request, walls: list[Subject], special: int | None = None) -> Iterator[Section]:
    if special is None and request.depth < parts.DEEPEST:
        special = SPECIAL_CAUTIONS * request.depth
    yield from cautions(walls, special=special)
    if request.depth >= parts.DEEPEST:
        yield from parts.sources(request)
    rules = request.finding.rules
    more = say(MORE.get(request.depth, ""))
    digest = (
        say(", sha256 {sha256}", sha256=rules.sha256[:12]) if request.depth >= parts.DEEPEST else ""
    )
    yield Section(
        "",
        (
            Paragraph(say(words.LIMITS_SENTENCE), "quiet"),
            Paragraph(
                say(
                    "Rules {version}{digest}. {more}",
                    version=rules.version,
                    digest=digest,
                    more=more,
                ).rstrip(),
                "quiet",
            ),
        ),
    )
