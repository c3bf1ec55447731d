"""Sections that several kinds of report share."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from walltriage.inference.finding import PathFinding
from walltriage.inference.observed import keys_of
from walltriage.knowledge.report_texts import TextItem
from walltriage.report import words
from walltriage.report.blocks import Block, Figure, Item, Items, Mark, Paragraph, Section, Table
from walltriage.report.charts import evidence_chart
from walltriage.report.marks import path_marks
from walltriage.report.reasons import (
    LEAST_SHOWN_DB,
    MOST_REASONS,
    Reason,
    weighed,
    weight,
    weight_words,
)
from walltriage.report.subject import Subject

CAUTIONS_TITLE = "Before anyone cuts, drills or leans on it"


def texts(items: Iterable[TextItem], style: Any = "dots") -> Items:
    """Fixed texts as a list."""
    return Items(tuple(Item(item.says) for item in items), style)


def path_table(subject: Subject) -> Section:
    """Each load path, its status and what settled it or would."""
    rows = tuple(
        (str(mark.number), path.title, Mark(path.status, mark.word), _capital(path))
        for path, mark in zip(
            subject.wall.load_paths, path_marks(subject.wall.load_paths), strict=True
        )
    )
    caption = "Status of each way load can reach the wall"
    table = Table(caption, ("No.", "Load path", "Status", "Why"), rows, (6, 24, 15, 55))
    return Section("The ways load can reach this wall", (table,))


def _capital(path: PathFinding) -> str:
    text = words.settled_by(path)
    return text[:1].upper() + text[1:]


def reasons(subject: Subject) -> list[Section]:
    """What speaks for and against bearing, heaviest first."""
    sections = []
    titles = ("What speaks for bearing", "What speaks against")
    least = LEAST_SHOWN_DB if subject.depth < 2 else 0.0
    for title, chosen in zip(titles, weighed(subject.wall, least), strict=True):
        if not chosen:
            continue
        shown = chosen if subject.depth >= 2 else _first_of_each(chosen)[:MOST_REASONS]
        items = Items(tuple(_reason(reason, subject.depth) for reason in shown))
        left = len(chosen) - len(shown)
        more = (Paragraph(f"… and {left} more, in a deeper report.", "quiet"),) if left else ()
        sections.append(Section(title, (items, *more), "half"))
    return sections


def _first_of_each(chosen: list[Reason]) -> list[Reason]:
    """One answer can speak on several paths: told once, where it is heaviest."""
    first: dict[str, Reason] = {}
    for reason in chosen:
        first.setdefault(reason[1].text, reason)
    return list(first.values())


def _reason(reason: Reason, depth: int) -> Item:
    path, evidence = reason
    source = f" · {evidence.source}" if depth >= 2 else ""
    return Item(evidence.text, f"{weight_words(evidence)} · {path.title}{source}")


def contradictions(subject: Subject) -> list[Section]:
    """Answers that cannot all be true, side by side and never averaged."""
    if not subject.wall.contradictions:
        return []
    items = tuple(
        Item(clash.text, "; ".join(f"{told.ask} {told.says}" for told in clash.answers))
        for clash in subject.wall.contradictions
    )
    return [Section("These answers cannot all be right: look again", (Items(items),))]


def why_not(subject: Subject) -> list[Section]:
    """What stood in the way of each verdict not reached."""
    items = tuple(
        Item(reason.text, f"stands against: {words.VERDICT_WORDS[reason.verdict].lower()}")
        for reason in subject.wall.why_not
    )
    return [Section("Why no other verdict", (Items(items),))] if items else []


def seen_along(subject: Subject) -> list[Section]:
    """The elevation of a wall along which looks were told."""
    drawing = subject.elevation()
    return [Section("What was seen along the wall", (Figure(drawing),))] if drawing else []


def still_open(subject: Subject) -> Section:
    """What nobody has settled, what would settle it, and how to look."""
    blocks: list[Block] = []
    if subject.wall.next_checks:
        checks = tuple(
            Item(check.ask, f"{check.look} ({words.EFFORT_WORDS[check.effort]})")
            for check in subject.wall.next_checks
        )
        blocks.append(Items(checks, "numbers"))
    looked_at = {path for check in subject.wall.next_checks for path in check.paths}
    unsettled = [
        path
        for path in subject.wall.load_paths
        if path.status == "open" and path.id not in looked_at
    ]
    if unsettled:
        items = tuple(Item(f"{path.title}: {path.says}", _to_see(path)) for path in unsettled)
        blocks.append(Items(items))
    if not blocks:
        text = "Every load path is settled by what was reported. The site check still comes first."
        blocks.append(Paragraph(text))
    return Section("What nobody has settled yet, and how to look", tuple(blocks))


def _to_see(path: PathFinding) -> str:
    return f"Settled by seeing: {path.settled_by}"


def cautions(subject: Subject, width: Any = "full", title: str = CAUTIONS_TITLE) -> list[Section]:
    """The warnings that fired, those that come before any hole first."""
    ordered = sorted(subject.wall.cautions, key=lambda caution: not caution.before_opening)
    items = tuple(Item(c.text, c.source if subject.depth >= 2 else "") for c in ordered)
    return [Section(title, (Items(items),), width)] if items else []


def evidence(subject: Subject) -> list[Section]:
    """The chart, and the full evidence table of each load path."""
    sections = [Section("Evidence, weighed", (Figure(evidence_chart(subject.wall.load_paths)),))]
    for path in subject.wall.load_paths:
        rows = tuple(
            (
                e.text + ("" if subject.depth < 3 else f" Not when: {'; '.join(e.limits)}."),
                weight(e),
                e.rule,
                e.source,
            )
            for e in path.evidence
        )
        chance = words.interval_words(path.probability)
        title = f"{path.title}: {words.status_words(path)} ({chance})"
        caption = f"Evidence on {path.title.lower()}"
        table = Table(caption, ("Evidence", "Weight", "Rule", "Source"), rows, (48, 12, 20, 20))
        sections.append(Section(title, (table,)))
    return sections


def trace(subject: Subject) -> list[Section]:
    """Every rule that fired, in order; at depth 3 with every condition."""
    if subject.depth < 2:
        return []
    items = []
    for fired in subject.wall.trace:
        more = f"{fired.rule} ({fired.kind.replace('_', ' ')}) · {fired.source}"
        if subject.depth >= 3 and fired.because:
            more += f" · because {'; '.join(fired.because)}"
        items.append(Item(fired.text, more))
    return [Section("Every rule that fired, in order", (Items(tuple(items), "numbers"),))]


def sources(subject: Subject) -> list[Section]:
    """The publications behind the evidence and the cautions, each once."""
    wall = subject.wall
    lines = [e.source for path in wall.load_paths for e in path.evidence]
    lines += [caution.source for caution in wall.cautions]
    keys = {key for line in lines for key in keys_of(line)}
    known = subject.request.finding.cited
    rows = tuple((one.key, one.title, one.edition) for one in known if one.key in keys)
    table = Table("Sources", ("Key", "Title", "Edition"), rows, (18, 57, 25))
    return [Section("Sources cited", (table,))] if rows else []
