"""One request and what is known of it, handed to the functions that make pages."""

from __future__ import annotations

from collections.abc import Awaitable, Callable
from dataclasses import dataclass, field

from starlette.concurrency import run_in_threadpool
from starlette.datastructures import FormData, UploadFile
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import HTMLResponse, RedirectResponse, Response

from walltriage.desk.bench import Bench
from walltriage.desk.settings import Settings
from walltriage.desk.store import Store
from walltriage.desk.tables import StaffMember
from walltriage.desk.web.guard import Allowance
from walltriage.desk.web.looks import render

MOST_FIELDS = 60
MOST_FIELD_BYTES = 64 * 1024
_LARGE = 128 * 1024  # bytes of a body that are read only for people who are known


@dataclass(frozen=True, slots=True)
class Desk:
    """All that a running desk has."""

    settings: Settings
    store: Store
    bench: Bench
    tries: Allowance


@dataclass(slots=True)
class Visit:
    """One request: who, what, and what came with it."""

    desk: Desk
    request: Request
    form: dict[str, str] = field(default_factory=dict)
    files: dict[str, tuple[str, bytes]] = field(default_factory=dict)
    person: StaffMember | None = None
    form_token: str = ""

    @property
    def address(self) -> str:
        client = self.request.client
        return client.host if client else ""

    def number(self, name: str) -> int:
        """A field or a part of the address that names a row; 0, which names none, for no number."""
        given = str(self.request.path_params.get(name, self.form.get(name, "")))
        return int(given) if given.isascii() and given.isdigit() and len(given) <= 9 else 0

    def text(self, name: str, most: int) -> str:
        """A field without space around it, cut at ``most`` letters."""
        return self.form.get(name, "").replace("\r\n", "\n").strip()[:most]

    def page(self, template: str, status: int = 200, **what: object) -> Response:
        """A page made from a template."""
        html = render(template, visit=self, firm=self.desk.settings.firm, **what)
        return HTMLResponse(html, status)


Handler = Callable[[Visit], Response]
Known = Callable[[Visit], bool]


def endpoint(
    desk: Desk, handler: Handler, known: Known | None = None
) -> Callable[[Request], Awaitable[Response]]:
    """A handler as the framework wants it: forms are read first, then it runs in a thread.

    What is large is read only from people who are ``known``, so that nobody else fills memory
    or disk; for others the handler runs as if nothing had come, and refuses them.
    """

    async def call(request: Request) -> Response:
        visit = Visit(desk, request)
        parts = (*request.path_params.values(), *request.query_params.values())
        if any(typed(str(part)) != str(part) for part in parts):
            raise HTTPException(404)
        large = request.method == "POST" and _is_large(request)
        wanted = not large or known is None or await run_in_threadpool(known, visit)
        if request.method == "POST" and wanted:
            async with request.form(
                max_files=4, max_fields=MOST_FIELDS, max_part_size=MOST_FIELD_BYTES
            ) as form:
                await _read(form, visit)
        return await run_in_threadpool(handler, visit)

    return call


def _is_large(request: Request) -> bool:
    """Whether the body is large, or may be, since its length is not told beforehand."""
    length = request.headers.get("content-length", "")
    return not length.isdigit() or int(length) > _LARGE


async def _read(form: FormData, visit: Visit) -> None:
    for name, value in form.multi_items():
        if isinstance(value, UploadFile):
            data = await value.read()
            if data:
                visit.files[name] = (value.filename or "", data)
        else:
            visit.form[name] = typed(value)


def typed(text: str) -> str:
    """A text without what no keyboard types and a database may refuse: NUL, half a character."""
    return "".join(letter for letter in text if letter in "\t\r\n" or _is_typed(letter))


def _is_typed(letter: str) -> bool:
    return letter >= " " and not "\ud800" <= letter <= "\udfff"


def see_other(path: str) -> Response:
    """Go on to another page of ours after a form was taken."""
    if not path.startswith("/") or path.startswith("//"):
        raise HTTPException(500)
    return RedirectResponse(path, 303)
