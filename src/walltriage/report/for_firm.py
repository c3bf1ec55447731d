"""The firm's intake packet: all that was observed and concluded, and room to check it on site."""

from __future__ import annotations

from collections.abc import Iterator

from walltriage.report import parts, words
from walltriage.report.blocks import (
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
from walltriage.report.numbers import numbers
from walltriage.report.observations import (
    PLACE_WORDS,
    SURE_WORDS,
    WALKING_ORDER,
    observation_table,
    surer,
)
from walltriage.report.subject import Request, Subject

REACH_WORDS = ("the rooms", "a tape or the next floor", "attic and foundation", "covers off",
               "a small hole")  # fmt: skip


def cover(request: Request) -> Sheet:
    """Client and site, the house's answers, and all walls at one glance."""
    case, texts = request.finding.given, request.texts
    facts = [("Case", case.name), ("Interview for", case.role), ("Could go as far as",
             REACH_WORDS[case.reach])]  # fmt: skip
    if case.story:
        facts.append(("As reported", case.story))
    rows = tuple(
        (
            wall.name or wall.id,
            words.VERDICT_WORDS[wall.verdict].capitalize(),
            words.interval_words(wall.probability),
            words.LEVEL_WORDS[wall.referral.level],
        )
        for wall in request.finding.walls
    )
    columns = ("Wall", "Verdict", "Chance that it carries something", "Referral")
    sections = [
        Section("Client and site", (Blanks(tuple((f.says, f.unit) for f in texts.client_fields)),)),
        Section("Case", (Table("About this case", ("What", "Told"), tuple(facts), (25, 75)),)),
        Section("Walls", (Table("The walls of this case", columns, rows, (30, 28, 24, 18)),)),
    ]
    if request.finding.observed:
        table = observation_table("Answers about the house", request.finding.observed)
        sections.append(Section("The house, as reported", (table,)))
    sections.append(
        Section("Read this first", tuple(Paragraph(t.says) for t in texts.firm_disclaimer))
    )
    return Sheet("Intake packet", tuple(sections))


def sheets(subject: Subject) -> list[Sheet]:
    """The pages of one wall."""
    summary = Sheet(
        f"Wall: {subject.name}",
        (
            Section("Plan", (Figure(subject.plan()),), "half"),
            Section("Section", (Figure(subject.section()),), "half"),
            parts.path_table(subject),
            *parts.contradictions(subject),
            *parts.why_not(subject),
            *parts.seen_along(subject),
            parts.still_open(subject),
            *parts.cautions(subject),
        ),
        subject.banner(),
    )
    observed = Sheet(f"Observations: {subject.name}", (_observed(subject),), has_verdict=False)
    evidence = Sheet(
        f"Evidence: {subject.name}",
        (*parts.evidence(subject), *parts.trace(subject), *parts.sources(subject)),
    )
    sizes = numbers(subject)
    sized = [Sheet(f"Numbers: {subject.name}", tuple(sizes), has_size=True)] if sizes else []
    visit = Sheet(
        f"On site: {subject.name}",
        (_verify(subject), *_photos(subject), _sign_off(subject)),
        has_verdict=False,
        has_size=subject.wall.numbers is not None,
    )
    return [summary, observed, evidence, *sized, visit]


def _observed(subject: Subject) -> Section:
    name = subject.wall.name or subject.wall.id
    table = observation_table("Answers about this wall", subject.wall.observed)
    return Section("Every observation", (Paragraph(f"Wall: {name} ({subject.wall.id})"), table))


def _verify(subject: Subject) -> Section:
    """What to look at, place by place as one walks, and which reports to confirm there."""
    confirm: dict[str, list[Item]] = {}
    for item in _reported(subject):
        confirm.setdefault(item[0], []).append(item[1])
    blocks: list[Block] = []
    fixed = subject.holding(subject.texts.verify_on_site)
    for place in WALKING_ORDER:
        items = [Item(entry.says) for entry in fixed if entry.place == place]
        items += confirm.get(place, [])
        if items:
            title = PLACE_WORDS[place]
            blocks.append(Paragraph(title[0].upper() + title[1:], "strong"))
            blocks.append(Items(tuple(items), "boxes"))
    return Section("To verify on site, in walking order", tuple(blocks))


def _reported(subject: Subject) -> Iterator[tuple[str, Item]]:
    """Answers that carried weight, least sure first, each to be confirmed where it was seen."""
    answers = subject.answers()
    used = {e.question for path in subject.wall.load_paths for e in path.evidence if e.question}
    used &= set(answers)
    for name in sorted(used, key=lambda n: (-surer(answers[n]), n)):
        answer = answers[name]
        if answer.sure is None:
            continue
        by = f", by {answer.by}" if answer.by else ""
        more = f"{answer.ask} ({SURE_WORDS[answer.sure]}{by})"
        yield answer.place, Item(f"Confirm: {answer.says}", more)


def _photos(subject: Subject) -> list[Section]:
    items = sorted(
        subject.holding(subject.texts.photos), key=lambda item: WALKING_ORDER.index(item.place)
    )
    rows = tuple((item.says, PLACE_WORDS[item.place], "") for item in items)
    table = Table("Photos to take", ("Photo of", "From", "File name"), rows, (50, 18, 32))
    return [Section("Photo list", (table,))] if rows else []


def _sign_off(subject: Subject) -> Section:
    blanks = Blanks(tuple((f.says, f.unit) for f in subject.texts.sign_off_fields))
    notes = tuple(Paragraph(text.says, "quiet") for text in subject.texts.firm_disclaimer)
    return Section("Sign-off", (blanks, *notes))
