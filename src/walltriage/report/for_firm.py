"""The firm's packet: two pages a house, then the evidence, at most four pages a wall."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from walltriage.inference.finding import LEVELS, WallFinding
from walltriage.language import say
from walltriage.report import citations, parts, words
from walltriage.report.blocks import (
    Blank,
    Blanks,
    Figure,
    Item,
    Items,
    Paragraph,
    Section,
    Sheet,
    Table,
)
from walltriage.report.cautions import cautions
from walltriage.report.house_sheet import house_sections
from walltriage.report.numbers import numbers, numbers_table
from walltriage.report.observations import (
    BY_PLAN,
    PLACE_WORDS,
    SURE_WORDS,
    WALKING_ORDER,
    seen_by,
    surer,
)
from walltriage.report.shortened import clashes, observations, said_in_line
from walltriage.report.subject import Request, Subject

REACH_WORDS = ("the rooms", "a tape or the next floor", "attic and foundation", "covers off",
               "a small hole")  # fmt: skip
_VERDICTS = ("likely_bearing", "cannot_tell", "likely_non_bearing")
MOST_IN_USUAL_TYPE = 3
"""Walls; the pages of a house with more are set in small type, to stay two."""
MOST_ANSWERS_IN_USUAL_TYPE = 15
"""About the house; the pages of one of which more is known are set in small type too."""
MOST_ANSWERS, FEW_ANSWERS = 30, 10
"""About the house in a table; of more, or beside many walls, most are said place by place."""
MOST_ANSWERS_OF_A_WALL = 45
MOST_CAUTIONS = 6
"""Beside the usual ones; all of them stand in the JSON."""
NOT_WEIGHED_DB = 1.0
"""A reason that weighs less is in the JSON and not on paper."""
MOST_EVIDENCE = 7
"""Reasons on paper for and against each load path, the heaviest."""


def sheets(request: Request) -> list[Sheet]:
    """The house's pages, then the appendix of each wall; the last ends with the sources."""
    walls = sorted(request.subjects(), key=lambda subject: _urgency(subject.wall))
    house, *appendices = [
        _house(request, walls),
        *(_wall(subject, drawn=subject is not walls[0]) for subject in walls),
    ]
    last = appendices[-1]
    sections = (*last.sections, *_sources(request, walls))
    return [house, *appendices[:-1], replace(last, sections=sections)]


def _urgency(wall: WallFinding) -> tuple[int, int]:
    return -LEVELS.index(wall.referral.level), _VERDICTS.index(wall.verdict)


def _house(request: Request, walls: list[Subject]) -> Sheet:
    """Client and site, every wall at one glance, numbers in one table, who saw what, photos."""
    sections = [
        Section(
            say("Read this first"), tuple(Paragraph(t.says) for t in request.texts.firm_disclaimer)
        ),
        Section(say("Client and site"), (_client(request), *_case(request))),
        Section(say("Walls, the most urgent first"), (_walls(walls),)),
        *_drawings(walls[0], named=len(walls) > 1),
        *clashes(walls),
        *numbers_table(walls),
        *house_sections(request),
        Section(say("Who saw what, and how surely"), (seen_by(request.finding),), "half"),
        *_photos(walls),
        *_house_answers(request, MOST_ANSWERS if len(walls) <= MOST_IN_USUAL_TYPE else FEW_ANSWERS),
        Section("Sign-off", (_sign_off(request),)),
    ]
    has_size = any(wall.wall.numbers is not None for wall in walls)
    answers = len(request.finding.observed)
    small = len(walls) > MOST_IN_USUAL_TYPE or answers > MOST_ANSWERS_IN_USUAL_TYPE
    return Sheet(say("Intake packet"), tuple(sections), has_size=has_size, small=small)


def _drawings(wall: Subject, named: bool = False) -> tuple[Section, Section]:
    """Plan and section of one wall, under its name where the page is about several."""
    plan = say("Plan: {name}", name=wall.name) if named else say("Plan")
    section = say("Section: {name}", name=wall.name) if named else say("Section")
    return (
        Section(plan, (Figure(wall.plan()),), "half"),
        Section(section, (Figure(wall.section()),), "half"),
    )


def _client(request: Request) -> Blanks:
    fields = request.texts.client_fields
    return Blanks(
        tuple(Blank(field.says, field.unit, request.client.get(field.id, "")) for field in fields)
    )


def _case(request: Request) -> Iterator[Paragraph]:
    case = request.finding.given
    yield Paragraph(
        say(
            "Asked for: {role}. Could go as far as {reach_words}.",
            role=case.role,
            reach_words=say(REACH_WORDS[case.reach]),
        )
    )
    if case.story:
        yield Paragraph(say("As reported: {story}", story=case.story))


def _walls(walls: list[Subject]) -> Table:
    rows = tuple(
        (
            subject.wall.name or subject.wall.id,
            say(words.VERDICT_WORDS[subject.wall.verdict]).capitalize(),
            words.interval_words(subject.wall.probability),
            words.leaning_words(subject.wall),
            say(words.LEVEL_WORDS[subject.wall.referral.level]),
        )
        for subject in walls
    )
    columns = ("Wall", "Verdict", say("Chance that it carries something"), "Leans", "Referral")
    return Table(say("The walls of this case"), columns, rows, (28, 22, 20, 15, 15))


def _photos(walls: list[Subject]) -> list[Section]:
    wanted = {item.id: item for wall in walls for item in wall.holding(wall.texts.photos)}
    items = sorted(wanted.values(), key=lambda item: WALKING_ORDER.index(item.place))
    listed = tuple(
        Item(
            say(
                "{says} (from {place_words})",
                says=item.says,
                place_words=say(PLACE_WORDS[item.place]),
            )
        )
        for item in items
    )
    return [Section(say("Photos to take"), (Items(listed, "boxes"),), "half")] if listed else []


def _sign_off(request: Request) -> Blanks:
    fields = request.texts.sign_off_fields
    return Blanks(tuple(Blank(field.says, field.unit) for field in fields))


def _wall(subject: Subject, drawn: bool) -> Sheet:
    """All that was observed and concluded of one wall, and what to verify there.

    ``drawn``: with its drawings, which the first wall has on the house's pages.
    """
    return Sheet(
        say("Appendix: {name}", name=subject.name),
        (
            parts.banner(subject),
            *(_drawings(subject) if drawn else ()),
            parts.path_table(subject),
            *parts.why_not(subject),
            parts.still_open([subject]),
            *parts.opening_up(subject, cautions_too=False),
            *parts.seen_along(subject),
            *cautions([subject], special=None if subject.depth >= 3 else MOST_CAUTIONS),
            *numbers(subject),
            _verify(subject),
            observations(
                say("Answers about this wall"),
                subject.wall.observed,
                subject.depth,
                "Observations",
                MOST_ANSWERS_OF_A_WALL,
            ),
            *_evidence(subject),
            *parts.trace(subject),
        ),
        has_size=subject.wall.numbers is not None,
        small=True,
    )


def _evidence(subject: Subject) -> list[Section]:
    if subject.depth >= 3:
        return parts.evidence(subject)
    return parts.evidence(subject, NOT_WEIGHED_DB, MOST_EVIDENCE)


def _house_answers(request: Request, most: int) -> list[Section]:
    title = say("Answers about the house")
    rows = request.finding.observed
    return [observations(title, rows, request.depth, title, most)] if rows else []


def _sources(request: Request, walls: list[Subject]) -> list[Section]:
    """The publications behind the evidence on these pages; at depth 3, all that were cited."""
    if request.depth >= 3:
        return parts.sources(request)
    used = {
        key for wall in walls for key in citations.cited_by(wall, NOT_WEIGHED_DB, MOST_EVIDENCE)
    }
    return citations.sources_in_short(request, used)


def _verify(subject: Subject) -> Section:
    """What to look at, place by place as one walks, and which reports to confirm there."""
    confirm: dict[str, list[str]] = {}
    for place, answered in _reported(subject):
        confirm.setdefault(place, []).append(answered)
    rows = []
    fixed = subject.holding(subject.texts.verify_on_site)
    for place in WALKING_ORDER:
        looks = " ".join(entry.says for entry in fixed if entry.place == place)
        reports = "; ".join(confirm.get(place, []))
        if looks or reports:
            title = say(PLACE_WORDS[place])
            rows.append((title[0].upper() + title[1:], looks or "—", reports or "—"))
    columns = ("Where", say("Look at"), say("Confirm: reported, and not certain"))
    shares = (14, 43, 43) if confirm else (14, 86)
    shown = len(shares)
    table = Table(
        say("What to verify, place by place"),
        columns[:shown],
        tuple(row[:shown] for row in rows),
        shares,
    )
    return Section(say("To verify on site, in walking order"), (table,))


def _reported(subject: Subject) -> Iterator[tuple[str, str]]:
    """Answers that carried weight and are not certain, least sure first, each with its place.

    What the plan gave is confirmed with the plan.
    """
    answers = subject.answers()
    used = {e.question for path in subject.wall.load_paths for e in path.evidence if e.question}
    used &= set(answers)
    for name in sorted(used, key=lambda n: (-surer(answers[n]), n)):
        answer = answers[name]
        if (
            answer.sure is None
            or answer.sure in ("checked", "confirmed", "certain")
            or answer.by == BY_PLAN
        ):
            continue
        sureness = say(SURE_WORDS[answer.sure])
        by = say(", by {by}", by=answer.by) if answer.by else ""
        yield answer.place, f"{said_in_line(answer)} ({sureness}{by})"
