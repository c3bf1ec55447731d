"""Sections that several kinds of report share."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import replace
from typing import Any

from walltriage.inference.finding import Evidence, NextCheck, PathFinding
from walltriage.knowledge.report_texts import TextItem
from walltriage.language import say
from walltriage.report import opening_words, words
from walltriage.report.blocks import Block, Figure, Item, Items, Mark, Paragraph, Section, Table
from walltriage.report.reasons import Reason, weight, weight_words
from walltriage.report.subject import Request, Subject
from walltriage.report.words import capitalized

DEEPEST = 3
MOST_OF_RULED_OUT = 4
LONGEST_PLACE = 24
"""Letters of a place in a source, such as a section of a code, that a table has room for."""
OPEN_TITLE = "What nobody has settled yet, and how to look"


def texts(items: Iterable[TextItem], style: Any = "dots") -> Items:
    """Fixed texts as a list."""
    return Items(tuple(Item(item.says) for item in items), style)


def path_table(subject: Subject) -> Section:
    """Each load path, its status and what settled it or would."""
    from walltriage.report.marks import path_marks

    rows = tuple(
        (
            str(mark.number),
            path.title,
            Mark(path.status, mark.word),
            capitalized(words.settled_by(path)),
        )
        for path, mark in zip(
            subject.wall.load_paths, path_marks(subject.wall.load_paths), strict=True
        )
    )
    caption = say("Status of each way load can reach the wall")
    table = Table(caption, ("No.", say("Load path"), "Status", "Why"), rows, (6, 24, 15, 55))
    return Section(say("The ways load can reach this wall"), (table,))


def path_line(subject: Subject, *, named: bool = True) -> Paragraph:
    """The load paths in one line, for pages that have no room for more."""
    from walltriage.report.marks import path_marks

    marks = path_marks(subject.wall.load_paths)
    statuses = " · ".join(f"{mark.title}: {mark.word}" for mark in marks)
    return Paragraph(f"{subject.name}: {statuses}" if named else statuses)


def reason(one: Reason, depth: int) -> Item:
    """A reason with what it says of which load path, and how strongly."""
    path, evidence = one
    source = f" · {evidence.source}" if depth >= 2 else ""
    return Item(evidence.text, f"{weight_words(evidence)} · {path.title}{source}")


def contradictions(subjects: Iterable[Subject]) -> list[Section]:
    """Answers that cannot all be true, side by side and never averaged."""
    walls = list(subjects)
    items = tuple(
        Item(
            clash.text if len(walls) == 1 else f"{wall.name}: {clash.text}",
            "; ".join(f"{answer.ask} {answer.says}" for answer in clash.answers),
        )
        for wall in walls
        for clash in wall.wall.contradictions
    )
    return [Section(say("These answers cannot all be right: look again"), (Items(items),))] * bool(
        items
    )


def why_not(subject: Subject) -> list[Section]:
    """What stood in the way of each verdict not reached, verdict by verdict."""
    sections = []
    for verdict in dict.fromkeys(reason.verdict for reason in subject.wall.why_not):
        reasons = (r.text for r in subject.wall.why_not if r.verdict == verdict)
        items = tuple(Item(text) for text in dict.fromkeys(reasons))
        title = say(
            "Why not {verdict_words}", verdict_words=say(words.VERDICT_WORDS[verdict]).lower()
        )
        sections.append(Section(title, (Items(items),)))
    return sections


def banner(subject: Subject, title: str = "", *, meaning: bool = True) -> Section:
    """The verdict of a wall; without its meaning where :func:`meanings` tells those of all."""
    found = subject.banner()
    return Section(title, (found if meaning else replace(found, lines=found.lines[1:]),))


def meanings(subjects: Iterable[Subject]) -> Section:
    """What the verdicts of several walls mean, each once."""
    verdicts = dict.fromkeys(subject.wall.verdict for subject in subjects)
    sentences = (
        f"{say(words.VERDICT_WORDS[v]).capitalize()}: {say(words.VERDICT_MEANING[v])}"
        for v in verdicts
    )
    return Section(say("What the words mean"), tuple(Paragraph(text) for text in sentences))


def seen_along(subject: Subject) -> list[Section]:
    """The elevation of a wall along which looks were told; an opening-up plan brings its own."""
    drawing = None if subject.wall.opening else subject.elevation()
    return [Section(say("What was seen along the wall"), (Figure(drawing),))] if drawing else []


def opening_up(subject: Subject, *, cautions_too: bool = True) -> list[Section]:
    """How to open a wall that is left open, with its elevation; nothing for any other.

    A page that has the usual cautions already leaves them out here.
    """
    plan = subject.wall.opening
    if plan is None:
        return []
    blocks: list[Block] = (
        [Paragraph(say("First: {first}", first=" ".join(plan.first)))] if cautions_too else []
    )
    drawing = subject.elevation()
    if drawing is not None:
        blocks.append(Figure(drawing))
    rows = tuple(
        (
            f"{number}. {step.title}",
            opening_words.how_words(step, plan, drawn=drawing is not None),
            opening_words.outcome_words(step),
        )
        for number, step in enumerate(plan.steps, 1)
    )
    columns = ("Step", say("Where and how"), say("What you see, and what it means"))
    table = Table(say("Steps from no damage to most"), columns, rows, (16, 32, 52))
    return [Section(say("How to open it up"), (*blocks, table))]


def opening_short(subjects: Iterable[Subject], *, places: bool = True) -> list[Section]:
    """The steps of opening-up plans in a line each, for somebody who will not do them."""
    plans = [(wall.name, wall.wall.opening) for wall in subjects if wall.wall.opening]
    if not plans:
        return []
    lead = Paragraph(
        say(
            "For a contractor or an engineer, from no damage to most; stop as soon as one "
            "settles it."
        )
    )
    named: dict[str, list[str]] = {}
    for name, plan in plans:
        for step in plan.steps:
            text = f"{step.title}."
            if places:
                text = f"{step.title}: {opening_words.place_words(step, plan)}."
            named.setdefault(text, []).append(name)
    items = (Item(for_walls(text, names, len(plans))) for text, names in named.items())
    return [Section(say("How it would be opened up"), (lead, Items(tuple(items), "numbers")))]


def for_walls(text: str, names: list[str], of: int) -> str:
    """A text that holds for these walls of so many."""
    return text if len(names) == of else f"{text} ({', '.join(names)})"


def still_open(subjects: Iterable[Subject], title: str = OPEN_TITLE) -> Section:
    """What nobody has settled, what would settle it, and how to look; each thing once."""
    walls = list(subjects)
    checks: dict[str, tuple[NextCheck, list[str]]] = {}
    unsettled: dict[str, tuple[PathFinding, list[str]]] = {}
    for wall in walls:
        looked_at = {path for check in wall.wall.next_checks for path in check.paths}
        for check in wall.wall.next_checks:
            checks.setdefault(check.question, (check, []))[1].append(wall.name)
        for path in wall.wall.load_paths:
            if path.status == "open" and path.id not in looked_at:
                unsettled.setdefault(path.id, (path, []))[1].append(wall.name)
    blocks: list[Block] = []
    if checks:
        looks = (
            Item(
                for_walls(check.ask, names, len(walls)),
                f"{check.look} ({say(words.EFFORT_WORDS[check.effort])})",
            )
            for check, names in checks.values()
        )
        blocks.append(Items(tuple(looks), "numbers"))
    if unsettled:
        left = (
            Item(for_walls(f"{path.title}: {path.says}", names, len(walls)), _to_see(path))
            for path, names in unsettled.values()
        )
        blocks.append(Items(tuple(left)))
    if not blocks:
        text = say(
            "Every load path is settled by what was reported. The site check still comes first."
        )
        blocks.append(Paragraph(text))
    return Section(title, tuple(blocks))


def _to_see(path: PathFinding) -> str:
    return say("Settled by {look}", look=words.uncapitalized(path.settled_by))


def weighed(path: PathFinding, least_db: float = 0.0, most: int | None = None) -> list[Evidence]:
    """What speaks for and against a path, but for what weighs less; at most so many, in order.

    Of a path that is ruled out at most :data:`MOST_OF_RULED_OUT`, where there is a limit.
    """
    if most is not None and path.status == "ruled_out":
        most = min(most, MOST_OF_RULED_OUT)
    kept = [e for e in path.evidence if e.decibans is None or abs(e.decibans) >= least_db]
    weights = [math.inf if e.decibans is None else abs(e.decibans) for e in kept]
    heaviest = sorted(range(len(kept)), key=lambda place: -weights[place])[:most]
    return [kept[place] for place in sorted(heaviest)]


def evidence(subject: Subject, least_db: float = 0.0, most: int | None = None) -> list[Section]:
    """The chart, and the evidence table of each load path, but for what weighs less.

    A firm's packet has the chart at the greatest depth only: the weights stand in its tables.
    """
    from walltriage.report.charts import evidence_chart

    known = numbered(subject.request)
    chart = Figure(evidence_chart(subject.wall.load_paths))
    short = subject.request.audience == "firm" and subject.depth < DEEPEST
    sections = [] if short else [Section(say("Evidence, weighed"), (chart,))]
    for path in subject.wall.load_paths:
        rows = tuple(
            (
                e.text
                + (
                    ""
                    if subject.depth < 3
                    else say(" Not when: {limits}.", limits="; ".join(e.limits))
                ),
                weight(e),
                cited(e.source, known),
            )
            for e in weighed(path, least_db, most)
        )
        chance = words.interval_words(path.probability)
        title = f"{path.title}: {words.status_words(path)} ({chance})"
        caption = say("Evidence on {title}", title=path.title.lower())
        table = Table(caption, ("Evidence", "Weight", "Source"), rows, (58, 9, 33))
        sections.append(Section(title, (table,)))
    return sections


def trace(subject: Subject) -> list[Section]:
    """At depth 3, every rule that fired, in order, with every condition; JSON has them always."""
    if subject.depth < 3:
        return []
    items = []
    for fired in subject.wall.trace:
        more = f"{fired.rule} ({fired.kind.replace('_', ' ')}) · {fired.source}"
        if fired.because:
            more += say(" · because {because}", because="; ".join(fired.because))
        items.append(Item(fired.text, more))
    return [Section(say("Every rule that fired, in order"), (Items(tuple(items), "numbers"),))]


def numbered(request: Request) -> dict[str, int]:
    """The publications that the finding cites, by key, each with the number it has on paper."""
    return {one.key: number for number, one in enumerate(request.finding.cited, 1)}


def cited(source: str, known: Mapping[str, int]) -> str:
    """A line of sources with numbers for keys, and where in them, where that is short."""
    citations = []
    for part in source.split(";"):
        key, _, place = part.strip().partition(":")
        place = place.strip() if len(place) <= LONGEST_PLACE else ""
        if key in known:
            citations.append(f"[{known[key]}] {place}".strip())
        else:
            citations.append(part.strip().replace("_", " "))
    return "; ".join(dict.fromkeys(citations))


def sources(request: Request) -> list[Section]:
    """The publications behind the evidence and the cautions, each once, by number."""
    items = tuple(Item(f"{one.title}. {one.edition}.") for one in request.finding.cited)
    return [Section(say("Sources cited"), (Items(items, "numbers"),))] if items else []
