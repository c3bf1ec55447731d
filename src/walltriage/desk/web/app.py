"""The application: which address leads to which page."""

from __future__ import annotations

from collections.abc import Iterator

from starlette.applications import Starlette
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import HTMLResponse, PlainTextResponse, Response
from starlette.routing import BaseRoute, Mount, Route
from starlette.staticfiles import StaticFiles

from walltriage.desk.bench import Bench
from walltriage.desk.settings import Settings
from walltriage.desk.store import Store
from walltriage.desk.web import (
    client,
    desk_pages,
    firm_pages,
    house_actions,
    house_pages,
    more_pages,
    once_more_page,
    outcome_pages,
    photo_pages,
    plan_pages,
    second_look_page,
    sign_pages,
)
from walltriage.desk.web.client_link import link_opens
from walltriage.desk.web.guard import WORDS, Allowance, Guard, TooLarge
from walltriage.desk.web.looks import STATIC, render
from walltriage.desk.web.sign_pages import is_signed_in
from walltriage.desk.web.visit import Desk, Handler, Visit, endpoint, see_other
from walltriage.inference.triage import Triager
from walltriage.knowledge.load import load_knowledge
from walltriage.knowledge.rule_cache import cache_folder
from walltriage.rules_folder import default_rules_folder

_LOOK = "/c/{token}/look/{subject}/{question}"
_SECOND = "/c/{token}/second-look/{wall}/{stop}"
_CLIENT: dict[str, Handler] = {
    "/c/{token}": client.home,
    "/c/{token}/begin": client.begin,
    _LOOK: client.look,
    "/c/{token}/wall/{wall}": client.wall,
    "/c/{token}/plan": plan_pages.sheet,
    "/c/{token}/plan/{of}": plan_pages.draw,
    "/c/{token}/plan-picture/{level}": plan_pages.plan_picture,
    "/c/{token}/more/{asked:int}": more_pages.more,
    "/c/{token}/once-more": once_more_page.page,
    _SECOND: second_look_page.pick,
    f"{_SECOND}/{{subject}}/{{question}}": second_look_page.look,
    "/c/{token}/answers": client.answers,
    "/c/{token}/end": client.end,
    "/c/{token}/thanks": client.thanks,
    "/c/{token}/result": client.result,
    "/c/{token}/photo/{photo}/drop": photo_pages.drop,
    "/c/{token}/photo/{photo}/{size}": photo_pages.clients_picture,
}
_STAFF: dict[str, Handler] = {
    "/join/{token}": sign_pages.join,
    "/desk/sign-in": sign_pages.sign_in,
    "/desk/sign-out": sign_pages.sign_out,
    "/desk": desk_pages.queue,
    "/desk/new": desk_pages.new,
    "/desk/house/{key}": house_pages.house,
    "/desk/house/{key}/link": house_pages.link,
    "/desk/house/{key}/link/{link:int}/end": house_pages.end_link,
    "/desk/house/{key}/mark": house_actions.mark,
    "/desk/house/{key}/ask": house_actions.ask,
    "/desk/house/{key}/note": house_actions.note,
    "/desk/house/{key}/facts": house_actions.facts,
    "/desk/house/{key}/aside": house_actions.aside,
    "/desk/house/{key}/delete": house_actions.delete,
    "/desk/house/{key}/packet/{form}": house_actions.packet,
    "/desk/house/{key}/outcome/{wall}": outcome_pages.outcome,
    "/desk/outcomes": outcome_pages.tally,
    "/desk/outcomes/pool": outcome_pages.pool,
    "/desk/people": firm_pages.staff,
    "/desk/trail": firm_pages.trail,
    "/desk/everything": firm_pages.everything,
    "/desk/house/{key}/photo/{photo}/{size}": house_pages.photo,
}


def make_app(desk: Desk) -> Guard:
    """The application around one desk, behind its guard."""
    routes: list[BaseRoute] = [
        Route(path, endpoint(desk, handler, known), methods=["GET", "POST"])
        for pages, known in ((_CLIENT, link_opens), (_STAFF, is_signed_in))
        for path, handler in pages.items()
    ]
    routes += [
        Route("/", endpoint(desk, _home)),
        Route("/health", endpoint(desk, _health)),
        Route("/robots.txt", endpoint(desk, _robots)),
        Mount("/static", _Static(directory=STATIC)),
    ]
    handlers = {HTTPException: _http_error, TooLarge: _too_large, Exception: _fault}
    app = Starlette(routes=routes, exception_handlers=handlers)
    return Guard(app, desk.settings)


class _Static(StaticFiles):
    """Files that never change under one address."""

    def file_response(self, *args: object, **more: object) -> Response:
        response = super().file_response(*args, **more)  # type: ignore[arg-type]
        response.headers["cache-control"] = "public, max-age=604800"
        return response


def _home(_: Visit) -> Response:
    return see_other("/desk")


def _health(visit: Visit) -> Response:
    """Whether the database answers; for whoever watches over the desk."""
    with visit.desk.store.read() as db:
        db.connection().exec_driver_sql("SELECT 1")
    return PlainTextResponse("well\n")


def _robots(_: Visit) -> Response:
    return PlainTextResponse("User-agent: *\nDisallow: /\n")


def _http_error(_: Request, error: Exception) -> Response:
    status = error.status_code if isinstance(error, HTTPException) else 500
    return HTMLResponse(render("trouble.html", firm="", status=status), status)


def _too_large(_: Request, __: Exception) -> Response:
    return PlainTextResponse(WORDS[413], 413, {"connection": "close"})


def _fault(_: Request, __: Exception) -> Response:
    """A page for a mistake of ours; the guard has it in the log."""
    return HTMLResponse(render("trouble.html", firm="", status=500), 500)


def make_desk(settings: Settings) -> Desk:
    """Open the database and compile the rules."""
    folder = settings.rules_folder or default_rules_folder()
    triager = Triager(load_knowledge(folder, cache_folder()))
    return Desk(
        settings, Store(settings.database), Bench(triager), Allowance(settings.tries_per_minute)
    )


def of_environment() -> Guard:
    """The application as worker processes make it."""
    return make_app(make_desk(Settings.of_environment()))


def addresses() -> Iterator[str]:
    """Every address pattern, for tests that go through them all."""
    yield from {**_CLIENT, **_STAFF}
