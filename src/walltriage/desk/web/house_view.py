"""What the engineer's page of a house shows, gathered once."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from sqlalchemy import select

from walltriage.case.model import HOUSE, Answer, Answers, Case, Step
from walltriage.desk.bench import Bench
from walltriage.desk.checks import by_step, checks_of, counted_case, holds
from walltriage.desk.store import Store
from walltriage.desk.tables import AnswerCheck, HouseRecord, Photo
from walltriage.inference.finding import WallFinding
from walltriage.interview import words as interview_words
from walltriage.interview.pages import said
from walltriage.knowledge.base import AskedQuestion
from walltriage.language import say
from walltriage.report.drawing import PlanDrawing
from walltriage.report.subject import Request, Subject
from walltriage.report.texts import texts_for
from walltriage.report.words import LEVEL_WORDS, VERDICT_WORDS, chance_sentence


@dataclass(frozen=True, slots=True)
class AnswerView:
    """One answer with its photos and its mark."""

    step: Step
    question: AskedQuestion
    place: str
    said: str
    answer: Answer
    photos: tuple[Photo, ...]
    check: AnswerCheck | None
    corrected: str
    """What an engineer corrected it to, in the words of reports."""
    stale: bool
    """Whether the client has changed the answer since it was marked."""

    @property
    def is_settled(self) -> bool:
        """Whether there is something to read: an answer, a photo or a mark."""
        return self.answer.is_real or bool(self.photos) or self.check is not None


@dataclass(frozen=True, slots=True)
class WallView:
    """One wall: what came out, its drawing, its answers."""

    finding: WallFinding
    verdict: str
    chance: str
    referral: str
    plan: PlanDrawing
    answers: tuple[AnswerView, ...]


@dataclass(frozen=True, slots=True)
class HouseView:
    """The whole house as the desk judges it."""

    case: Case
    house_answers: tuple[AnswerView, ...]
    walls: tuple[WallView, ...]
    other_photos: tuple[Photo, ...]


def house_view(store: Store, bench: Bench, house: HouseRecord) -> HouseView:
    """Everything on the page, judged with the marks that count."""
    with store.read() as db:
        checks = checks_of(db, house)
        photos = db.scalars(select(Photo).where(Photo.house_id == house.id)).all()
    case = bench.case_of(house.case_text)
    counted = counted_case(bench.base, case, checks)
    marks = by_step(checks)
    by_look: dict[Step, list[Photo]] = {}
    for photo in photos:
        by_look.setdefault(Step(photo.subject, photo.question), []).append(photo)

    def views(subject: str) -> tuple[AnswerView, ...]:
        answers = case.house if subject == HOUSE else case.wall(subject).answers
        return tuple(
            _view(bench, Step(subject, name), answer, by_look, marks)
            for name, answer in _in_order(case, subject, answers)
        )

    with bench.engine() as triager:
        finding = triager.finding(counted)
        request = Request(finding, texts_for(bench.base), "firm", 1, "")
        drawn = {w.id: Subject(request, w).plan() for w in finding.walls}
    walls = tuple(
        WallView(
            wall, say(VERDICT_WORDS[wall.verdict]).capitalize(), chance_sentence(wall),
            f"{say(LEVEL_WORDS[wall.referral.level])}. {wall.referral.text}", drawn[wall.id],
            views(wall.id),
        )
        for wall in finding.walls
    )  # fmt: skip
    answered = {Step(HOUSE, name) for name in case.house}
    answered |= {Step(w.id, name) for w in case.walls for name in w.answers}
    others = tuple(p for step, some in by_look.items() if step not in answered for p in some)
    return HouseView(counted, views(HOUSE), walls, others)


def _in_order(case: Case, subject: str, found: Answers) -> Sequence[tuple[str, Answer]]:
    asked = [step.question for step in case.asked if step.subject == subject]
    names = [name for name in asked if name in found]
    return [(name, found[name]) for name in dict.fromkeys([*names, *found])]


def _view(
    bench: Bench, step: Step, answer: Answer, photos: Mapping[Step, list[Photo]],
    marks: Mapping[Step, AnswerCheck],
) -> AnswerView:  # fmt: skip
    question, check = bench.base.questions[step.question], marks.get(step)
    corrected = ""
    if check is not None and check.says == "corrects":
        says = {option.id: option.says for option in question.entry.options}
        corrected = says.get(check.value, check.value)
    return AnswerView(
        step, question, say(interview_words.PLACES[question.place]), said(question, plain(answer)),
        answer, tuple(photos.get(step, ())), check, corrected,
        check is not None and not holds(check, answer),
    )  # fmt: skip


def plain(answer: Answer) -> Answer:
    """The answer without its sureness, which stands beside it."""
    return replace(answer, sure="certain")
