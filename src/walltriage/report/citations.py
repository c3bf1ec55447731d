"""The publications that a short packet cites on paper, so that its numbers lead somewhere."""

from __future__ import annotations

from collections.abc import Set

from walltriage.language import say
from walltriage.report import parts
from walltriage.report.blocks import Paragraph, Section
from walltriage.report.subject import Request, Subject


def cited_by(subject: Subject, least_db: float = 0.0, most: int | None = None) -> set[str]:
    """The keys of the publications that the evidence tables of a wall cite by number."""
    return {
        part.strip().partition(":")[0]
        for path in subject.wall.load_paths
        for one in parts.weighed(path, least_db, most)
        for part in one.source.split(";")
    }


def sources_in_short(request: Request, used: Set[str]) -> list[Section]:
    """These publications by number in one paragraph; the file for other programs has the others."""
    lines = [
        f"[{number}] {one.title}. {one.edition}."
        for number, one in enumerate(request.finding.cited, 1)
        if one.key in used
    ]
    if not lines:
        return []
    note = say("Evidence of less weight and sources of cautions alone are in finding.json.")
    return [Section(say("Sources cited"), (Paragraph(" ".join([*lines, note]), "quiet"),))]
