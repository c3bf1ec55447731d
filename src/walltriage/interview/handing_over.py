"""The offer, at the end of an interview, to write the result as a report to hand over."""

from __future__ import annotations

from datetime import date
from pathlib import Path

from walltriage.errors import InputError
from walltriage.interview.autosave import free_name
from walltriage.interview.pages import Page
from walltriage.interview.terminal import Interview
from walltriage.language import say
from walltriage.report.files import make_request, write_report
from walltriage.report.letterhead import load_letterhead

ENDINGS = ".html, .pdf, .md or .json"


def write_a_report(interview: Interview) -> None:
    """Ask for a file name and write the report that its ending asks for; never over a file."""
    case = interview.session.case
    default = str(free_name(Path(), case.name).with_suffix(".html"))
    page = Page(
        ask="Where should I save the report?",
        kind="text",
        commands=("back", "leave"),
        hint=say(
            "A file name that ends in {endings}. Press Enter for: {default}",
            endings=ENDINGS,
            default=default,
        ),
        keep=default,
    )
    while True:
        reply = interview.ask(page)
        if reply.command == "back":
            return
        path = Path(reply.value).expanduser()
        if path.exists():
            interview.screen.trouble(say("{path} is already there. Give another name.", path=path))
            continue
        try:
            today = date.today().isoformat()
            write_report(
                path, make_request(interview.triager, case, today, letterhead=load_letterhead())
            )
        except InputError as error:
            interview.screen.trouble(str(error))
            continue
        interview.screen.say(f"Written: {path}")
        return
