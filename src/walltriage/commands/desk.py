"""``walltriage desk``: what the firm's desk needs besides serving: copies, archives, logins."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import click

from walltriage.commands.common import PATH, load_triager, rules_option
from walltriage.commands.serve import need_desk
from walltriage.errors import refuse
from walltriage.language import say

OPERATOR = "the operator"


def place_options(function: Callable[..., Any]) -> Callable[..., Any]:
    """``--data`` and ``--database``: which desk."""
    for option in (
        click.option("--database", metavar="URL", help="The desk's database, if it is not SQLite."),
        click.option("--data", type=PATH, help="The folder with the desk's database."),
    ):
        function = option(function)
    return function


def open_store(data: Path | None, database: str | None) -> Any:
    """The desk's database, brought up to date."""
    from walltriage.desk.settings import database_url
    from walltriage.desk.store import Store

    store = Store(database_url(database, data))
    store.bring_up_to_date()
    return store


@click.group("desk", epilog="Example: walltriage desk backup desk-monday.sqlite3")
def command() -> None:
    """Maintain the desk: backups, archives, logins."""
    need_desk("desk")


@command.command("backup", epilog="Example: walltriage desk backup desk-monday.sqlite3")
@click.argument("target", type=PATH)
@place_options
def backup(target: Path, data: Path | None, database: str | None) -> None:
    """Back up the database to TARGET while the desk runs."""
    from walltriage.desk.backup import back_up
    from walltriage.desk.settings import database_url

    back_up(database_url(database, data), target)
    click.echo(say("{target}: written", target=target), err=True)


@command.command("restore", epilog="Example: walltriage desk restore monday.sqlite3 --data new")
@click.argument("copy", type=PATH)
@place_options
def restore_command(copy: Path, data: Path | None, database: str | None) -> None:
    """Restore a backup where there is no database yet."""
    from walltriage.desk.backup import restore
    from walltriage.desk.settings import database_url

    restore(copy, database_url(database, data))
    click.echo(say("Restored."), err=True)


@command.command("export", epilog="Example: walltriage desk export everything.zip")
@click.argument("target", type=PATH)
@place_options
@rules_option
def export(
    target: Path, data: Path | None, database: str | None, rules_folder: Path | None
) -> None:
    """Write all houses to TARGET: case files, photos, marks, notes."""
    import shutil

    from walltriage.desk.bench import Bench
    from walltriage.desk.export import export_zip
    from walltriage.files import replacing

    if target.exists():
        raise refuse(target, "already exists", "give another name")
    store = open_store(data, database)
    bench = Bench(load_triager(rules_folder))
    with export_zip(store, bench, OPERATOR) as file, replacing(target) as out:
        shutil.copyfileobj(file, out)
    store.close()


@command.command("import", epilog="Example: walltriage desk import everything.zip")
@click.argument("archive", type=PATH)
@place_options
@rules_option
def import_command(
    archive: Path, data: Path | None, database: str | None, rules_folder: Path | None
) -> None:
    """Import the houses of an ARCHIVE; houses already here stay as they are."""
    from walltriage.desk.export import MOST_BYTES, ImportTrouble, import_zip
    from walltriage.files import read_bytes

    content = read_bytes(archive, MOST_BYTES)
    store = open_store(data, database)
    try:
        for line in import_zip(store, load_triager(rules_folder).base, content, OPERATOR):
            click.echo(line)
    except ImportTrouble as error:
        raise refuse(archive, str(error)) from None
    finally:
        store.close()


@command.command("invite", epilog="Example: walltriage desk invite engineer")
@click.argument("role", type=click.Choice(["engineer", "office"]))
@click.option(
    "--public-url", default="http://127.0.0.1:8347", show_default=True,
    help="The address people type to get to the desk.",
)  # fmt: skip
@place_options
def invite(role: Any, public_url: str, data: Path | None, database: str | None) -> None:
    """Print a one-time link with which one person makes a login."""
    from walltriage.desk import people

    store = open_store(data, database)
    with store.write() as db:
        token = people.invite(db, role, OPERATOR)
    store.close()
    click.echo(f"{public_url.rstrip('/')}/join/{token}")
