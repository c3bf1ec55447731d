"""Starting the desk: database first, then the way in, then the server."""

from __future__ import annotations

import os
import socket
import sys

import uvicorn

from walltriage.desk import people
from walltriage.desk.settings import Settings
from walltriage.desk.store import Store
from walltriage.errors import refuse
from walltriage.language import say

APP = "walltriage.desk.web.app:of_environment"


def run(settings: Settings, host: str, port: int, workers: int, proxy: str | None) -> int:
    """Serve until somebody stops it; the exit status."""
    _check_free(host, port)
    store = Store(settings.database)
    try:
        store.bring_up_to_date()
        tell_way_in(store, settings)
    finally:
        store.close()
    os.environ.update(settings.environment())
    uvicorn.run(
        APP, factory=True, host=host, port=port, workers=workers, access_log=False,
        log_level="warning", proxy_headers=proxy is not None, forwarded_allow_ips=proxy or "",
        server_header=False, timeout_keep_alive=15, h11_max_incomplete_event_size=32_768,
    )  # fmt: skip
    return 0


def tell_way_in(store: Store, settings: Settings) -> None:
    """Say where the desk is and, before there is any login, how the first one is made."""
    print(say("The desk is at {public_url}/desk", public_url=settings.public_url), file=sys.stderr)
    print(say("Its data is in {shown}", shown=store.shown), file=sys.stderr)
    with store.write() as db:
        token = None if people.anybody(db) else people.invite(db, "engineer")
    if token is not None:
        says = "Create the first engineer's login within 3 days; this link works once:"
        print(say(says), file=sys.stderr)
        print(f"  {settings.public_url}/join/{token}", file=sys.stderr)
    sys.stderr.flush()


def _check_free(host: str, port: int) -> None:
    family = socket.AF_INET6 if ":" in host else socket.AF_INET
    with socket.socket(family, socket.SOCK_STREAM) as probe:
        probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            probe.bind((host, port))
        except OSError as error:
            reason = (error.strerror or str(error)).lower()
            what = f"cannot be used to listen on: {reason}"
            raise refuse(f"{host}:{port}", what, "give another --host or --port") from None
