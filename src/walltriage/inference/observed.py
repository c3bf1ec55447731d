"""What was reported, in the words of the questions, and the publications that findings cite."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from walltriage.case.model import Answer, Case
from walltriage.inference.finding import Cited, Observation, Said, WallFinding
from walltriage.knowledge.base import AskedQuestion, KnowledgeBase


def house_observations(base: KnowledgeBase, case: Case) -> tuple[Observation, ...]:
    """The answers about the house as a whole, as people gave them."""
    return tuple(_observation(base, name, answer, "house") for name, answer in case.house.items())


def wall_observations(
    base: KnowledgeBase, case: Case, wall_id: str, answers: Mapping[str, Answer]
) -> tuple[Observation, ...]:
    """What counts for one wall beside the answers about the house: its own, then worked out."""
    own = case.wall(wall_id).answers
    given = [_observation(base, name, answer, "wall") for name, answer in own.items()]
    return (*given, *_worked_out(base, case, own, answers))


def _worked_out(
    base: KnowledgeBase, case: Case, own: Mapping[str, Answer], answers: Mapping[str, Answer]
) -> Iterator[Observation]:
    for name, answer in answers.items():
        if name not in own and case.house.get(name) != answer:
            yield _observation(base, name, answer, "program")


def said(base: KnowledgeBase, name: str, answer: Answer) -> Said:
    """An answer with its question, as a contradiction tells it."""
    question = base.questions[name]
    given = answer.given or answer.value
    return Said(name, given, question.entry.ask, question.means(given))


def says(question: AskedQuestion, answer: Answer) -> str:
    """The answer in the words of reports; a measured value as the person wrote it."""
    return answer.given if answer.number is not None else question.means(answer.value)


def cited(base: KnowledgeBase, walls: Iterable[WallFinding]) -> tuple[Cited, ...]:
    """The publications behind evidence and cautions, each once, by key."""
    lines = [e.source for wall in walls for path in wall.load_paths for e in path.evidence]
    lines += [caution.source for wall in walls for caution in wall.cautions]
    known = base.sources
    return tuple(
        Cited(key, known[key].title, known[key].edition)
        for key in sorted({key for line in lines for key in keys_of(line)} & set(known))
    )


def keys_of(source: str) -> set[str]:
    """The keys of publications in a line of sources, such as ``IRC: R802.5; common practice``."""
    return {part.partition(":")[0].strip() for part in source.split(";")}


def _observation(base: KnowledgeBase, name: str, answer: Answer, of: str) -> Observation:
    question = base.questions[name]
    computed = question.entry.kind == "computed"
    return Observation(
        name, question.entry.ask, answer.value, says(question, answer),
        "program" if computed else of,  # type: ignore[arg-type]
        "none" if computed else question.place, answer.number,
        answer.sure if answer.is_real and not computed else None,
        answer.by, answer.seen_on, answer.note,
    )  # fmt: skip
