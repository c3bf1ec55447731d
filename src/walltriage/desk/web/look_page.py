"""One look as a web page: what the terminal would show, and what was said before."""

from __future__ import annotations

from dataclasses import dataclass, replace

from walltriage.case.measure import is_metric
from walltriage.case.model import HOUSE, SURENESS, Answer, Step, as_said
from walltriage.desk.case_edits import without_page
from walltriage.desk.intake import NONE_SEEN, FormReply
from walltriage.desk.once_more import of_page
from walltriage.desk.web.sketch import sketch_svg
from walltriage.inference.looks.glance import Picked
from walltriage.inference.looks.policy import FAR
from walltriage.interview import words
from walltriage.interview.given import TakenBack
from walltriage.interview.page_again import told_again
from walltriage.interview.pages import Page, in_other_order, page_for, question_page, said
from walltriage.interview.session import Session
from walltriage.language import say, say_count
from walltriage.report.metric import where_missing

OPENING = 4  # the effort at which something is cut


@dataclass(frozen=True, slots=True)
class LookPage:
    """What one look's template needs."""

    step: Step
    page: Page
    cautions: tuple[str, ...]
    sketch: str
    before: FormReply
    number: int
    """How many looks come before this one."""
    back: Step | None
    photo_of: str
    then_walls: str
    """How many walls come after this one; empty on the page of an earlier look."""
    new_place: bool
    """Whether the look before was made somewhere else: then the cautions stand open."""
    things: tuple[tuple[int, str], ...] = ()
    """What is on a page of several things, each with its place in the whole glance."""
    sureness: tuple[tuple[str, str], ...] = tuple((s, words.SURENESS[s]) for s in SURENESS)

    @property
    def may_be_out_of_reach(self) -> bool:
        return "out_of_reach" in self.page.commands


@dataclass(frozen=True, slots=True)
class AnswerRow:
    """One answer in the list of answers."""

    step: Step
    about: str
    ask: str
    said: str
    note: str


def look_page(session: Session, step: Step) -> LookPage | None:
    """The page of one question asked or to be asked now; None for any other."""
    given = session.given
    at = next((n for n, item in enumerate(given) if item.step == step), None)
    if at is None and session.step != step:
        return None
    if at is not None and given[at].step.glance:
        again = _several_again(session, given[at].step)
        if again is not None:
            return again
    before = None if at is None else given[at].answer
    if before is None:
        page, number = in_measure(session, page_for(session)), len(given)
    else:
        assert at is not None
        page, number = page_of(session, step, before), at
    back = given[number - 1].step if number else None
    return LookPage(
        step=step, page=page, cautions=cautions(session, step), sketch=sketch_svg(page.sketch),
        before=_to_fill(session) if before is None else said_before(before),
        number=number, back=back, photo_of=photo_of(session, step),
        then_walls=_then_walls(session) if before is None else "",
        new_place=_new_place(session, step, back),
        things=_things(session) if before is None else (),
    )  # fmt: skip


def _several_again(session: Session, step: Step) -> LookPage | None:
    """A page of several things that was answered, with what was ticked on it."""
    given = session.given
    own = of_page(session, step)
    before = Session(session.planner, without_page(session.case, step))
    asked, number = before.page, given.index(own[0])
    walls = {item.step.subject for item in own} - {HOUSE}
    if asked is None or asked.glance.id != step.glance or not walls <= {before.wall_id}:
        return None
    about = {HOUSE, before.wall_id}  # what was picked, and named later, counts as picked
    told = tuple(item for item in given if item.step.subject in about)
    names = tuple(name for name in session.case.to_name if name.subject in about)
    word, seen = told_again(asked, TakenBack(told, names))
    at = [asked.glance.items.index(item) for item in asked.items]
    ticked = Picked(frozenset(at[n] for n in seen.seen), frozenset(at[n] for n in seen.unsure))
    none = "" if ticked.seen or ticked.unsure else NONE_SEEN
    note = next((item.answer.note for item in own if item.answer.note), "")
    page = replace(in_measure(session, page_for(before)), progress="")  # told where one is now
    back = given[number - 1].step if number else None
    return LookPage(
        step=step, page=page, cautions=cautions(session, step), sketch=sketch_svg(page.sketch),
        before=FormReply(word or none, as_said(own[0].answer.sure), note, True, ticked),
        number=number, back=back, photo_of=photo_of(session, step), then_walls="",
        new_place=_new_place(session, step, back), things=_things(before),
    )  # fmt: skip


def _things(session: Session) -> tuple[tuple[int, str], ...]:
    asked = session.page
    if asked is None:
        return ()
    told = where_missing if is_metric(session.case) else str
    return tuple((asked.glance.items.index(item), told(say(item.says))) for item in asked.items)


def _then_walls(session: Session) -> str:
    more = sum(not wall.answers for wall in session.case.walls if wall.id != session.wall_id)
    return say_count("Then {count} more wall.", "Then {count} more walls.", more) if more else ""


def _new_place(session: Session, step: Step, back: Step | None) -> bool:
    here = session.question(step)
    return (
        back is None or here.place != session.question(back).place or here.entry.effort >= OPENING
    )


def page_of(session: Session, step: Step, before: Answer | None) -> Page:
    """The page of any question, whether it is the next one or not."""
    question = session.question(step)
    place = say(words.PLACES[question.place])
    house = step.subject == HOUSE
    title = place.lower() if house else session.case.wall(step.subject).title
    page = question_page(
        question, session.triager.base.glossary,
        flipped=in_other_order(session.case.name),
        heading=say("The house: {title}", title=title) if house else f"{place}: {title}",
        earlier=before,
        metric=is_metric(session.case),
    )  # fmt: skip
    return in_measure(session, page)


def in_measure(session: Session, page: Page) -> Page:
    """The page with metric beside each length where the house is a metric one."""
    if not is_metric(session.case):
        return page
    choices = tuple(replace(choice, says=where_missing(choice.says)) for choice in page.choices)
    ask, look, words_of = (where_missing(text) for text in (page.ask, page.look, page.words))
    return replace(page, ask=ask, look=look, words=words_of, choices=choices)


def _to_fill(session: Session) -> FormReply:
    """What the form of the next page begins with: nothing picked, but the notes of what was taken
    back."""
    back = session.earlier_page
    told = [item.answer for item in back.given] if back else [session.earlier]
    return FormReply("", note=next((a.note for a in told if a is not None and a.note), ""))


def said_before(before: Answer | None) -> FormReply:
    """An answer as its form takes it."""
    if before is None:
        return FormReply("")
    return FormReply(before.given or before.value, as_said(before.sure), before.note)


def cautions(session: Session, step: Step) -> tuple[str, ...]:
    """What to mind before this look."""
    question = session.question(step)
    told = [caution.says for caution in session.cautions_before(question.place)]
    if question.entry.effort >= OPENING:
        wall_id = session.wall_id if step.subject == HOUSE else step.subject
        finding = session.triager.wall(session.case, session.case.wall(wall_id))
        told += [c.text for c in finding.cautions if c.before_opening and c.text not in told]
    return tuple(told)


def photo_of(session: Session, step: Step) -> str:
    """What a photo of this look would show, in words that fit the place."""
    place = session.question(step).place
    if step.subject == HOUSE:
        return (
            say("Photo of what you see")
            if place in FAR or place == "rooms"
            else say("Photo for this")
        )
    return say("Photo of what you see ({title})", title=session.case.wall(step.subject).title)


def answer_list(session: Session) -> list[AnswerRow]:
    """Every answer that counts, in the order given."""
    names = {wall.id: wall.title for wall in session.walls}
    return [
        AnswerRow(
            item.step, say("The house") if item.step.subject == HOUSE else names[item.step.subject],
            session.question(item.step).entry.ask,
            said(session.question(item.step), item.answer), item.answer.note,
        )
        for item in session.given
    ]  # fmt: skip


def asked_page(session: Session, step: Step) -> LookPage:
    """The page of a question that an engineer asked for, out of turn."""
    answers = {item.step: item.answer for item in session.given}
    before = answers.get(step)
    page = page_of(session, step, before)
    return LookPage(
        step=step, page=page, cautions=cautions(session, step), sketch=sketch_svg(page.sketch),
        before=said_before(before), number=len(session.given), back=None,
        photo_of=photo_of(session, step), then_walls="", new_place=True,
    )  # fmt: skip
