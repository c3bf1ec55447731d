"""A report as a file: which format a name asks for, and writing it whole or not at all."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path
from typing import Literal

from walltriage.case.model import Case, Role
from walltriage.errors import refuse
from walltriage.files import write_bytes
from walltriage.inference.triage import Triager
from walltriage.report.blocks import Letterhead
from walltriage.report.finding_json import finding_line
from walltriage.report.pages import USUAL_DEPTH, build
from walltriage.report.subject import Depth, Request
from walltriage.report.texts import texts_for

Format = Literal["html", "pdf", "md", "json"]
FORMATS: tuple[Format, ...] = ("html", "pdf", "md", "json")
PDF_HINT = "run: pip install typst; where it has no package, write .html and print that"


def make_request(
    triager: Triager,
    case: Case,
    made_on: str,
    audience: Role | None = None,
    depth: Depth | None = None,
    removed: tuple[str, ...] = (),
    letterhead: Letterhead | None = None,
    client: Mapping[str, str] | None = None,
) -> Request:
    """Triage the case and say how it is to be told: by default for whom it was asked.

    ``made_on`` is the date to print, as YYYY-MM-DD; ``removed`` are walls that would go together,
    ``client`` what is known of the client beside what the case has, by the ids of the fields.
    """
    role = audience or case.role
    finding = triager.finding(case)
    if removed:
        from walltriage.inference.numbers.what_if import remove

        finding = replace(finding, removal=remove(triager, case, finding, removed))
    return Request(
        finding, texts_for(triager.base), role, depth or USUAL_DEPTH[role], made_on, letterhead,
        {**case.client, **(client or {})},
    )  # fmt: skip


def format_of(path: Path) -> Format:
    """The format that a file name asks for; :class:`InputError` for any other ending.

    Also refuses a folder, a folder that is not there, and PDF without the library for it, so
    that nobody waits for a report that cannot be written.
    """
    ending = path.suffix.lower().removeprefix(".")
    if ending not in FORMATS:
        expected = "expected a name ending in " + ", ".join(f".{form}" for form in FORMATS)
        raise refuse(path, "no known kind of report", expected)
    if path.is_dir():
        raise refuse(path, "is a folder", "give a file name")
    if not path.parent.is_dir():
        raise refuse(path.parent, "no such folder", "make it first")
    if ending == "pdf":
        need_pdf(path)
    return ending


def rendered(request: Request, form: Format) -> bytes:
    """The report's bytes."""
    if form == "json":
        return (finding_line(request.finding) + "\n").encode("ascii")
    document = build(request)
    if form == "pdf":
        from walltriage.report.pdf import pdf

        return pdf(document)
    if form == "md":
        from walltriage.report.markdown import markdown

        return markdown(document).encode("utf-8")
    from walltriage.report.html import html

    return html(document).encode("utf-8")


def write_report(path: Path, request: Request) -> None:
    """Make the report that the name asks for and put it in place in one step."""
    write_bytes(path, rendered(request, format_of(path)))


def need_pdf(path: Path) -> None:
    """:class:`InputError` unless the libraries for PDF are installed."""
    try:
        import typst  # noqa: F401
    except ImportError:
        raise refuse(path, "PDF needs a library that is not installed", PDF_HINT) from None
