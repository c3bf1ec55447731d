"""The firm's packet: two pages a house, then the evidence, at most four pages a wall."""

from __future__ import annotations

from collections.abc import Iterator

from walltriage.inference.finding import LEVELS, Observation, WallFinding
from walltriage.language import say
from walltriage.report import parts, words
from walltriage.report.blocks import (
    Blank,
    Blanks,
    Block,
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
    observation_table,
    seen_by,
    surer,
)
from walltriage.report.subject import Depth, Request, Subject

REACH_WORDS = ("the rooms", "a tape or the next floor", "attic and foundation", "covers off",
               "a small hole")  # fmt: skip
_VERDICTS = ("likely_bearing", "cannot_tell", "likely_non_bearing")
MOST_IN_USUAL_TYPE = 3
"""Walls; the pages of a house with more are set in small type, to stay two."""
MOST_CAUTIONS = 6
"""Beside the usual ones; all of them stand in the JSON."""
NOT_WEIGHED_DB = 0.5
"""A reason that weighs less is in the JSON and not on paper."""


def sheets(request: Request) -> list[Sheet]:
    """The house's pages, the appendix of the house's answers, and that of each wall."""
    walls = sorted(request.subjects(), key=lambda subject: _urgency(subject.wall))
    return [
        _house(request, walls),
        *(_wall(subject, drawn=subject is not walls[0]) for subject in walls),
        *_answers(request),
    ]


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
        Section("Plan", (Figure(walls[0].plan()),), "half"),
        Section("Section", (Figure(walls[0].section()),), "half"),
        *parts.contradictions(walls),
        *numbers_table(walls),
        *house_sections(request),
        Section(say("Who saw what, and how surely"), (seen_by(request.finding),), "half"),
        *_photos(walls),
        Section("Sign-off", (_sign_off(request),)),
    ]
    has_size = any(wall.wall.numbers is not None for wall in walls)
    small = len(walls) > MOST_IN_USUAL_TYPE
    return Sheet(say("Intake packet"), tuple(sections), has_size=has_size, small=small)


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
    drawings = (
        Section("Plan", (Figure(subject.plan()),), "half"),
        Section("Section", (Figure(subject.section()),), "half"),
    )
    return Sheet(
        say("Appendix: {name}", name=subject.name),
        (
            parts.banner(subject),
            *(drawings if drawn else ()),
            parts.path_table(subject),
            *parts.why_not(subject),
            parts.still_open([subject]),
            *parts.opening_up(subject, cautions_too=False),
            *parts.seen_along(subject),
            *cautions([subject], special=None if subject.depth >= 3 else MOST_CAUTIONS),
            *numbers(subject),
            _verify(subject),
            _observations(say("Answers about this wall"), subject.wall.observed, subject.depth),
            *parts.evidence(subject, 0.0 if subject.depth >= 3 else NOT_WEIGHED_DB),
            *parts.trace(subject),
        ),
        has_size=subject.wall.numbers is not None,
        small=True,
    )


def _answers(request: Request) -> list[Sheet]:
    """What was told of the house, and the publications that all walls' evidence rests on."""
    sections = parts.sources(request)
    if request.finding.observed:
        title = say("Answers about the house")
        sections.insert(0, _observations(title, request.finding.observed, request.depth))
    title = say("Appendix: the house as reported, and sources")
    return [Sheet(title, tuple(sections), has_verdict=False, small=True)] if sections else []


def _observations(title: str, observed: tuple[Observation, ...], depth: Depth) -> Section:
    """What people told, row by row; what the plan and the program gave, in a line."""
    rows = [row for row in observed if depth >= 3 or (row.place != "none" and row.by != BY_PLAN)]
    blocks: list[Block] = [observation_table(title, rows)] if rows else []
    drawn = "; ".join(row.says for row in observed if row not in rows)
    if drawn:
        blocks.append(Paragraph(say("From the plan, or worked out: {drawn}.", drawn=drawn)))
    return Section("Observations", tuple(blocks))


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
    table = Table(say("What to verify, place by place"), columns, tuple(rows), (14, 43, 43))
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
        if answer.sure is None or answer.sure in ("checked", "certain") or answer.by == BY_PLAN:
            continue
        sureness = say(SURE_WORDS[answer.sure])
        by = say(", by {by}", by=answer.by) if answer.by else ""
        yield answer.place, f"{answer.says} ({sureness}{by})"
