"""``walltriage serve``: the firm's desk, for browsers."""

from __future__ import annotations

from importlib.util import find_spec
from pathlib import Path

import click

from walltriage.commands.common import PATH, rules_option
from walltriage.errors import refuse

HINT = "run: pip install 'walltriage[desk]'"
NEEDED = ("alembic", "argon2", "PIL", "python_multipart", "sqlalchemy", "starlette", "uvicorn")


def need_desk(what: str) -> None:
    """:class:`InputError` unless the libraries of the desk are installed."""
    if any(find_spec(name) is None for name in NEEDED):
        raise refuse(what, "needs libraries that are not installed", HINT)


@click.command(
    "serve",
    epilog="Example: walltriage serve --firm 'Larch Road Engineers'. "
    "To run it for a firm, behind a proxy or with PostgreSQL, see docs/desk.md.",
)
@click.option("--data", type=PATH, help="The folder with the database.")
@click.option("--database", metavar="URL", help="Another database, such as postgresql://...")
@click.option("--host", default="127.0.0.1", show_default=True, help="The address to listen on.")
@click.option(
    "--port", default=8347, show_default=True, type=click.IntRange(1, 65535),
    help="The port to listen on.",
)  # fmt: skip
@click.option("--public-url", metavar="URL", help="The address people type, if there is a proxy.")
@click.option(
    "--behind-proxy", metavar="ADDRESS", help="Trust the client addresses this proxy reports."
)
@click.option("--firm", default="Our office", show_default=True, help="The firm's name.")
@click.option(
    "--workers", default=1, show_default=True, type=click.IntRange(1, 64),
    help="How many server processes to run.",
)  # fmt: skip
@click.option(
    "--link-days", default=21, show_default=True, type=click.IntRange(1, 365),
    help="How many days a client's link works.",
)  # fmt: skip
@click.option(
    "--requests", default=240, show_default=True, type=click.IntRange(0, 1_000_000),
    help="Most requests per minute from one address; 0 for no limit.",
)  # fmt: skip
@rules_option
@click.pass_context
def command(
    context: click.Context, data: Path | None, database: str | None, host: str, port: int,
    public_url: str | None, behind_proxy: str | None, firm: str, workers: int, link_days: int,
    requests: int, rules_folder: Path | None,
) -> None:  # fmt: skip
    """Run the firm's desk: intake in a browser, photos, a queue, outcomes."""
    need_desk("serve")
    from walltriage.desk.running import run
    from walltriage.desk.settings import Settings, checked_proxy, checked_public_url, database_url

    local = f"http://{'[' + host + ']' if ':' in host else host}:{port}"
    settings = Settings(
        database=database_url(database, data), public_url=checked_public_url(public_url or local),
        rules_folder=rules_folder, firm=firm, link_days=link_days, requests_per_minute=requests,
    )  # fmt: skip
    proxy = None if behind_proxy is None else checked_proxy(behind_proxy)
    context.exit(run(settings, host, port, workers, proxy))
