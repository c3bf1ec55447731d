"""All that the pages of one wall are built from, looked up once."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Literal, TypeVar

from walltriage.case.measure import is_metric
from walltriage.case.model import NO_ANSWER, Role
from walltriage.inference.finding import Finding, Observation, WallFinding
from walltriage.inference.seen_answers import NO_LOOKS
from walltriage.knowledge.report_texts import ReportTexts, TextItem
from walltriage.language import say
from walltriage.report import words
from walltriage.report.blocks import Banner, Letterhead, Paragraph

if TYPE_CHECKING:  # a screen shows no drawings, and is spared what draws them
    from walltriage.report.drawing import PlanDrawing

Depth = Literal[1, 2, 3]
LONG_NAME = 90
ItemT = TypeVar("ItemT", bound=TextItem)


@dataclass(frozen=True, slots=True)
class Request:
    """What is to be told, to whom, in how much depth; ``made_on`` is printed as given."""

    finding: Finding
    texts: ReportTexts
    audience: Role
    depth: Depth
    made_on: str
    letterhead: Letterhead | None = None
    client: Mapping[str, str] = field(default_factory=dict)
    """Answers to the client fields of ``report_texts.yaml``, by id."""

    def subjects(self) -> list[Subject]:
        """Every wall of the finding."""
        return [Subject(self, wall) for wall in self.finding.walls]


@dataclass(frozen=True, slots=True)
class Subject:
    """One wall of a request."""

    request: Request
    wall: WallFinding

    @property
    def texts(self) -> ReportTexts:
        return self.request.texts

    @property
    def depth(self) -> Depth:
        return self.request.depth

    @property
    def name(self) -> str:
        """The wall's name, shortened for headings; tables give it in full."""
        return shortened(self.wall.name or self.wall.id)

    def answers(self) -> dict[str, Observation]:
        """Every answer that bears on the wall by its question, with the computed ones."""
        rows = (*self.request.finding.observed, *self.wall.observed)
        return {row.question: row for row in rows}

    def given(self, questions: Iterable[str]) -> str:
        """What was answered to these questions, as reports repeat it; empty where nothing was."""
        answers = self.answers()
        rows = (answers[question] for question in questions if question in answers)
        return ", ".join(row.says for row in rows if row.value not in NO_ANSWER)

    def holding(self, items: Iterable[ItemT]) -> list[ItemT]:
        """The fixed texts that hold for this wall's verdict, referral and open paths."""
        alive = {path.id for path in self.wall.load_paths if path.status != "ruled_out"}
        return [
            item
            for item in items
            if (not item.verdicts or self.wall.verdict in item.verdicts)
            and (not item.levels or self.wall.referral.level in item.levels)
            and (not item.paths or alive & set(item.paths))
        ]

    def banner(self) -> Banner:
        """The verdict and what it means; where it leans, in numbers for a firm; who to call."""
        wall = self.wall
        lines = [Paragraph(say(words.VERDICT_MEANING[wall.verdict]))]
        if wall.leaning is not None:
            lines.append(Paragraph(f"{wall.leaning.text} {wall.leaning.work}", "strong"))
        if self.depth >= 2 or wall.verdict == "likely_non_bearing":
            lines.append(Paragraph(words.chance_sentence(wall)))
        level = say(words.LEVEL_WORDS[wall.referral.level])
        lines.append(Paragraph(f"{level}. {wall.referral.text}", "strong"))
        return Banner(
            wall.verdict, say(words.VERDICT_WORDS[wall.verdict]).capitalize(), tuple(lines)
        )

    def plan(self) -> PlanDrawing:
        """The plan with this wall marked: the one drawn, else what the answers tell."""
        from walltriage.report.plan import plan_drawing
        from walltriage.report.plan_of_house import house_plan_view
        from walltriage.report.views import plan_view

        drawn = self.request.finding.given.plan
        if drawn is not None:
            view = house_plan_view(
                drawn, self.wall.id, self.name, self.request.finding.given.called()
            )
            if view is not None:
                return plan_drawing(view)
        return plan_drawing(plan_view(self.texts.drawings, self.answers(), self.name))

    def section(self) -> PlanDrawing:
        """The section with this wall's load paths."""
        from walltriage.report.marks import path_marks
        from walltriage.report.section import section_drawing
        from walltriage.report.views import section_view

        view = section_view(self.texts.drawings, self.answers())
        return section_drawing(view, path_marks(self.wall.load_paths), self.name)

    def elevation(self) -> PlanDrawing | None:
        """What was seen along this wall and where to open it; None where neither was told."""
        from walltriage.report.elevation import elevation
        from walltriage.report.opening_words import spots_of

        looks = self.request.finding.given.wall(self.wall.id).looks
        spots = spots_of(self.wall.opening)
        if looks is None and not spots:
            return None
        metric = is_metric(self.request.finding.given)
        return elevation(looks or NO_LOOKS, self.wall.length_in, self.name, spots, metric)


def shortened(text: str, most: int = LONG_NAME) -> str:
    """A name cut for headings and running lines."""
    return text if len(text) <= most else text[: most - 1].rstrip() + "…"
