"""The pages before the first question: an unfinished interview, who asks, how far, a name."""

from __future__ import annotations

import time
from dataclasses import dataclass, replace
from pathlib import Path

from walltriage.case.model import Case, Role, Wall
from walltriage.errors import InputError, Problem
from walltriage.files import clear_leftovers
from walltriage.interview import words
from walltriage.interview.autosave import (
    Keeper,
    Unfinished,
    any_kept,
    check_place,
    state_folder,
    unfinished,
)
from walltriage.interview.pages import Choice, Page
from walltriage.interview.terminal import Interview
from walltriage.language import say, say_count

OPENING = 4  # the effort at which something is cut
LAST_PAGE = 2  # the name, the last of the pages before the first question
_NEW = "new"


@dataclass(frozen=True, slots=True)
class Options:
    """What the command line said."""

    role: Role | None = None
    save: Path | None = None
    resume: Path | None = None
    ascii_only: bool = False
    pick: bool = False  # only an unfinished interview will do


@dataclass(frozen=True, slots=True)
class Begun:
    """The case to go on with, where it is kept (None: not yet), and whether it is new."""

    case: Case
    keeper: Keeper | None
    fresh: bool


def begin(interview: Interview, options: Options) -> Begun:
    """A new case, or one to go on with, as the options and the person say."""
    fresh = Case(role=options.role or "buyer", reach=0)
    if options.resume is not None:
        clear_leftovers(options.resume)
        keeper = Keeper(options.resume)
        from walltriage.case.read import read_case

        case = read_case(options.resume, interview.triager.base.questions)
        if options.save:
            keeper = Keeper.new(options.save)
        return Begun(_with_role(case, options), keeper, False)
    if options.save is not None and not options.pick:
        if not options.save.exists():
            check_place(options.save)
            return Begun(fresh, None, True)
        found = _at(options.save, interview.triager.base.questions)
        return _go_on(interview, options, found, fresh)
    if not any_kept(state_folder()):
        return _nothing_kept(options, fresh)
    found, wrong = unfinished(state_folder(), interview.triager.base.questions)
    for error in wrong:
        interview.screen.trouble(say("Skipped, because it cannot be read: {error}", error=error))
    return _go_on(interview, options, found, fresh)


def new_keeper(options: Options, name: str) -> Keeper:
    """Where a new interview is kept: the file asked for, or one in the state folder."""
    if options.save is not None:
        return Keeper.new(options.save)
    return Keeper.new_in(state_folder(), name)


def _at(path: Path, questions: object) -> list[Unfinished]:
    """The unfinished interview in a file; anything else there is refused, and stays."""
    clear_leftovers(path)
    keeper = Keeper(path)
    from walltriage.case.read import read_case

    case = read_case(path, questions)  # type: ignore[arg-type]
    if case.outcome is not None:
        expected = say("give another name, or pick it up: --resume {path}", path=path)
        raise InputError(Problem(str(path), 0, 0, "holds a finished interview", expected))
    return [Unfinished(keeper, case, path.stat().st_mtime)]


def _go_on(interview: Interview, options: Options, found: list[Unfinished], fresh: Case) -> Begun:
    if not found:
        return _nothing_kept(options, fresh)
    may_start = options.save is None and not options.pick
    page = Page(
        ask="Pick up an unfinished interview?",
        choices=(
            *(Choice(str(item.path), _described(item)) for item in found),
            *([Choice(_NEW, "Start a new one")] if may_start else ()),
        ),
        commands=("leave",),
    )
    picked = interview.ask(page).value
    for item in found:
        if picked == str(item.path):
            return Begun(_with_role(item.case, options), item.keeper, False)
    return Begun(fresh, None, True)


def _nothing_kept(options: Options, fresh: Case) -> Begun:
    if options.pick:
        what = "no unfinished interview is kept there"
        expected = "start one: walltriage interview, or name a file: --resume FILE"
        raise InputError(Problem(str(state_folder()), 0, 0, what, expected))
    return Begun(fresh, None, True)


def _described(item: Unfinished) -> str:
    count = len(item.case.asked)
    saved = time.strftime("%d %b %Y, %H:%M", time.localtime(item.saved))
    return say_count(
        "{name}: {count} answer, saved {saved}",
        "{name}: {count} answers, saved {saved}",
        count,
        name=item.case.name,
        saved=saved,
    )


def _with_role(case: Case, options: Options) -> Case:
    return replace(case, role=options.role or case.role)


def introduce(
    interview: Interview, case: Case, *, ask_role: bool, first: int = 0, again: bool = False
) -> Case:
    """Ask who, how far and the name, with a way back through them; the case with the answers.

    ``again``: these were answered before; Enter keeps each, and from the first page one goes back
    with nothing changed.
    """
    pages = [_role, _reach, _name] if ask_role else [_reach, _name]
    at, before = min(first, len(pages) - 1), case
    while at < len(pages):
        changed = pages[at](interview, case, again)
        if changed is None and at == 0 and again:
            return before
        case = changed or case
        at = max(at + (1 if changed else -1), 0)
    return case


def _role(interview: Interview, case: Case, again: bool) -> Case | None:
    page = Page(
        ask="Who is asking?",
        choices=tuple(Choice(role, says) for role, says in words.ROLES.items()),
        commands=("why", "back", "leave") if again else ("why", "leave"),
        why="Some questions only make sense to people who work on houses.",
        keep=case.role if again else None,
        keep_says=words.ROLES[case.role] if again else "",
    )
    reply = interview.ask(page)
    return None if reply.command == "back" else replace(case, role=reply.value)  # type: ignore[arg-type]


def _reach(interview: Interview, case: Case, again: bool) -> Case | None:
    page = Page(
        ask="How far can you go today?",
        choices=tuple(Choice(str(reach), says) for reach, says in enumerate(words.REACH)),
        commands=("why", "back", "leave"),
        why="I only ask for what you can see today. You can change this later.",
        keep=str(case.reach) if again else None,
        keep_says=words.REACH[case.reach] if again else "",
    )
    reply = interview.ask(page)
    if reply.command == "back":
        return None
    reach = int(reply.value)
    if reach == OPENING and not reply.keep:
        interview.warn(case, case.walls[0] if case.walls else Wall("wall1"))
    return replace(case, reach=reach)


def _name(interview: Interview, case: Case, again: bool) -> Case | None:
    default = case.name or "My house"
    page = Page(
        ask="What should I call the house?",
        kind="text",
        commands=("why", "back", "leave"),
        hint=say("A street or a nickname. Press Enter for: {default}.", default=default),
        why="The saved file and the result will carry this name.",
        keep=default,
    )
    reply = interview.ask(page)
    return None if reply.command == "back" else replace(case, name=reply.value)


def ask_person(interview: Interview, first: int = 0) -> None:
    """Ask once more who, how far, and the name."""
    case = introduce(interview, interview.session.case, ask_role=True, first=first, again=not first)
    interview.session.set_person(case.role, case.reach, case.name)
    interview.save()
