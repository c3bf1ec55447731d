"""Walls renamed, or dropped with all that was said of them."""

from __future__ import annotations

from walltriage.case.model import Wall
from walltriage.interview.pages import Choice, Page
from walltriage.interview.terminal import Interview
from walltriage.language import say


def edit_walls(interview: Interview) -> None:
    """Pick a wall, give it another name or drop it, until the person is done or one is left; the
    only one is renamed at once."""
    walls = interview.session.walls
    if len(walls) == 1:
        _rename(interview, walls[0])
    while len(walls := interview.session.walls) > 1:
        rows = [Choice(wall.id, wall.title) for wall in walls]
        page = Page(
            ask="Which wall?", choices=(*rows, Choice("", "Leave them as they are")),
            commands=("back", "leave"),
        )  # fmt: skip
        reply = interview.ask(page)
        if reply.command == "back" or not reply.value:
            return
        _edit(interview, interview.session.case.wall(reply.value))


def _edit(interview: Interview, wall: Wall) -> None:
    page = Page(
        ask=f"{wall.title}:",
        choices=(
            Choice("rename", "Give it another name"),
            Choice("drop", "Drop it, with all that was said of it"),
        ),
        commands=("back", "leave"),
    )
    reply = interview.ask(page)
    if reply.value == "rename":
        _rename(interview, wall)
    elif reply.value == "drop" and _sure_of(interview, wall):
        interview.session.remove_wall(wall.id)
        interview.save()
        interview.screen.say(say("Dropped: {title}.", title=wall.title))
        interview.note_clashes()


def _rename(interview: Interview, wall: Wall) -> None:
    page = Page(
        ask="What should the wall be called?", kind="text", commands=("back", "leave"),
        hint=say("Press Enter for: {title}.", title=wall.title), keep=wall.title,
    )  # fmt: skip
    reply = interview.ask(page)
    if reply.command != "back":
        interview.session.name_wall(wall.id, reply.value)
        interview.save()


def _sure_of(interview: Interview, wall: Wall) -> bool:
    page = Page(
        ask=say("Drop {title}? Its answers go with it.", title=wall.title),
        choices=(Choice("no", "No, keep it"), Choice("yes", "Yes, drop it")),
        commands=("back", "leave"),
    )
    return interview.ask(page).value == "yes"
