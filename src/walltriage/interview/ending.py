"""The end of an interview: check the answers, see the result, save the record."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from walltriage.errors import InputError
from walltriage.inference.record import outcome
from walltriage.interview import plan_pages, words
from walltriage.interview.along import holes_left, walk_holes
from walltriage.interview.autosave import Keeper, free_name, state_folder
from walltriage.interview.going_back import back
from walltriage.interview.handing_over import write_a_report
from walltriage.interview.looking_again import look_at_what_stands_alone
from walltriage.interview.pages import Choice, Page
from walltriage.interview.review import review
from walltriage.interview.terminal import Interview
from walltriage.language import say
from walltriage.report.house_terminal import print_removal, print_result
from walltriage.report.subject import Depth, Request
from walltriage.report.texts import texts_for

HOLES = "holes "


def conclude(interview: Interview) -> bool:
    """Check the answers, show the result, offer what is next; whether all is done."""
    stop = interview.session.next.stop
    interview.screen.say()
    interview.screen.say(words.STOPPED[stop] if stop else "")
    look_at_what_stands_alone(interview)
    if interview.session.step is not None:
        return False
    review(interview, "Number to change an answer; Enter for the result.")
    if interview.session.step is not None:
        return False
    _show_result(interview, 1)
    while True:
        reply = interview.ask(_menu(interview))
        if reply.command == "back":
            back(interview)
            return False
        if reply.value == "reasons":
            _show_result(interview, 2)
        elif reply.value == "report":
            write_a_report(interview)
        elif reply.value == "change":
            return False
        elif reply.value == "wall":
            interview.session.add_wall()  # kept once it has a name
            return False
        elif reply.value == "plan":
            plan_pages.mend(interview)
            return False
        elif reply.value == "together":
            _together(interview)
        elif reply.value.startswith(HOLES):
            wall = interview.session.case.wall(reply.value.removeprefix(HOLES))
            interview.warn_once(wall)
            walk_holes(interview, wall.id)
            interview.save(outcome(interview.session.finding()))
            if interview.session.step is not None:
                interview.screen.say("What the holes showed asks for a few more answers.")
                return False
        elif reply.value == "save":
            if _save_record(interview):
                return True
        else:
            interview.screen.say(say("The record is in {path}.", path=interview.record.path))
            return True


def _menu(interview: Interview) -> Page:
    choices = [
        Choice("save", "Save the record in a file and finish"),
        Choice("reasons", "Show every reason and every rule used"),
        Choice("change", "Change an answer"),
        Choice("wall", "Judge another wall of this house"),
        Choice("report", "Write a report to hand to someone"),
        Choice("done", "Finish"),
    ]
    if len(interview.session.walls) > 1:
        choices.insert(-1, Choice("together", "What if several of these walls came out together?"))
    for wall in interview.session.finding().walls:
        if holes_left(wall.opening) is not None:
            name = wall.name or wall.id
            choices.insert(
                -1, Choice(HOLES + wall.id, say("Open {name} up, hole by hole", name=name))
            )
    if interview.session.case.plan is not None:
        choices.insert(-1, Choice("plan", "Fix the plan, or draw more on it"))
    if interview.record.path.resolve().parent != state_folder().resolve():
        del choices[0]  # the record is where the person wanted it already
    return Page("What next?", choices=tuple(choices), commands=("back", "leave"))


def _show_result(interview: Interview, depth: Depth) -> None:
    finding = interview.session.finding()
    interview.save(outcome(finding))
    case, texts = interview.session.case, texts_for(interview.triager.base)
    request = Request(finding, texts, case.role, depth, "")
    interview.screen.paged(lambda console: print_result(console, request))


def _together(interview: Interview) -> None:
    """Ask which walls would go, and say what came out for the set."""
    from walltriage.inference.numbers.what_if import remove

    case = interview.session.case
    known = [wall.id for wall in case.walls]
    interview.screen.rows([(str(n), wall.title) for n, wall in enumerate(case.walls, 1)])
    page = Page(
        ask="Which of these would you take out?",
        kind="text",
        commands=("back", "leave"),
        hint="Their numbers, such as 1 2.",
    )
    while True:
        reply = interview.ask(page)
        if reply.command == "back":
            return
        numbers = reply.value.replace(",", " ").split()
        if numbers and all(n.isascii() and n.isdigit() and 1 <= int(n) <= len(known)
                           for n in numbers):  # fmt: skip
            break
        interview.screen.trouble(
            say("Type numbers from 1 to {most}, with spaces between.", most=len(known))
        )
    picked = tuple(dict.fromkeys(known[int(n) - 1] for n in numbers))
    removal = remove(interview.triager, case, interview.session.finding(), picked)
    interview.screen.paged(lambda console: print_removal(console, removal, case))


def _save_record(interview: Interview) -> bool:
    """Move the finished record where the person says; whether that was done."""
    default = str(free_name(Path(), interview.session.case.name))
    page = Page(
        ask="Where should I save the record?",
        kind="text",
        commands=("back", "leave"),
        hint=say("A file name. Press Enter for: {default}", default=default),
        keep=default,
    )
    while True:
        reply = interview.ask(page)
        if reply.command == "back":
            return False
        path = Path(reply.value).expanduser()
        try:
            record = _written(interview, path)
        except InputError as error:
            interview.screen.trouble(str(error))
            continue
        interview.record.discard()
        interview.keeper = record
        interview.screen.say(
            say("Saved in {path}. Show it again with: walltriage triage {path}", path=path)
        )
        return True


def _written(interview: Interview, path: Path) -> Keeper:
    """The finished record in a new file; no file is left behind when that fails."""
    came_out = outcome(interview.session.finding())
    record = Keeper.new(path)
    try:
        record.save(replace(interview.session.case, outcome=came_out))
    except InputError:
        record.discard()
        raise
    return record
