"""Who the firm's client is: asked before the first question, printed on the firm's packet."""

from __future__ import annotations

from walltriage.interview.pages import Page
from walltriage.interview.setup import LAST_PAGE, ask_person
from walltriage.interview.terminal import Interview
from walltriage.language import say
from walltriage.report.texts import texts_for


def ask_client(interview: Interview, *, from_last: bool = False) -> None:
    """Who the firm's client is; each page can be left empty, and gone back from.

    ``from_last``: somebody comes back to these pages from what follows them.
    """
    fields = [field for field in texts_for(interview.triager.base).client_fields if field.asked]
    told, at = dict(interview.session.case.client), len(fields) - 1 if from_last else 0
    while 0 <= at < len(fields):
        field = fields[at]
        page = Page(
            ask=say("{field}?", field=say(field.says)),
            heading=say("The client, {number} of {all}", number=at + 1, all=len(fields)),
            kind="text",
            commands=("why", "back", "leave"),
            hint=_hint(told.get(field.id, "")),
            why="It goes on the packet for your file, and nowhere else.",
            keep=told.get(field.id, ""),
        )
        reply = interview.ask(page)
        if reply.command == "back":
            at -= 1
            continue
        told[field.id] = reply.value
        interview.session.set_client({name: text for name, text in told.items() if text})
        interview.save()
        at += 1
    if at < 0:
        ask_person(interview, first=LAST_PAGE)
        if interview.session.case.role == "firm":
            ask_client(interview)


def ask_before_the_house(interview: Interview) -> None:
    """Ask the pages before the house's once more, the last of them first."""
    if for_firm(interview):
        ask_client(interview, from_last=True)
        return
    ask_person(interview, first=LAST_PAGE)
    if for_firm(interview):  # the pages about the person may have changed it
        ask_client(interview)


def for_firm(interview: Interview) -> bool:
    """Whether the interview is a firm's with its client."""
    return interview.session.case.role == "firm"


def _hint(kept: str) -> str:
    """What Enter alone does, with what was told before and without."""
    if kept:
        return say("Press Enter for: {default}.", default=kept)
    return "Press Enter to leave it open."
